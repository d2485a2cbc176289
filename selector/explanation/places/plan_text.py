"""The plan of a laid-out array in ASCII: rails as rows with their heights, seams as columns.

Not to scale: every seam has as much room as every other. What has more seams than a line takes
goes on in a second picture below.
"""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from textwrap import wrap

from selector.explanation.places.drawing import short
from selector.explanation.places.wording import listed_below, mm_text
from selector.explanation.texts import Texts
from selector.layout.model import Placed, Rail, Seam

CLAMP, SEAM, RAIL = "o", ":", "-"
JOINTS = {"rigid": "+", "sliding": "=", "gap": " "}
SPLICE = "'"
WIDEST, LEAST = 6, 2  # columns for a seam
NAME, FIGURE = 8, 7  # columns for the name of a rail and for its height


def plan_text(placed: Placed, texts: Texts, width: int = 80) -> Iterator[str]:
    """Lines of the picture, at most `width` letters each, and what its signs mean."""
    say, lead = texts.say, NAME + FIGURE + 2
    head = say("drawing.text.head", array=placed.array, plane=placed.roof.plane, job=placed.job)
    yield from wrap(head, width)
    seams = _reached(placed)
    room = width - lead - 1
    step = max(LEAST, min(WIDEST, room // max(1, len(seams))))
    most = max(1, room // step)
    for start in range(0, len(seams), most):
        band = seams[start : start + most]
        if start:
            yield ""
        yield from _band(placed, band, step, lead, texts)
    for text in (_signs(placed, texts), *listed_below(placed, texts)):
        yield from wrap(text, width)


def _reached(placed: Placed) -> tuple[Seam, ...]:
    """Seams that some rail crosses, and one on either side."""
    seams = placed.roof.seams
    pieces = [piece for rail in placed.rails for piece in rail.pieces]
    if not pieces:
        return seams
    xs = [seam.x for seam in seams]
    first = bisect_left(xs, min(piece.x0 for piece in pieces))
    last = bisect_left(xs, max(piece.x1 for piece in pieces))
    return seams[max(0, first - 1) : last + 1]


def _band(
    placed: Placed, seams: Sequence[Seam], step: int, lead: int, texts: Texts
) -> Iterator[str]:
    """One picture: names of seams, the ridge, the rails from the top, the eave."""
    yield (" " * lead + _heading(seams, step)).rstrip()
    bare = " " * lead + _cells(seams, step)
    yield _edge(bare, texts.say("drawing.plan.ridge"), lead)
    row = None
    for rail in reversed(placed.rails):
        if row is not None and rail.row != row:
            yield bare
        row = rail.row
        name = f"{short(rail.id, NAME):<{NAME}} {mm_text(rail.y, texts):>{FIGURE}} "
        yield (name + _rail(rail, seams, step)).rstrip()
    yield _edge(bare, texts.say("drawing.plan.eave"), lead)


def _edge(bare: str, name: str, lead: int) -> str:
    return short(name, lead - 1).ljust(lead) + bare[lead:].replace(" ", "_")


def _heading(seams: Sequence[Seam], step: int) -> str:
    """Names of seams above their columns, as many as have room."""
    cells = [" "] * (step * len(seams) + 12)
    free = 0
    for number, seam in enumerate(seams):
        name = short(seam.id, 8)
        start = max(0, number * step + step // 2 - (len(name) - 1) // 2)
        if start >= free and start + len(name) <= step * len(seams) + step // 2:
            cells[start : start + len(name)] = list(name)
            free = start + len(name) + 1
    return "".join(cells).rstrip()


def _cells(seams: Sequence[Seam], step: int) -> str:
    return "".join((" " * (step // 2) + SEAM).ljust(step) for _ in seams).rstrip()


def _rail(rail: Rail, seams: Sequence[Seam], step: int) -> str:
    """One rail: pieces, clamps, and the joints and splices between the seams where they lie."""
    cells = [" "] * (step * len(seams))
    xs = [seam.x for seam in seams]

    def between(x: int) -> int:
        """Column of a place that lies before a seam."""
        return min(len(cells) - 1, max(0, bisect_left(xs, x) * step + step // 2 - 1))

    for number in range(len(seams)):
        cells[number * step + step // 2] = SEAM
    for piece in rail.pieces:
        if (piece.x1 < xs[0] and seams) or (piece.x0 > xs[-1] and seams):
            continue
        for at in range(between(piece.x0), between(piece.x1) + 1):
            cells[at] = cells[at].replace(" ", RAIL)
        at_um = piece.x0
        for part in piece.parts[:-1]:
            at_um += part
            _put(cells, xs, at_um, between(at_um), SPLICE)
    for joint, one in zip(rail.joints, rail.pieces, strict=False):
        _put(cells, xs, one.x1, between(one.x1), JOINTS[joint])
    names = {seam.id: number for number, seam in enumerate(seams)}
    for piece in rail.pieces:
        for clamp in piece.clamps:
            if clamp.seam in names:
                cells[names[clamp.seam] * step + step // 2] = CLAMP
    return "".join(cells)


def _put(cells: list[str], xs: Sequence[int], x: int, column: int, sign: str) -> None:
    """A sign of a place that this band shows."""
    if xs[0] <= x <= xs[-1]:
        cells[column] = sign


def _signs(placed: Placed, texts: Texts) -> str:
    joints = [joint for rail in placed.rails for joint in rail.joints]
    there = {"rail": RAIL, "seam": SEAM, "clamp": CLAMP}
    if any(len(piece.parts) > 1 for rail in placed.rails for piece in rail.pieces):
        there["splice"] = SPLICE
    there |= {joint: sign for joint, sign in JOINTS.items() if joint in joints}
    signs = (
        f"{sign.strip() or texts.say('drawing.text.blank')} {texts.say(f'drawing.sign.{name}')}"
        for name, sign in there.items()
    )
    return "; ".join(signs)
