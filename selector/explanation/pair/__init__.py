"""Two metals as a page or as data, and the table of all of them."""
