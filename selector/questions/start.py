"""A talk without a job file: the few things that every job must say, and the job they make."""

import re
from pathlib import PurePath

from selector import units
from selector.jobs.migrate import NEWEST
from selector.jobs.schema import MOST_COLUMNS, MOST_LINES, MOST_ROWS
from selector.knowledge import schema
from selector.knowledge.base import Base, Catalogue
from selector.questions.form import Form, Given, Item, in_order
from selector.questions.order import Mode
from selector.questions.typed import Data, day, figure, one_of
from selector.questions.wrong import WrongError

ROLES = {
    "salesperson": "sales",
    "installer": "installer",
    "roofer": "roofer",
    "owner of the house": "owner",
}
PLANE, ARRAY = "roof", "a1"
WAYS_UP = ("portrait", "landscape")
PARALLEL, ELEVATED = "parallel to the roof", "elevated"
STEEPEST = units.parse("60 deg", "angle")  # a module above that stands on its edge
MILLIMETRE = units.parse("1 mm", "length")
WIDEST_GAP = units.parse("500 mm", "length")
USUAL_GAP, USUAL_LINES = "20 mm", "2"  # common practice, no source; the person takes or changes it
_BLOCK = re.compile(r"([0-9]{1,4}) ?(?:x|by|mal|\*|×) ?([0-9]{1,4})", re.IGNORECASE)


def new_job(base: Base, mode: Mode, today: str) -> Form:
    """The questions of a new job: who talks, which parts, the array."""

    def who(given: Given) -> Item:
        usual = "installer" if mode == "roof" else "salesperson"
        return _choice("who", tuple(ROLES), usual)

    def catalogue(given: Given) -> Item | None:
        every = [base.catalogues[name] for name in sorted(base.catalogues)]
        if len(every) == 1:
            return None
        labels = tuple(f"{c.name}\t{c.tag}" for c in every)
        return _choice("catalogue", labels, _usual_catalogue(every).name)

    def as_of(given: Given) -> Item | None:
        chosen = chosen_catalogue(base, given)
        best = best_day(chosen)
        if chosen.tag != "invented" or 2 * _counting(chosen, today) >= _counting(chosen, best):
            return None
        holes = (("today", today),)
        return _item("as_of", day, usual=best, hint="talk.new.such_as_day", holes=holes)

    def module(given: Given) -> Item:
        parts = chosen_catalogue(base, given).slot("module")
        labels = tuple(f"{p.handle}\t{_module(p.shape)}" for p in parts)
        return _choice("module", labels, parts[0].handle if len(parts) == 1 else "")

    def tilt(given: Given) -> Item:
        return _choice("tilt", (PARALLEL, ELEVATED), PARALLEL)

    def degrees(given: Given) -> Item | None:
        asked = base.question_of("array.tilt")
        caution = asked.caution if asked is not None else ""
        return _item("degrees", degrees_of, caution=caution) if given["tilt"] == ELEVATED else None

    def orientation(given: Given) -> Item:
        return _choice("orientation", WAYS_UP, WAYS_UP[0])

    return Form(
        in_order(
            who,
            catalogue,
            as_of,
            module,
            orientation,
            lambda given: _item("block", rows_of, hint="talk.new.such_as_block"),
            lambda given: _item("gap", gap_of, usual=USUAL_GAP),
            tilt,
            degrees,
            lambda given: _item("lines", lines_of, usual=USUAL_LINES),
        )
    )


def job_data(base: Base, given: Given, name: str, by: str | None, today: str) -> Data:
    """The job that the answers make, as its file says it."""
    rows, columns = given["block"]
    chosen = chosen_catalogue(base, given)
    array = {
        "plane": PLANE,
        "module": f"{chosen.name}/{given['module']}",
        "orientation": given["orientation"],
        "tilt": given.get("degrees", "parallel"),
        "block": {"rows": rows, "columns": columns, "gap": given["gap"]},
        "rail_lines": given["lines"],
    }
    return {
        "seamwright": f"job/{NEWEST}",
        "id": name,
        "as_of": given.get("as_of", today),
        "catalogues": [chosen.name],
        "request": {"kind": "choose", "array": ARRAY},
        "people": {by or ROLES[given["who"]]: {"role": given["who"]}},
        "site": {},
        "planes": {PLANE: {}},
        "arrays": {ARRAY: array},
        "stacks": {},
        "chosen": "none yet",
    }


def job_id(file: str) -> str:
    """Short name of a job from the name of its file."""
    bare = re.sub(r"[^a-z0-9_-]+", "-", PurePath(file).stem.lower()).strip("-_")
    return bare[:40] or "roof"


def chosen_catalogue(base: Base, given: Given) -> Catalogue:
    """The catalogue that was chosen, or the only one."""
    return base.catalogues[given.get("catalogue") or next(iter(base.catalogues))]


# --- the day -------------------------------------------------------------------------------


def best_day(catalogue: Catalogue) -> str:
    """The earliest day on which most records of an invented catalogue count."""
    days = sorted({r.shape.valid.since for r in catalogue.records})
    return max(days, key=lambda day: _counting(catalogue, day), default="")


def _counting(catalogue: Catalogue, day: str) -> int:
    terms = [r.shape.valid for r in catalogue.records]
    return sum(t.since <= day <= t.until for t in terms if not t.withdrawn)


def _usual_catalogue(every: list[Catalogue]) -> Catalogue:
    """Real parts before invented ones, then the catalogue with the most of them."""
    return max(every, key=lambda c: (c.tag == "real", len(c.parts)))


# --- reading -------------------------------------------------------------------------------


def _item(name: str, read: object, hint: str = "", **more: object) -> Item:
    return Item(name, True, read, hint=hint, **more)  # type: ignore[arg-type]


def _choice(name: str, choices: tuple[str, ...], usual: str) -> Item:
    words = [c.partition("\t")[0] for c in choices]
    return Item(name, True, lambda said: one_of(said, words), choices, usual)


def _module(shape: schema.PartShape) -> str:
    assert isinstance(shape, schema.Module)
    length, width = (x // MILLIMETRE for x in (shape.length, shape.width))
    return f"{shape.text}, {length} x {width} mm"


def rows_of(said: str) -> tuple[int, int]:
    """Rows and modules a row, of `2 x 6`."""
    found = _BLOCK.fullmatch(said)
    if found is None:
        raise WrongError("typed.rows", given=units.shorten(said))
    rows, columns = int(found[1]), int(found[2])
    if not 1 <= rows <= MOST_ROWS or not 1 <= columns <= MOST_COLUMNS:
        raise WrongError("typed.too_many_rows", given=said, rows=MOST_ROWS, columns=MOST_COLUMNS)
    return rows, columns


def gap_of(said: str) -> str:
    """Gap between modules, a bare number in millimetres."""
    return figure(said, "length", "mm", (0, WIDEST_GAP))


def degrees_of(said: str) -> str:
    """Tilt of an elevated array against the roof, a bare number in degrees."""
    return figure(said, "angle", "deg", (units.parse("1 deg", "angle"), STEEPEST))


def lines_of(said: str) -> int:
    """Rail lines of one row of modules."""
    if not said.isascii() or not said.isdigit() or not 1 <= int(said[:4]) <= MOST_LINES:
        raise WrongError("typed.lines", most=MOST_LINES, given=units.shorten(said))
    return int(said)
