"""A paper that somebody has in hand, asked for in small steps, and put into the job."""

import re
from copy import deepcopy
from types import MappingProxyType

from selector import units
from selector.facts.papers import OF_THE_ROOF, TOPICS
from selector.jobs.read import LEAST_RESERVE, MOST_RESERVE, STATED
from selector.knowledge import schema
from selector.knowledge.base import Base
from selector.model.job import ROOF_ZONES, Paper
from selector.questions.figures import MOST, STATES
from selector.questions.form import Form, Given, Item, in_order
from selector.questions.typed import Data, day, figure, one_of
from selector.questions.wrong import WrongError

NONE = "none"
TILTS = ("roof-parallel", "elevated")
OF_ELEVATED = ("drift snow", "wind from behind", "front and rear clamps")
OF_A_ROOF = ("sheet data",)
KEYS = MappingProxyType({"engineer's calculation": "calc", OF_THE_ROOF: "system"})
_FIGURE = re.compile(
    r"(.+?)[ :]+([0-9]+(?:[.,][0-9]+)? ?[A-Za-z][A-Za-z0-9/]*|[0-9]+(?:[.,][0-9]+)?)"
)


def paper_form(base: Base, job: Data, array: str, kind: str = "") -> Form:
    """Kind, date, how long it counts, what it covers, the figures it states."""

    def of_kind(given: Given) -> Item:
        kinds = base.vocabulary.words["paper"]
        return _item("kind", lambda said: one_of(said, kinds), kinds, kind)

    def dated(given: Given) -> Item:
        return _item("dated", lambda said: _not_after(day(said), job), hint="talk.new.such_as_day")

    def until(given: Given) -> Item:
        hint = "talk.new.such_as_day"
        return _item("until", lambda said: None if said == NONE else day(said), (), NONE, hint)

    def covers(given: Given) -> Item | None:
        words = topics(base, job, array, given["kind"])
        return _item("covers", lambda said: several(said, words), words, NONE) if words else None

    def up_to(given: Given) -> Item | None:
        if given["kind"] not in Paper.STATES_RESERVE or not {*TILTS} & {*given["covers"]}:
            return None
        return _item("up_to", _reserve, (), NONE, "talk.paper.such_as_reserve")

    def figures(given: Given) -> Item | None:
        if given["kind"] not in Paper.STATES_FIGURES or f"array {array}" not in given["covers"]:
            return None
        names = tuple(f"{name.replace('_', ' ')}\t{units.SHOWN[d]}" for name, d in STATED.items())
        there = job["arrays"][array].get("stated", {})
        return _item("figures", lambda said: _figures(said, there), names, NONE)

    return Form(in_order(of_kind, dated, until, covers, up_to, figures))


def with_paper(job: Data, array: str, given: Given) -> Data:
    """The job with the paper, and with the figures that it states for the array."""
    new = deepcopy(job)
    papers = new.setdefault("papers", {})
    key = _free(KEYS.get(given["kind"], given["kind"].rpartition(" ")[2]), papers)
    figures = given.get("figures", {})
    covers = [*given.get("covers", ()), *(name.replace("_", " ") for name in figures)]
    paper = {"kind": given["kind"], "dated": given["dated"], "covers": covers}
    paper |= {k: v for k in ("until", "up_to") if (v := given.get(k)) is not None}
    papers[key] = paper
    if figures:
        zones = [w for w in given["covers"] if w in ("field", "edge", "corner")]
        stated = new["arrays"][array].setdefault("stated", {})
        for name, value in figures.items():
            stated[name] = {"is": value, "paper": key, "covers": [f"array {array}", *zones]}
    return new


def topics(base: Base, job: Data, array: str, kind: str) -> tuple[str, ...]:
    """What a paper of a kind can cover, as the rules read it."""
    found: list[str] = []
    if kind in Paper.STATES_FIGURES:
        found += [f"array {array}", ROOF_ZONES, "building"]
    if kind in Paper.STATES_RESERVE:
        found += TILTS
    if kind in Paper.STATES_FIGURES:
        found += [*OF_ELEVATED, *base.vocabulary.words["zone"]]
    if kind == OF_THE_ROOF:
        found += [*OF_A_ROOF, *_of_the_owner(base, job), f"array {array}"]
    elif kind in ("invoice", "drawing"):
        found += OF_A_ROOF
    if kind not in ("photo", "sample", "national map sheet", "test report"):
        found += [text for text, kinds in TOPICS.values() if not kinds or kind in kinds]
    return tuple(found)


def _of_the_owner(base: Base, job: Data) -> list[str]:
    """Profiles of the catalogues, the clamps that are theirs alone, and the metals of sheets."""
    profiles = [p for name in job["catalogues"] for p in base.catalogues[name].slot("profile")]
    owned = [p.shape.takes_only for p in profiles if isinstance(p.shape, schema.Profile)]
    clamps = [f"clamp {handle}" for handle in dict.fromkeys(filter(None, owned))]
    names = [f"profile {p.handle}" for p in profiles]
    return [*names, *clamps, *base.vocabulary.words["metal"]]


def several(said: str, words: tuple[str, ...]) -> list[str]:
    """Words of a list, by numbers or whole with commas between; `none` is none of them.

    A start of a word is not enough: what a paper covers is never guessed.
    """
    if said.lower() == NONE:
        return []
    bare = re.fullmatch(r"[0-9]+(?:[ ,;]+[0-9]+)*", said) is not None
    parts = re.split(r"[ ,;]+" if bare else r"\s*[,;]\s*", said)
    named = {one_of(part, words) for part in parts if part}
    if not bare and not {p.lower() for p in parts if p} <= {w.lower() for w in named}:
        raise WrongError("typed.not_whole", given=units.shorten(said))
    return [w for w in words if w in named]


def _item(
    name: str, read: object, choices: tuple[str, ...] = (), usual: str = "", hint: str = ""
) -> Item:
    return Item(name, False, read, choices, usual, hint)  # type: ignore[arg-type]


def _not_after(dated: str, job: Data) -> str:
    if dated > job["as_of"]:
        raise WrongError("typed.after", dated=dated, day=job["as_of"])
    return dated


def _reserve(said: str) -> str | None:
    window = (LEAST_RESERVE, MOST_RESERVE)
    return None if said == NONE else figure(said, "pressure", "kPa", window)


def _figures(said: str, there: Data) -> dict[str, str]:
    """Figures by name, of `uplift per clamp 0.42 kN; net uplift 0.9 kPa` or by their numbers."""
    if said == NONE:
        return {}
    found: dict[str, str] = {}
    names = [name.replace("_", " ") for name in STATED]
    for part in filter(None, (p.strip() for p in said.split(";"))):
        match = _FIGURE.fullmatch(part)
        if match is None:
            raise WrongError("typed.no_figures", given=units.shorten(part))
        name = one_of(match[1], names).replace(" ", "_")
        if name in found or name in there:
            raise WrongError("typed.stated", name=name.replace("_", " "), key=STATES + name)
        dimension = STATED[name]
        found[name] = figure(match[2], dimension, units.SHOWN[dimension], (1, MOST[dimension]))
    return found


def _free(name: str, taken: Data) -> str:
    """A name that no paper of the job has."""
    number = next(
        n for n in range(1, len(taken) + 2) if (name if n == 1 else f"{name}-{n}") not in taken
    )
    return name if number == 1 else f"{name}-{number}"
