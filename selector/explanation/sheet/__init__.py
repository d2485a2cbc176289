"""The sheet for the roof: one page of HTML that prints on A4, told from an answer."""
