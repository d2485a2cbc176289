"""The file `pull/1` of pull tests as shapes; words and dates are checked on reading."""

import re
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from selector import units
from selector.jobs.schema import Name, PaperShape, PersonShape
from selector.knowledge.schema import Date, Shape, number

VERSION = "pull/1"
MOST_PULLS = 500
MOST_FORCE = units.parse("50 kN", "force")  # no clip of a roof takes so much
LONGEST = units.parse("100 m", "length")  # slope of a roof
THICKEST_SHEET = units.parse("3 mm", "length")
THICKEST_DECK = units.parse("500 mm", "length")
LONGEST_HOLD = 7 * 24 * 3600
SECONDS = {"s": 1, "min": 60, "h": 3600}
_TIME = re.compile(r"([0-9]{1,6})\s*([a-z]+)")


def _load(value: object) -> int:
    found = number("force")(value)
    if not 0 < found <= MOST_FORCE:
        shown = units.show(MOST_FORCE, "force")
        raise ValueError(
            f"`{units.shorten(value)}` cannot be right; above 0 and at most {shown} is plausible"
        )
    return found


def _seconds(value: object) -> int:
    match = _TIME.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is None or match[2] not in SECONDS:
        wanted = "expected whole seconds, minutes or hours such as `60 s` or `5 min`"
        raise ValueError(f"{wanted}, given `{units.shorten(value)}`")
    found = int(match[1]) * SECONDS[match[2]]
    if not 0 < found <= LONGEST_HOLD:
        raise ValueError(f"`{units.shorten(value)}` cannot be right for a load that was held")
    return found


def _failure(value: object) -> str:
    """`break`, or `moved 3 mm`, as one text."""
    if value == "break":
        return "break"
    if isinstance(value, str) and value.startswith("moved "):
        moved = number("length")(value.removeprefix("moved "))
        if moved > 0:
            return f"moved {units.show(moved, 'length')}"
    raise ValueError(f"expected `break` or `moved 3 mm`, given `{units.shorten(value)}`")


def _at_most(most: int, least: int = 1) -> BeforeValidator:
    def read(value: object) -> int:
        found = number("length")(value)
        if not least <= found <= most:
            shown = units.show(most, "length")
            raise ValueError(
                f"`{units.shorten(value)}` cannot be right; up to {shown} is plausible"
            )
        return found

    return BeforeValidator(read)


def _share(value: object) -> float:
    """A share in percent as a number."""
    found = number("share")(value) / units.parse("100 %", "share")
    if not 0.01 <= found <= 1:
        raise ValueError(f"`{units.shorten(value)}` cannot be right; 1 to 100 % is plausible")
    return found


def _factor(name: str, least: float, most: float) -> BeforeValidator:
    """A bare number between two ends."""

    def read(value: object) -> float:
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if not number or not least <= float(str(value)) <= most:
            given = units.shorten(value)
            raise ValueError(f"{name} is a number from {least:g} to {most:g}, given `{given}`")
        return float(str(value))

    return BeforeValidator(read)


Load = Annotated[int, BeforeValidator(_load)]
Seconds = Annotated[int, BeforeValidator(_seconds)]
Failure = Annotated[str, BeforeValidator(_failure)]
SheetThickness = Annotated[int, _at_most(THICKEST_SHEET)]
DeckThickness = Annotated[int, _at_most(THICKEST_DECK)]
AlongSlope = Annotated[int, _at_most(LONGEST, 0)]
ShareOf = Annotated[float, BeforeValidator(_share)]
Direction = Literal["away from the roof", "down the slope"]
Text = Annotated[str, Field(min_length=1, max_length=200)]


class PulledShape(Shape):
    """Who pulled, when, and with which tool."""

    on: Date
    by: Name
    tool: Text
    calibrated: Date
    calibrated_until: Date | None = None


class LinkShape(Shape):
    """What was pulled: the clip, how it is fixed, and into what."""

    link: Literal["clip in deck"]
    clip: str
    nails: Text | None = None
    deck: str
    deck_thickness: DeckThickness
    shape: str
    metal: str
    sheet_thickness: SheetThickness
    direction: Direction
    failure: Failure


class OtherShape(Shape):
    """What of the link was otherwise at one pull."""

    clip: str | None = None
    nails: Text | None = None
    deck: str | None = None
    deck_thickness: DeckThickness | None = None
    shape: str | None = None
    metal: str | None = None
    sheet_thickness: SheetThickness | None = None
    direction: Direction | None = None
    failure: Failure | None = None


class PullShape(Shape):
    """One pull: it failed at a load, or held one; a proof test says what it was to hold."""

    seam: Name
    from_eave: AlongSlope
    zone: str
    failed_at: Load | None = None
    mode: Text | None = None
    held: Load | None = None
    for_: Annotated[Seconds | None, Field(alias="for")] = None
    to_hold: Load | None = None
    but: OtherShape = OtherShape()

    @model_validator(mode="after")
    def _one_outcome(self) -> "PullShape":
        if (self.failed_at is None) == (self.held is None):
            raise ValueError("give either `failed_at` or `held`")
        if self.held is not None:
            if self.for_ is None:
                raise ValueError("`held` wants `for`: how long, such as `60 s`")
            if self.mode is not None or self.to_hold is not None:
                raise ValueError("what held has no `mode` and no `to_hold`")
        elif self.mode is None:
            raise ValueError("`failed_at` wants `mode`: how it failed")
        elif self.for_ is not None:
            raise ValueError("`for` belongs to `held`")
        if self.failed_at is not None and self.failed_at >= (self.to_hold or self.failed_at + 1):
            raise ValueError("it failed at `to_hold` or above; leave `to_hold` out")
        return self


class ForceShape(Shape):
    """A force that a paper states."""

    is_: Load = Field(alias="is")
    paper: str


class FactorShape(Shape):
    """A factor that a paper states."""

    is_: float = Field(alias="is")
    paper: str


class EtaShape(FactorShape):
    """Conversion factor: age, moisture, temperature, repeated load; it only takes away."""

    is_: Annotated[float, Field(alias="is"), _factor("eta_d", 0.05, 1)]


class GammaShape(FactorShape):
    """Partial factor of the resistance."""

    is_: Annotated[float, Field(alias="is"), _factor("gamma_M", 1, 10)]


class VariationShape(Shape):
    """Coefficient of variation known from other tests."""

    is_: ShareOf = Field(alias="is")
    paper: str


class DistributionShape(Shape):
    """Distribution laid down before testing."""

    is_: Literal["normal", "log-normal"] = Field(alias="is")
    paper: str


class MethodShape(Shape):
    """How the design value is found."""

    is_: Literal["EN 1990 D.7.2", "EN 1990 D.7.3"] = Field(alias="is")
    paper: str


class RecordShape(Shape):
    """What was laid down about working out the values."""

    distribution: DistributionShape | None = None
    variation: VariationShape | None = None
    method: MethodShape | None = None
    eta_d: EtaShape | None = None
    gamma_m: GammaShape | None = None


class PullFileShape(Shape):
    """The whole file."""

    seamwright: str
    id: Name
    as_of: Date
    invented: Annotated[bool, Field(strict=True)] = False
    roof: Text
    people: dict[Name, PersonShape]
    papers: dict[Name, PaperShape] = {}
    pulled: PulledShape
    what: LinkShape
    demand: dict[str, ForceShape] = {}
    record: RecordShape = RecordShape()
    pulls: Annotated[tuple[PullShape, ...], Field(min_length=1, max_length=MOST_PULLS)]
