"""Pull tests told: page, data and a draft of a record."""
