"""A substitution told: on the screen, as data, and as a record to be signed."""
