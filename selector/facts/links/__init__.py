"""Every link from module to board: what it gets, what it may take, and where it is worst."""
