"""A plane with its array and stack as the layout takes them, out of a job and the base."""
