"""A question of the trade: what is looked at, why, how, how hard it is, when it is asked."""

from dataclasses import dataclass

from selector.model.rule import Group


@dataclass(frozen=True)
class Effort:
    """Effort of an answer, 1 (a glance) to 5 (a roof opened); None: never asked from the desk."""

    phone: int | None
    roof: int


@dataclass(frozen=True)
class DontKnow:
    """How often nobody can say, as parts per million; None: never asked there."""

    phone: int | None
    roof: int | None
    status: str


@dataclass(frozen=True)
class NeverSkip:
    """No yes without the question; only where `when` may hold, only for `work`, if given."""

    when: tuple[Group, ...] = ()
    work: str | None = None  # substitution | sign-off


@dataclass(frozen=True)
class Question:
    """One observation as it is asked; the wording of its quantities is in the vocabulary."""

    observation: str
    name: str  # of its file: what is asked
    title: str
    group: str
    ask: str
    why: str
    look: tuple[str, ...]  # short steps, the first says the way in one line
    who: str
    effort: Effort
    dont_know: DontKnow
    quantities: tuple[str, ...]  # paths
    answers: tuple[str, ...]  # places of the job file for what is no quantity
    asked_when: tuple[Group, ...]  # asked while this may hold
    stop: bool  # asked first: its answer can end the work
    caution: str
    never_skip: NeverSkip | None
    origin: str


@dataclass(frozen=True)
class Drawing:
    """Our line drawing of one seam end, as a picture and as text for a terminal."""

    shape: str
    svg: str
    text: str
