"""What is worked out of the actions on one array, and what is still open."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from selector.engineering.lines import TO_CONFIRM
from selector.model.truth import Word

TOPICS = ("wind", "snow", "weight", "combinations")
# Links of the load path by their loaded area: the module itself, and what holds it.
LINKS = ("module", "fixing")
DIRECTIONS = ("uplift", "pressure", "along")


class Ends(NamedTuple):
    """Lowest and highest value, in SI; both equal where it is known exactly."""

    low: float
    high: float


@dataclass(frozen=True)
class Row:
    """One line of the calculation; `inputs` are symbols of rows before it."""

    symbol: str
    value: Ends | str
    unit: str
    clause: str
    source: str
    status: str
    inputs: tuple[str, ...] = ()
    how: str = ""
    origin: str = ""
    zone: str = ""  # of the wind, whose coefficient it is


@dataclass(frozen=True)
class Open:
    """Why there is no figure: something to look at, or what an engineer has to decide.

    `kind` is how it is said; `about` a path of the job to ask for, or what lies outside a range.
    """

    word: Word
    # missing | contradicted | inexact | paper | disagree | outside | straddles | trial | engineer
    kind: str
    about: str
    given: str = ""
    allowed: str = ""
    clause: str = ""
    also: tuple[str, ...] = ()  # further paths to ask for


@dataclass(frozen=True)
class Topic:
    """One kind of action: its word, what is open, and its rows where they could be worked out."""

    name: str
    word: Word
    opens: tuple[Open, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class ZoneRow:
    """One zone in one wind: both tabled coefficients, and by link what they give, in Pa.

    `up` is the least coefficient of both rows of signs, `down` the largest one.
    """

    name: str
    wind: str
    table: str
    touched: str  # yes | perhaps | no
    up: Mapping[str, Ends]  # cpe,10, cpe,1, module, fixing -> coefficient
    down: Mapping[str, Ends]
    lift_pa: Mapping[str, Ends]  # link -> pressure away from the roof
    press_pa: Mapping[str, Ends]
    clause: str
    status: str


@dataclass(frozen=True)
class Worst:
    """The worst pressure on pieces of one link anywhere in the array, and where it comes from."""

    pressure_pa: Ends
    coefficient: Ends  # without its sign
    zone: str
    wind: str


@dataclass(frozen=True)
class Drift:
    """One drift: what it lies at, how far the array is from it and how far it reaches, in m.

    `pa` is the snow on the array where it is nearest, on plan.
    """

    name: str
    kind: str  # obstacle | parapet | taller
    distance_m: Ends
    length_m: Ends
    pa: Ends

    @property
    def reaches(self) -> bool:
        """Whether it may reach the array."""
        return self.distance_m.low < self.length_m.high


@dataclass(frozen=True)
class Part:
    """A rectangle on the plane: from the left end and from the eave, in m."""

    name: str
    x0: float
    x1: float
    y0: float
    y1: float


@dataclass(frozen=True)
class Plan:
    """The plane seen from above, in the middle of each measure: zones by wind, and the array."""

    length_m: float
    slope_m: float
    zones: Mapping[str, tuple[Part, ...]]  # wind -> zones
    array: Part
    exact: bool
    reach: Mapping[str, tuple[Part, ...]] = field(default_factory=dict)  # as far as zones may reach


@dataclass(frozen=True)
class SetRow:
    """One part of a named design set on one link, in Pa of slope."""

    name: str
    part: str  # uplift | pressure | along
    value_pa: Ends
    clause: str
    how: str
    inputs: tuple[str, ...]
    status: str


@dataclass(frozen=True)
class LinkSets:
    """All design sets of one link; by direction the one that governs."""

    sets: tuple[SetRow, ...]
    governing: Mapping[str, SetRow]


@dataclass(frozen=True)
class Loads:
    """All actions on one array of a job."""

    job: str
    as_of: str
    array: str
    plane: str
    code: str
    country: str
    invented: tuple[str, ...]  # catalogues and national choices that are not real
    topics: Mapping[str, Topic]
    area_m2: Mapping[str, float]  # loaded area by link
    peak_pa: Ends | None = None
    zones: tuple[ZoneRow, ...] = ()
    lift: Mapping[str, Worst] = field(default_factory=dict)  # by link
    press: Mapping[str, Worst] = field(default_factory=dict)
    snow_pa: Ends | None = None
    accidental_pa: Ends | None = None
    drift_pa: Ends | None = None  # exceptional
    drifts: tuple[Drift, ...] = ()
    weight_pa: Ends | None = None
    sets: Mapping[str, LinkSets] = field(default_factory=dict)  # by link
    not_applicable: Mapping[str, str] = field(default_factory=dict)
    plan: Plan | None = None
    gamma_wind: float | None = None  # of wind in the sets that lift
    trial: bool = False  # by a code on trial: nothing here without a licensed engineer

    @property
    def word(self) -> Word:
        """The strongest word of all topics."""
        return max(topic.word for topic in self.topics.values())

    @property
    def opens(self) -> tuple[tuple[Open, tuple[str, ...]], ...]:
        """Everything that is open, once, with the topics that wait for it; what stops comes first.

        Combinations wait for the other three, which say so themselves.
        """
        found: dict[Open, list[str]] = {}
        for topic in self.topics.values():
            for one in topic.opens:
                found.setdefault(one, []).append(topic.name)
        order = sorted(found.items(), key=lambda item: -item[0].word)
        return tuple((one, tuple(names)) for one, names in order)

    @property
    def to_confirm(self) -> tuple[Row, ...]:
        """Rows whose own number somebody has to look up or to answer for, once each."""
        rows = (r for topic in self.topics.values() for r in topic.rows if r.origin)
        weak = ((r.symbol, r) for r in rows if r.status in TO_CONFIRM and not r.inputs)
        return tuple(dict(weak).values())
