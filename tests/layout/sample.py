"""A small layout made by hand: two rows of three modules on a plane of 6.0 by 5.0 m, invented."""

from selector.layout.model import (
    Bar,
    Box,
    ClampAt,
    CutPlan,
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
WIDTH, LENGTH, GAP = 1_090 * MM, 1_740 * MM, 20 * MM
LEFT, EAVE = 1_000 * MM, 700 * MM
LINES = (250 * MM, 1_490 * MM)  # of each row, from the lower edge of its modules


def small() -> Placed:
    """Two rails a row, a clamp on every second seam, one bar a rail."""
    seams = tuple(Seam(f"s{i + 1:02}", (260 + 530 * i) * MM, 3 * MM) for i in range(11))
    roof = Roof(
        "south",
        Box(0, 6_000 * MM, 0, 5_000 * MM).corners,
        seams,
        (Keep("vent", "obstacle", Box(5_000 * MM, 5_400 * MM, 3_000 * MM, 3_400 * MM)),),
        (),
        (Divide("welt", False, 4_600 * MM),),
        (
            Zone("G", "onto the eave", Box(0, 6_000 * MM, 0, 800 * MM), 1_200.0),
            Zone("H", "onto the eave", Box(0, 6_000 * MM, 800 * MM, 5_000 * MM), 700.0),
        ),
    )
    rows, rails = [], []
    for number in (1, 2):
        y0 = EAVE + (number - 1) * (LENGTH + GAP)
        boxes = tuple(
            Box(x, x + WIDTH, y0, y0 + LENGTH) for x in (LEFT + i * (WIDTH + GAP) for i in range(3))
        )
        rows.append(Row(number, boxes))
        for line, offset in enumerate(LINES, 1):
            y = y0 + offset
            clamps = tuple(
                ClampAt(s.id, s.x, y, "H", "onto the eave", 120 * MM)
                for s in seams
                if LEFT <= s.x <= boxes[-1].x1
            )[::2]
            piece = Piece(LEFT, boxes[-1].x1, clamps, (boxes[-1].x1 - LEFT,))
            rails.append(Rail(f"r{number}.{line}", number, line, y, (piece,)))
    length = rails[0].pieces[0].length
    bars = tuple(Bar(4_200 * MM, (length,)) for _ in rails)
    return Placed(
        "sample",
        "a1",
        "planned",
        {"clamp": "demo/dl-1", "rail": "demo/rail-u", "module_clamp": "demo/mc-1"},
        "demo/module-p35",
        "portrait",
        roof,
        tuple(rows),
        tuple(rails),
        "every second seam",
        CutPlan(bars, 4 * 4_200 * MM, True, "one piece a bar"),
    )
