"""The base as a folder of pages: one page a rule, part, question and source."""
