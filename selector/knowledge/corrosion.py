"""Facts on corrosion as they stand in `kb/trade/`: potentials, air, stainless grades, rubbers."""

from typing import Annotated, Literal

from pydantic import BeforeValidator, model_validator

from selector.knowledge.figures import LengthRange, Shape, Status, Words, window
from selector.knowledge.trade_fact import TradeFact
from selector.model.quantity import Window

Potential = Annotated[Window, BeforeValidator(window("potential"))]
Loss = Annotated[Window, BeforeValidator(window("loss of thickness"))]
MassLoss = Annotated[Window, BeforeValidator(window("loss of mass"))]
Content = Annotated[Window, BeforeValidator(window("content"))]
Told = Literal["yes", "no", "unknown"]


class SeaPotential(TradeFact):
    """Potential of a metal in flowing sea water: the bar of the series, and one printed value.

    `status` is that of the printed value; the ends of the bar may be worth less.
    """

    metal: str
    range: Potential | None = None
    range_status: Status | None = None
    point: Potential | None = None
    electrode: Literal["SCE", "Ag/AgCl"] = "SCE"
    note: str = ""

    @model_validator(mode="after")
    def _says_something(self) -> "SeaPotential":
        if self.range is None and self.point is None:
            raise ValueError("give a `range`, a `point`, or both")
        return self


class IndexGroup(TradeFact):
    """A group of the anodic index: volts below gold. It ranks; it never decides."""

    index: Potential
    what: str
    families: Words = ()


class Losses(Shape):
    """Loss of thickness in the first year; the lower end is excluded, the upper one included."""

    steel: Loss
    zinc: Loss
    copper: Loss


class MassLosses(Shape):
    """Loss of mass in the first year, per face."""

    steel: MassLoss
    zinc: MassLoss
    copper: MassLoss
    aluminium: MassLoss | Literal["negligible"]


class Environment(TradeFact):
    """One class of corrosivity; which one it is differs from metal to metal at one place."""

    looks: str
    loss: Losses
    mass_loss: MassLosses
    note: str = ""


class AirSign(TradeFact):
    """By what one recognises how harsh the air is."""

    says: str
    classes: Words = ()
    but: str = ""


class LossOverYears(TradeFact):
    """Exponent of the loss over the years: usual (B1) and with more salt and sulphur (B2)."""

    b1: float
    b2: float


class ExposureFactor(TradeFact):
    """One entry of F1, F2 or F3; ranges exclude their lower end and include the upper one.

    An entry with `sea` or `road` is a band of the one table of distances to salt.
    """

    factor: Literal["F1", "F2", "F3"]
    points: int
    says: str
    band: str | None = None
    sea: LengthRange | None = None
    road: LengthRange | None = None
    coast: Literal["mild", "other"] | None = None
    so2: Content | None = None
    washing: Literal["rain", "cleaned", "none"] | None = None


class StainlessClass(TradeFact):
    """A class of corrosion resistance: the sums it is asked for, and the grades that meet it."""

    most: int
    least: int | None = None
    grades: Words
    fasteners: Words = ()
    custom: str = ""  # what the trade says besides: common practice, no source


class Rubber(TradeFact):
    """A kind of rubber or inlay, and what it does to what it touches."""

    text: str
    absorbs: Told
    conducts: Told
    harms: Words = ()
    use: Literal["good", "not as a separator", "never", "ask"]
    but: str = ""
