"""Facts on screws and torque as they stand in `kb/trade/`."""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from selector.knowledge.figures import Force, Length, Torque, Words, number
from selector.knowledge.trade_fact import TradeFact

Strength = Annotated[int, BeforeValidator(number("strength"))]
Share = Annotated[int, BeforeValidator(number("share"))]
Ratio = Annotated[float, Field(gt=0, le=1)]


class ScrewPoint(TradeFact):
    """The point of a set screw: its grip against a cup point, and whether it pierces a coating."""

    grip: Share | None = None
    pierces: Literal["yes", "no", "unknown"]
    called: Words = ()  # names of it in catalogues
    but: str = ""


class Friction(TradeFact):
    """A finish or lubricant: coefficient of friction, nut factor K, or both, least first."""

    text: str
    mu: tuple[Ratio, Ratio] | None = None
    k: tuple[Ratio, Ratio] | None = None
    but: str = ""

    @model_validator(mode="after")
    def _in_order(self) -> "Friction":
        if self.mu is None and self.k is None:
            raise ValueError("give `mu`, `k`, or both")
        if any(pair is not None and pair[0] > pair[1] for pair in (self.mu, self.k)):
            raise ValueError("write the smaller figure first")
        return self


class BoltClass(TradeFact):
    """Property class of a bolt: strength at break and at 0.2 % strain."""

    rm: Strength
    rp: Strength
    but: str = ""


class Thread(TradeFact):
    """A metric coarse thread with its hexagon head and through hole."""

    diameter: Length
    pitch: Length
    head: Length  # outer diameter of what bears below head or nut
    hole: Length
    head_status: Literal["published", "from memory"]


class TorqueTable(TradeFact):
    """A row of a published table: torques for tension, or the least torque that breaks a bolt."""

    kind: Literal["tightening", "breaking"]
    table: str
    thread: str
    strength: str  # property class
    mu: tuple[Ratio, ...] = ()
    torque: tuple[Torque, ...]
    preload: tuple[Force, ...] = ()
    but: str = ""

    @model_validator(mode="after")
    def _one_each(self) -> "TorqueTable":
        wanted = len(self.mu) or 1
        if len(self.torque) != wanted or len(self.preload) not in (0, wanted):
            raise ValueError("one torque, and one preload or none, for each friction")
        return self
