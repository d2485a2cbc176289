"""Cells of a table for a spreadsheet: none of them is computed there."""

from typing import Any

FORMULA = ("=", "+", "-", "@", "\t", "\r")


def cell(value: Any) -> str:
    """A value as a cell; what would start a formula in a spreadsheet gets an apostrophe."""
    if value is None:
        return ""
    text = str(value).lower() if isinstance(value, bool) else str(value)
    return f"'{text}" if text.startswith(FORMULA) else text
