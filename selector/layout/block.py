"""Modules of an array as rectangles, row by row from the eave, from the left."""

from selector.layout.model import Box, Row


def rows_of(
    corner: tuple[int, int],
    size: tuple[int, int],
    many: tuple[int, int],
    gap: int,
    breaks: tuple[int, ...] = (),
    break_gap: int = 0,
) -> tuple[Row, ...]:
    """Rows of modules; all lengths in micrometres, along the eave first.

    `corner` is the lower left one of the block, `size` that of a module as it lies, `many` columns
    and rows. After the modules of `breaks` the next one stands `break_gap` further, not `gap`.
    """
    x0, y0 = corner
    wide, high = size
    columns, rows = many
    starts = [x0 + n * (wide + gap) for n in range(columns)]
    starts = [x + sum(b <= n for b in breaks) * (break_gap - gap) for n, x in enumerate(starts)]
    return tuple(
        Row(number + 1, tuple(Box(x, x + wide, y, y + high) for x in starts), breaks)
        for number, y in enumerate(y0 + n * (high + gap) for n in range(rows))
    )


def width_of(
    wide: int, columns: int, gap: int, breaks: tuple[int, ...] = (), break_gap: int = 0
) -> int:
    """Width of a row from the first module to the last, in micrometres."""
    return columns * wide + (columns - 1) * gap + len(breaks) * (break_gap - gap)
