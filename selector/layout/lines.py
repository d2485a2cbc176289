"""Where the rail lines of a row may lie under its modules."""

from selector.layout.model import Box

Range = tuple[int, int]


def line_ranges(count: int, zone: Range, length: int, off_middle: int) -> tuple[Range, ...]:
    """Ranges of heights for each line, from the lower edge of the module, lowest first.

    Two lines lie near both ends, a third one at most `off_middle` from the middle. No other number
    of lines is laid out: none comes back. All lengths in micrometres; a range may be empty.
    """
    low, high = zone[0], min(zone[1], length // 2)
    ends = ((low, high), (length - high, length - low))
    if count == 2:
        return ends
    if count == 3:
        return ends[0], (length // 2 - off_middle, length // 2 + off_middle), ends[1]
    return ()


def above(ranges: tuple[Range, ...], row: Box) -> tuple[Range, ...]:
    """The same ranges as heights above the eave."""
    return tuple((row.y0 + low, row.y0 + high) for low, high in ranges)
