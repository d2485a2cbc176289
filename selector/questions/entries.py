"""Answers that are no single quantity: what the array reaches and crosses, clip marks, an outline.

Each is typed in one line and put into the job; the job reader has the last word on it.
"""

import re
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

from selector import units
from selector.knowledge.base import Base
from selector.questions.order import Mode
from selector.questions.start import PARALLEL, WAYS_UP, degrees_of, gap_of, lines_of, rows_of
from selector.questions.things import shown_things, things_typed
from selector.questions.typed import UNKNOWN, Data, lengths_in, one_of
from selector.questions.wrong import Shown, Words, WrongError

MOST_SEAMS = 500  # below one array, and steps along one seam: more is a slip of the keyboard
LONG = 5  # marks from which on equal steps are told as such
MILLIMETRE = units.parse("1 mm", "length")
REGULAR = "regular|regelm(?:\u00e4|ae)(?:\u00df|ss)ig"
FIRST = "first|erster?"
PATTERNS = ("every seam", "every second seam")
_SEAM = r"[a-z0-9][a-z0-9_-]*"
_NUMBERED = re.compile(r"([a-z]*)([0-9]{1,4})")


@dataclass(frozen=True)
class Said:
    """A line that was typed, with the job and what it is about."""

    text: str
    way: str | None  # how it was seen
    base: Base
    job: Data
    array: str
    by: str
    mode: Mode


@dataclass(frozen=True)
class Entry:
    """How one thing is typed: its choices, the text that shows an answer, what it makes of a job.

    `put` gives a new job; ValueError says what was expected.
    """

    name: str  # of the hint `talk.entry.NAME`
    put: Callable[[Said], Data]
    choices: tuple[str, ...] = ()


def entry_of(base: Base, path: str) -> Entry | None:
    """How a path is typed that is no quantity; None where it cannot be."""
    if path == "array.zones":
        return Entry("zones", _zones, base.vocabulary.words["zone"])
    return ENTRIES.get(path)


def key_of(path: str) -> str:
    """The key in the job file, as an answer names it."""
    return path.removeprefix("plane.")


def path_named(base: Base, key: str) -> str | None:
    """What a key that is typed before a colon means; None where it means nothing.

    The role may be left out, and all but the last name. ValueError where several end so.
    """
    wanted = "_".join(key.lower().split())
    typed = (p for p, q in base.vocabulary.quantities.items() if not q.derived)
    known = [*typed, "array.zones", *ENTRIES]
    whole = [p for p in known if wanted in (p, p.partition(".")[2])]
    found = whole or [p for p in known if p.endswith(f".{wanted}")]
    if len(found) > 1:
        raise WrongError("typed.fits", given=units.shorten(key), names=Words((*found,)))
    return found[0] if found else None


def no_quantities(job: Data, array: str) -> Iterator[tuple[str, str]]:
    """What was said that is no single quantity: key and text."""
    of: Data = job["arrays"][array]
    for name in ("zones", "clamps", "crosses"):
        if of.get(name):
            yield f"array.{name}", of[name] if name == "clamps" else " ".join(of[name])
    plane: Data = job["planes"][of["plane"]]
    alike: dict[str, list[str]] = {}
    for seam, marks in plane.get("clips", {}).get("marks", {}).get("seams", {}).items():
        text = marks["unknown"] if isinstance(marks, dict) else _in_steps([*map(str, marks)])
        alike.setdefault(text, []).append(seam)
    for text, names in alike.items():
        yield f"clips.marks {' '.join(names)}", text
    for seam, height in plane.get("sheet", {}).get("fixed_at", {}).get("seams", {}).items():
        text = height["unknown"] if isinstance(height, dict) else str(height)
        yield f"sheet.fixed_at {seam}", text
    outline: Data = plane.get("outline", {})
    if sides := outline.get("rectangle"):
        yield "outline", " x ".join(sides)
    if corners := outline.get("polygon"):
        yield "outline", "; ".join(" ".join(c) for c in corners)
    seams: Data = plane.get("seams", {})
    if first := seams.get("first"):
        yield "seams", f"first {first}"
    if named := seams.get("at"):
        yield "seams", "; ".join(f"{name}: {x}" for name, x in named.items())
    if objects := plane.get("objects"):
        yield "objects", shown_things(objects)
    for key, paper in job.get("papers", {}).items():
        covers = paper.get("covers", ())
        covers = [covers] if isinstance(covers, str) else covers
        yield f"papers.{key}", ", ".join((f"{paper['kind']} of {paper['dated']}", *covers))
        if reserve := paper.get("up_to"):
            yield f"papers.{key}.up_to", reserve
    for name, figure in of.get("stated", {}).items():
        yield f"stated.{name}", f"{figure['is']}, paper {figure['paper']}"


def _in_steps(marks: list[str]) -> str:
    """Marks of one seam; many in equal steps by the first, the step and the last."""
    whole = " / ".join(marks)
    if len(marks) < LONG:
        return whole
    places = [units.parse(m, "length") for m in marks]
    steps = {high - low for low, high in pairwise(places)}
    if len(steps) > 1:
        return whole
    first, step, last = (f"{x / MILLIMETRE:g}" for x in (places[0], steps.pop(), places[-1]))
    return f"regular {first} {step} to {last} mm"


def _changed(said: Said) -> tuple[Data, Data]:
    """A new job, and the array in it."""
    job = deepcopy(said.job)
    array: Data = job["arrays"][said.array]
    return job, array


# --- the array -----------------------------------------------------------------------------


def _zones(said: Said) -> Data:
    words = said.base.vocabulary.words["zone"]
    named = {one_of(p, words) for p in re.split(r"\s*[,;/+]\s*|\s+and\s+|\s+", said.text) if p}
    job, array = _changed(said)
    array["zones"] = [w for w in words if w in named]
    return job


def _pattern(said: Said) -> Data:
    job, array = _changed(said)
    array["clamps"] = one_of(said.text, PATTERNS)
    return job


def _crosses(said: Said) -> Data:
    job, array = _changed(said)
    array["crosses"] = seams(said.text)
    return job


def seams(text: str) -> list[str]:
    """Names of seams, of `s03 s05` or `s03 to s07`; bare numbers are seams from the left verge."""
    joined = re.sub(r"\s*(?:\bto\b|\bbis\b|\.\.+|-|–)\s*", "..", text.lower())
    found: list[str] = []
    for part in re.split(r"[\s,;]+", joined.strip(" ,;")):
        first, dots, last = part.partition("..")
        found += _run(first, last) if dots else [_seam(part)]
    twice = sorted({s for s in found if found.count(s) > 1})
    if twice:
        raise WrongError("typed.seam.twice", seam=units.shorten(twice[0]))
    if len(found) > MOST_SEAMS:
        raise WrongError("typed.seam.many", most=MOST_SEAMS)
    return found


def _seam(text: str) -> str:
    """One name as the job file writes it; `7` is the seam `s07`."""
    if not re.fullmatch(_SEAM, text):
        raise WrongError("typed.seam.name", given=units.shorten(text))
    return f"s{int(text):02d}" if text.isdecimal() and len(text) <= 4 else text


def _run(first: str, last: str) -> list[str]:
    """Seams from one to another, both counted."""
    low, high = _NUMBERED.fullmatch(_seam(first)), _NUMBERED.fullmatch(_seam(last))
    if low is None or high is None or low[1] != high[1] or int(low[2]) > int(high[2]):
        raise WrongError("typed.seam.order", given=units.shorten(f"{first} to {last}"))
    if int(high[2]) - int(low[2]) >= MOST_SEAMS:
        raise WrongError("typed.seam.many", most=MOST_SEAMS)
    wide = len(low[2])
    return [f"{low[1]}{n:0{wide}d}" for n in range(int(low[2]), int(high[2]) + 1)]


def _corner(said: Said) -> Data:
    job, array = _changed(said)
    sides = lengths_in(said.text.replace(" x ", " "), "m")
    if len(sides) != 2:
        raise WrongError("typed.corner")
    array["block"] |= {"from_eave": sides[0], "from_left": sides[1]}
    return job


def _of_the_array(key: str, read: Callable[[str], object]) -> Callable[[Said], Data]:
    """Something of the array that was said when the job was new, said otherwise."""

    def put(said: Said) -> Data:
        job, array = _changed(said)
        array[key] = read(said.text)
        return job

    return put


def _module(said: Said) -> Data:
    job, array = _changed(said)
    catalogue = said.base.catalogues[str(array["module"]).partition("/")[0]]
    handle = one_of(said.text, [p.handle for p in catalogue.slot("module")])
    array["module"] = f"{catalogue.name}/{handle}"
    return job


def _rows(said: Said) -> Data:
    job, array = _changed(said)
    array["block"] |= dict(zip(("rows", "columns"), rows_of(said.text), strict=True))
    return job


def _gap(said: Said) -> Data:
    job, array = _changed(said)
    array["block"]["gap"] = gap_of(said.text)
    return job


def _way_up(text: str) -> str:
    return one_of(text, WAYS_UP)


def _tilt(text: str) -> str:
    return "parallel" if PARALLEL.startswith(text.lower()) else degrees_of(text)


# --- clip marks ----------------------------------------------------------------------------


def _marks(said: Said) -> Data:
    """Marks of one seam or several, beside those that are there."""
    read = {}
    for part in filter(None, (p.strip() for p in said.text.split(";"))):
        name, colon, rest = part.partition(":")
        if not colon:
            raise WrongError("typed.marks.seam_first", given=units.shorten(part))
        if re.search(r"\s", name.strip()):
            raise WrongError("typed.marks.one_seam", given=units.shorten(name))
        seam, tolerance = _seam(name.strip().lower()), said.base.vocabulary.mark_tolerance
        if seam in read:
            raise WrongError("typed.seam.twice", seam=seam)
        read[seam] = _on_one_seam(seam, rest.strip(), tolerance)
    if not read:
        raise WrongError("typed.marks.none")
    found = any(isinstance(value, list) for value in read.values())
    if said.way is None and said.mode == "phone" and found:
        raise WrongError("typed.marks.how")
    job, array = _changed(said)
    clips = job["planes"][array["plane"]].setdefault("clips", {})
    before = clips.get("marks", {"seams": {}})
    ways = [before.get("how"), said.way or ("eyes" if found else "said")]
    if before.get("by", said.by) != said.by:
        ways[0] = f"{before['how']} ({before['by']})"
    how = "; ".join(dict.fromkeys(w for w in ways if w))
    clips["marks"] = {**before, "how": how, "by": said.by, "seams": {**before["seams"], **read}}
    return job


def _fixed(said: Said) -> Data:
    """Heights at which sheets are held, beside those that are there."""
    read: dict[str, object] = {}
    for part in filter(None, (p.strip() for p in said.text.split(";"))):
        name, colon, rest = part.partition(":")
        lengths: list[str] = []
        unknown = UNKNOWN.get(rest.strip().lower(), "can't reach" if rest.strip() == "!" else "")
        if colon and not unknown:
            lengths = lengths_in(rest, "m")
        if not colon or (len(lengths) != 1 and not unknown):
            raise WrongError("typed.fixed", given=units.shorten(part))
        for seam in seams(name):
            if seam in read:
                raise WrongError("typed.seam.twice", seam=seam)
            read[seam] = {"unknown": unknown} if unknown else lengths[0]
    if not read:
        raise WrongError("typed.fixed", given=units.shorten(said.text))
    job, array = _changed(said)
    sheet = job["planes"][array["plane"]].setdefault("sheet", {})
    before = sheet.get("fixed_at", {"seams": {}})
    how = said.way or ("said" if said.mode == "phone" else "eyes")
    together = {**before["seams"], **read}
    sheet["fixed_at"] = {**before, "how": how, "by": said.by, "seams": together}
    return job


def _on_one_seam(seam: str, text: str, tolerance: int) -> object:
    """Distances from the eave, or that nobody can say."""
    if text == "!" or text.lower() in UNKNOWN:
        return {"unknown": "can't reach" if text == "!" else UNKNOWN[text.lower()]}
    regular = re.match(REGULAR, text.lower())
    if regular:
        return _regular(seam, text[regular.end() :].strip(), tolerance)
    marks = lengths_in(text, "mm")
    if len(marks) > MOST_SEAMS:
        raise WrongError("typed.marks.many", seam=seam, most=MOST_SEAMS)
    return marks


def _regular(seam: str, text: str, tolerance: int) -> list[str]:
    """Marks that were measured as equal steps: the first, the step, and the last that was seen."""
    steps, to, last = re.sub(r"\bbis\b", "to", text).partition(" to ")
    sides = lengths_in(steps, "mm") if steps else []
    if len(sides) != 2 or not to:
        raise WrongError("typed.marks.regular", seam=seam)
    first, step, end = (units.parse(x, "length") for x in (*sides, *lengths_in(last, "mm")[:1]))
    if step < 2 * tolerance or not first < end <= first + MOST_SEAMS * step:
        holes = {"first": sides[0], "step": sides[1], "last": last}
        raise WrongError("typed.marks.not_reached", seam=seam, **holes)
    number = round((end - first) / step)
    if abs(first + number * step - end) > tolerance:
        near = Shown(units.show(first + number * step, "length"))
        raise WrongError("typed.marks.other_end", seam=seam, near=near, last=last)
    return [f"{(first + i * step) / MILLIMETRE:g} mm" for i in range(number + 1)]


# --- where the seams run ---------------------------------------------------------------------


def _seams(said: Said) -> Data:
    """Seams from the left end of the eave, each by its name, or the first one alone."""
    tools = said.base.vocabulary.quantities["plane.seam.spacing"].tools
    if said.way not in tools:
        raise WrongError("typed.seams.tool", tools=Words((*tools,)))
    text = said.text.strip().lower()
    way = {"tool": said.way, "by": said.by}
    alone = re.match(FIRST, text)
    if alone:
        [*lengths] = lengths_in(text[alone.end() :], "mm")
        if len(lengths) != 1:
            raise WrongError("typed.seams.first")
        shape: Data = {"first": lengths[0]}
    else:
        read: dict[str, str] = {}
        for one in re.split(r"\s*;\s*", text):
            name, colon, rest = one.partition(":")
            lengths = lengths_in(rest, "mm") if colon else []
            if len(lengths) != 1:
                raise WrongError("typed.seams.each")
            read[_seam(name.strip())] = lengths[0]
        shape = {"at": read}
    job, array = _changed(said)
    job["planes"][array["plane"]]["seams"] = {**shape, **way}
    return job


# --- the outline ---------------------------------------------------------------------------


def _outline(said: Said) -> Data:
    """A rectangle, eave x slope, or corners from the lower left, divided by commas."""
    text = said.text.lower()
    way = {"how": said.way or ("said" if said.mode == "phone" else "eyes"), "by": said.by}
    if " x " in text:
        sides = lengths_in(text.replace(" x ", " "), "m")
        if len(sides) != 2:
            raise WrongError("typed.outline")
        shape: Data = {"rectangle": sides}
    else:
        corners = [lengths_in(c, "m") for c in re.split(r"\s*[;]\s*|\s*,\s+", text) if c.strip()]
        if len(corners) < 3 or any(len(c) != 2 for c in corners):
            raise WrongError("typed.outline")
        shape = {"polygon": corners}
    job, array = _changed(said)
    job["planes"][array["plane"]]["outline"] = {**shape, **way}
    return job


def _objects(said: Said) -> Data:
    """Obstacles, each by its name, with where it stands, its size and how far it rises."""
    tools = said.base.vocabulary.quantities["plane.taller_step"].tools
    if said.way not in tools:
        raise WrongError("typed.seams.tool", tools=Words((*tools,)))
    way = {"tool": said.way, "by": said.by}
    job, array = _changed(said)
    found = {name: {**thing, **way} for name, thing in things_typed(said.text).items()}
    job["planes"][array["plane"]]["objects"] = found
    return job


def _paper(said: Said) -> Data:
    raise WrongError("typed.paper")


ENTRIES = MappingProxyType(
    {
        "site.papers.owner": Entry("paper", _paper),
        "array.clamps": Entry("clamps", _pattern, PATTERNS),
        "array.crosses": Entry("crosses", _crosses),
        "array.block": Entry("corner", _corner),
        "plane.clips.marks": Entry("marks", _marks),
        "plane.sheet.fixed_at": Entry("fixed", _fixed),
        "plane.outline": Entry("outline", _outline),
        "plane.seams": Entry("seams", _seams),
        "plane.objects": Entry("objects", _objects),
        "array.module": Entry("module", _module),
        "array.orientation": Entry("orientation", _of_the_array("orientation", _way_up)),
        "array.tilt": Entry("tilt", _of_the_array("tilt", _tilt)),
        "array.rows": Entry("rows", _rows),
        "array.gap": Entry("gap", _gap),
        "array.rail_lines": Entry("lines", _of_the_array("rail_lines", lines_of)),
    }
)
