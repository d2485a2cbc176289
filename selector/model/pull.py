"""Pull tests on one roof as they were written down: facts only, nothing worked out."""

from collections.abc import Mapping
from dataclasses import dataclass

# What must be alike for two pulls to belong to one sample, beside the zone.
LINK_KEYS = (
    "clip",
    "nails",
    "deck",
    "deck_thickness",
    "shape",
    "metal",
    "sheet_thickness",
    "direction",
    "failure",
)


@dataclass(frozen=True)
class PullPaper:
    """A document by its key: kind, number (or ""), date."""

    key: str
    kind: str
    number: str
    dated: str


@dataclass(frozen=True)
class Sourced:
    """A figure with the paper it stands in."""

    value: float
    paper: PullPaper
    line: int = 0


@dataclass(frozen=True)
class Pull:
    """One pull on one clip: `link` by `LINK_KEYS`, loads in mN.

    Failed: `failed_mn`. Held: `held_mn` for `seconds`. A proof test that failed has `failed_mn`
    and `to_hold_mn`, the load that it was meant to hold.
    """

    number: int
    seam: str
    from_eave_um: int
    zone: str
    link: Mapping[str, str]
    failed_mn: int | None = None
    held_mn: int | None = None
    to_hold_mn: int | None = None
    seconds: int | None = None
    mode: str = ""
    line: int = 0

    @property
    def in_sample(self) -> bool:
        """Whether it was pulled until it failed, and no proof test."""
        return self.failed_mn is not None and self.to_hold_mn is None


@dataclass(frozen=True)
class Asked:
    """What was laid down about working out the values; None where nothing was."""

    distribution: str | None = None
    distribution_paper: PullPaper | None = None
    variation: Sourced | None = None  # known beforehand, as a share of the mean
    direct: PullPaper | None = None  # asks for D.7.3
    eta_d: Sourced | None = None
    gamma_m: Sourced | None = None


@dataclass(frozen=True)
class PullFile:
    """A whole file: who pulled when with which tool, and every pull; `demand` in N by zone."""

    id: str
    file: str
    as_of: str
    invented: bool
    roof: str
    pulled_on: str
    pulled_by: str
    tool: str
    calibrated: str
    calibrated_until: str | None
    link: Mapping[str, str]
    demand: Mapping[str, Sourced]
    asked: Asked
    pulls: tuple[Pull, ...]

    @property
    def tool_ran_out(self) -> bool:
        """Whether the tool was no longer calibrated on the day."""
        return self.calibrated_until is not None and self.calibrated_until < self.pulled_on
