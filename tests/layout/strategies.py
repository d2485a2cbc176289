"""Layouts at random, for properties of what is drawn of them; nothing about them need be sound."""

from itertools import pairwise

from hypothesis import strategies as st

from selector.layout.model import (
    Box,
    ClampAt,
    Divide,
    Keep,
    Piece,
    Placed,
    Rail,
    Roof,
    Row,
    Seam,
    Zone,
)

MM = 1_000


def block(rows: int, columns: int, seam_mm: int = 530) -> Placed:
    """A full plane: two rails a row, a clamp on every second seam, rails cut every 12 m."""
    wide, high, gap, left, eave = 1_090 * MM, 1_740 * MM, 20 * MM, 1_000 * MM, 700 * MM
    length = 2 * left + columns * wide + (columns - 1) * gap
    slope = 2 * eave + rows * high + (rows - 1) * gap
    xs = range(260 * MM, length, seam_mm * MM)
    seams = tuple(Seam(f"s{n:03}", x, 3 * MM) for n, x in enumerate(xs, 1))
    whole = (left, length - left)
    cuts = [left, *range(left + 12_000 * MM, whole[1] - 6_000 * MM, 12_000 * MM), whole[1]]
    ends = [(a + (10 * MM if n else 0), b) for n, (a, b) in enumerate(pairwise(cuts))]
    modules, rails = [], []
    for row in range(rows):
        y0 = eave + row * (high + gap)
        boxes = (Box(x, x + wide, y0, y0 + high) for x in range(left, length - left, wide + gap))
        modules.append(Row(row + 1, tuple(boxes)))
        for line, y in enumerate((y0 + 350 * MM, y0 + 1_390 * MM), 1):
            pieces = tuple(
                Piece(
                    a, b, _clamps(seams, a, b, y), (b - a,) if b - a < 8_000 * MM else _two(b - a)
                )
                for a, b in ends
            )
            joints = tuple(("rigid", "sliding", "gap")[n % 3] for n in range(len(pieces) - 1))
            rails.append(Rail(f"r{row + 1}.{line}", row + 1, line, y, pieces, joints))
    zones = (
        Zone("G", "onto the eave", Box(0, length, 0, slope // 4), 1_300.0),
        Zone("H", "onto the eave", Box(0, length, slope // 4, slope), 700.0),
        Zone("F", "onto the left end", Box(0, length // 5, 0, slope), 1_500.0),
    )
    roof = Roof("south", Box(0, length, 0, slope).corners, seams, zones=zones)
    slots = {"clamp": "demo/dl-1", "rail": "demo/rail-u"}
    head = ("big", "a1", "planned", slots, "demo/module-p35", "portrait")
    return Placed(*head, roof, tuple(modules), tuple(rails), "every second seam")  # type: ignore[arg-type]


def _two(length: int) -> tuple[int, ...]:
    return 6_000 * MM, length - 6_000 * MM


def _clamps(seams: tuple[Seam, ...], x0: int, x1: int, y: int) -> tuple[ClampAt, ...]:
    on = [s for s in seams if x0 + 30 * MM <= s.x <= x1 - 30 * MM][::2]
    return tuple(ClampAt(s.id, s.x, y, "H", "onto the eave", 120 * MM) for s in on)


NAMES = st.text(min_size=1, max_size=30)


@st.composite
def layouts(draw: st.DrawFn) -> Placed:
    """A plane of 1 to 90 m with rows, rails, seams and keep-outs anywhere, in whole um."""
    length, slope = draw(st.integers(10**6, 9 * 10**7)), draw(st.integers(10**6, 3 * 10**7))
    xs, ys = st.integers(0, length), st.integers(0, slope)
    seams = tuple(
        Seam(f"s{n}", x, 0) for n, x in enumerate(sorted(draw(st.sets(xs, max_size=30))), 1)
    )
    rows = []
    for number in range(1, draw(st.integers(0, 3)) + 1):
        x, y = draw(xs), draw(ys)
        boxes = (Box(x + n * 10**6, x + n * 10**6 + 9 * 10**5, y, y + 10**6) for n in range(3))
        rows.append(Row(number, tuple(boxes)))
    rails = []
    for number, y in enumerate(sorted(draw(st.sets(ys, max_size=6))), 1):
        x0, x1 = sorted((draw(xs), draw(xs)))
        on = tuple(ClampAt(s.id, s.x, y) for s in seams if x0 <= s.x <= x1)
        pieces = (Piece(x0, x1 + 1, on, (x1 + 1 - x0,)),)
        rails.append(Rail(f"r{number}", 1, number, y, pieces))
    keeps = tuple(
        Keep(draw(NAMES), "obstacle", Box(x, x + 10**5, y, y + 10**5))
        for x, y in draw(st.lists(st.tuples(xs, ys), max_size=3))
    )
    divides = tuple(
        Divide(draw(NAMES), draw(st.booleans()), at) for at in draw(st.lists(ys, max_size=2))
    )
    roof = Roof(draw(NAMES), Box(0, length, 0, slope).corners, seams, keeps, divides=divides)
    head = (draw(NAMES), draw(NAMES), "s", {}, "demo/module-p35", "portrait")
    return Placed(*head, roof, tuple(rows), tuple(rails), "by hand")  # type: ignore[arg-type]
