"""The zones of one wind in a terminal: the plane from above, the ridge up, the array in `#`."""

from collections.abc import Iterator
from itertools import pairwise

from selector.explanation.loads.telling import LoadsTelling
from selector.facts.actions.model import Part, Plan

MARGIN = 4  # columns for the wind from the left, and as many on the right
ROWS = 18
LEAST_WIDE, LEAST_HIGH = 5, 2  # a narrow zone still has room for its letter


def plan_text(telling: LoadsTelling, wind: str, width: int) -> Iterator[str]:
    """Lines of the picture and of its measures; those of the picture begin with a blank."""
    plan = telling.loads.plan
    assert plan is not None
    yield from _picture(telling, plan, wind, width)
    array = plan.array
    yield telling.say(
        "loads.plan.size",
        length=telling.metres(plan.length_m),
        slope=telling.metres(plan.slope_m),
        array=telling.loads.array,
        **_places(telling, array),
    )
    for part in plan.zones[wind]:
        yield telling.say("loads.plan.zone", zone=part.name, **_places(telling, part))
    note = telling.say("loads.plan.scale")
    yield note if plan.exact else f"{note}; {telling.say('loads.plan.middle')}"


def _places(telling: LoadsTelling, part: Part) -> dict[str, str]:
    return {name: telling.metres(getattr(part, name)) for name in ("x0", "x1", "y0", "y1")}


def _picture(telling: LoadsTelling, plan: Plan, wind: str, width: int) -> Iterator[str]:
    parts = (*plan.zones[wind], _inside(plan))
    across = _ticks([x for p in parts for x in (p.x0, p.x1)], width - 2 * MARGIN - 1, LEAST_WIDE)
    up = _ticks([y for p in parts for y in (p.y0, p.y1)], _high(plan, width), LEAST_HIGH)
    wide, high = max(across.values()) + 1, max(up.values()) + 1
    cells = [[" "] * wide for _ in range(high)]
    for part in plan.zones[wind]:
        _frame(cells, part, across, up, None)
    _frame(cells, parts[-1], across, up, "#")
    for part in plan.zones[wind]:
        _letters(cells, part, plan, across, up)
    lead = " " * MARGIN
    ridge, eave = telling.say("loads.plan.ridge"), telling.say("loads.plan.eave")
    yield lead + (_row("v", wide) if wind == "from behind" else ridge)
    for number, line in enumerate(reversed(cells)):
        left = right = lead
        if number in (high // 3, 2 * high // 3):
            left = " >> " if wind == "onto the left end" else lead
            right = " <<" if wind == "onto the right end" else ""
        yield (left + "".join(line) + right).rstrip()
    yield lead + (_row("^", wide) if wind == "onto the eave" else eave)


def _row(sign: str, wide: int) -> str:
    return ((sign + " " * 7) * (wide // 8)).rstrip()


def _inside(plan: Plan) -> Part:
    """The piece of the array that lies on the plane."""
    a = plan.array
    x0, x1 = (min(max(x, 0.0), plan.length_m) for x in (a.x0, a.x1))
    y0, y1 = (min(max(y, 0.0), plan.slope_m) for y in (a.y0, a.y1))
    return Part(a.name, x0, x1, y0, y1)


def _high(plan: Plan, width: int) -> int:
    """Rows of the picture; a letter is about twice as high as it is wide."""
    return max(6, min(ROWS, round(plan.slope_m / plan.length_m * width / 2)))


def _ticks(places: list[float], room: int, least: int) -> dict[float, int]:
    """Column or row of every edge, in proportion, but none nearer than `least` to the next."""
    edges = sorted({round(x, 6) for x in places})
    total = edges[-1] - edges[0]
    steps = [max(least, round((b - a) / total * room)) for a, b in pairwise(edges)]
    while sum(steps) > room and max(steps) > least:
        steps[steps.index(max(steps))] -= 1
    found, at = {edges[0]: 0}, 0
    for edge, step in zip(edges[1:], steps, strict=True):
        at += step
        found[edge] = at
    return found


def _frame(
    cells: list[list[str]],
    part: Part,
    across: dict[float, int],
    up: dict[float, int],
    sign: str | None,
) -> None:
    """The edge of a rectangle, in one sign or in lines."""
    x0, x1, y0, y1 = _at(part, across, up)
    for x in range(x0, x1 + 1):
        for y in (y0, y1):
            cells[y][x] = sign or ("+" if x in (x0, x1) or cells[y][x] in "+|" else "-")
    for y in range(y0 + 1, y1):
        for x in (x0, x1):
            cells[y][x] = sign or ("+" if cells[y][x] in "+-" else "|")


def _at(part: Part, across: dict[float, int], up: dict[float, int]) -> tuple[int, int, int, int]:
    x0, x1 = (across[round(x, 6)] for x in (part.x0, part.x1))
    y0, y1 = (up[round(y, 6)] for y in (part.y0, part.y1))
    return x0, x1, y0, y1


def _letters(
    cells: list[list[str]], part: Part, plan: Plan, across: dict[float, int], up: dict[float, int]
) -> None:
    """The letter of a zone in its largest piece inside the array, and in that outside."""
    x0, x1, y0, y1 = _at(part, across, up)
    ax0, ax1, ay0, ay1 = _at(_inside(plan), across, up)
    columns = [x for x in sorted(across.values()) if x0 <= x <= x1]
    lines = [y for y in sorted(up.values()) if y0 <= y <= y1]
    best: dict[bool, tuple[int, int, int]] = {}
    for left, right in pairwise(columns):
        for low, top in pairwise(lines):
            inside = ax0 <= left and right <= ax1 and ay0 <= low and top <= ay1
            size = (right - left) * (top - low)
            if size > best.get(inside, (0, 0, 0))[0]:
                best[inside] = (size, (left + right) // 2, (low + top) // 2)
    for _, x, y in best.values():
        start = x - (len(part.name) - 1) // 2
        cells[y][start : start + len(part.name)] = list(part.name)
