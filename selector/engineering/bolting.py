"""Torque and preload of bolts, and whether a torque makes sense for thread and grade.

The form of VDI 2230 (2003): pitch, friction in the thread, friction below the head. For hexagon
bolts that are pulled; a set screw is pressed and its socket gives way first, so none of this
counts for it. Threads are those of ISO 724.
"""

import math
from dataclasses import dataclass
from typing import Literal

from selector.engineering.lines import BadInputError, Outside, finite

COS_FLANK = math.cos(math.radians(30))  # 60 degree thread of ISO 724
USED = 0.9  # share of the stress at 0.2 % strain, VDI 2230
MOST_NM = 1e4
MOST_N = 1e7
MOST_PA = 5e9
MOST_MU = 1.0
LARGEST_M = 0.2
Kind = Literal["bolt", "set screw"]
Sense = Literal["too low", "plausible", "may be above 90 %", "above 90 %", "breaks"]


@dataclass(frozen=True)
class ThreadForm:
    """A thread with its head: diameter, pitch, what bears below the head, through hole, in m."""

    name: str
    diameter_m: float
    pitch_m: float
    head_m: float
    hole_m: float

    def __post_init__(self) -> None:
        """Refuse a form that cannot be."""
        d = finite("diameter", self.diameter_m, 1e-4, LARGEST_M, "m")
        finite("pitch", self.pitch_m, 1e-5, d / 2, "m")
        hole = finite("through hole", self.hole_m, d, LARGEST_M, "m")
        finite("bearing diameter", self.head_m, hole, LARGEST_M, "m")

    @property
    def flank_m(self) -> float:
        """Pitch diameter d2 = d - 0.6495 P."""
        return self.diameter_m - 3 * math.sqrt(3) / 8 * self.pitch_m

    @property
    def root_m(self) -> float:
        """Root diameter d3 = d - 1.2269 P."""
        return self.diameter_m - 17 * math.sqrt(3) / 24 * self.pitch_m

    @property
    def bearing_m(self) -> float:
        """Mean diameter of what bears below the head."""
        return (self.head_m + self.hole_m) / 2


@dataclass(frozen=True)
class Grade:
    """A property class: stress at 0.2 % strain and at break, in Pa."""

    name: str
    rp_pa: float
    rm_pa: float


@dataclass(frozen=True)
class TorqueSense:
    """What a torque makes of a bolt, with the torques that reach 90 %, by friction."""

    word: Sense
    full_low_nm: float  # 90 % at the least friction
    full_high_nm: float  # 90 % at the most friction
    preload_low_n: float  # at the most friction
    preload_high_n: float  # at the least friction


def stress_area_m2(form: ThreadForm) -> float:
    """Stress area of a thread: circle of the mean of pitch and root diameter.

    ISO 724 geometry with ISO 898-1, 9.1.6.1.
    """
    return math.pi / 4 * ((form.flank_m + form.root_m) / 2) ** 2


def torque_nm(form: ThreadForm, preload_n: float, mu_thread: float, mu_head: float) -> float:
    """Torque that gives a preload.

    VDI 2230 (R13/1): F (P / 2 pi + mu_G d2 / (2 cos 30) + mu_K D_Km / 2).
    """
    force = finite("preload", preload_n, 0.0, MOST_N, "N")
    return force * _arm_m(form, mu_thread, mu_head)


def preload_n(form: ThreadForm, torque: float, mu_thread: float, mu_head: float) -> float:
    """Preload that a torque gives.

    VDI 2230 (R13/1) the other way round.
    """
    return finite("torque", torque, 0.0, MOST_NM, "Nm") / _arm_m(form, mu_thread, mu_head)


def _arm_m(form: ThreadForm, mu_thread: float, mu_head: float) -> float:
    """Torque over preload."""
    thread = finite("friction of the thread", mu_thread, 0.0, MOST_MU)
    head = finite("friction of the head", mu_head, 0.0, MOST_MU)
    pitch = form.pitch_m / (2 * math.pi)
    return pitch + thread * form.flank_m / (2 * COS_FLANK) + head * form.bearing_m / 2


def full_preload_n(form: ThreadForm, rp_pa: float, mu_thread: float, share: float = USED) -> float:
    """Preload at which pull and twist together use a share of the stress at 0.2 % strain.

    VDI 2230 (R8/1), von Mises, twist of a section that has yielded: 3/2 d2/d0 (P/(pi d2) + mu/cos).
    """
    stress = finite("stress at 0.2 % strain", rp_pa, 1e6, MOST_PA, "Pa")
    used = finite("share", share, 1e-3, 1.0)
    mu = finite("friction of the thread", mu_thread, 0.0, MOST_MU)
    mean = (form.flank_m + form.root_m) / 2
    lead = form.pitch_m / (math.pi * form.flank_m) + mu / COS_FLANK
    twist = 1.5 * form.flank_m / mean * lead
    return used * stress * stress_area_m2(form) / math.sqrt(1 + 3 * twist**2)


def full_torque_nm(
    form: ThreadForm, rp_pa: float, mu_thread: float, mu_head: float, share: float = USED
) -> float:
    """Torque at which pull and twist use that share.

    VDI 2230 (R8/1) with (R13/1).
    """
    return torque_nm(form, full_preload_n(form, rp_pa, mu_thread, share), mu_thread, mu_head)


def nut_factor(form: ThreadForm, mu_thread: float, mu_head: float) -> float:
    """Nut factor K of the short formula T = K d F.

    VDI 2230 (R13/1) over the diameter.
    """
    return _arm_m(form, mu_thread, mu_head) / form.diameter_m


def factor_torque_nm(factor: float, diameter_m: float, preload: float) -> float:
    """Torque by the short formula T = K d F; as rough as its factor.

    Textbook formula of the nut factor.
    """
    k = finite("nut factor", factor, 1e-3, 2.0)
    d = finite("diameter", diameter_m, 1e-4, LARGEST_M, "m")
    return k * d * finite("preload", preload, 0.0, MOST_N, "N")


def sense_of(
    form: ThreadForm,
    grade: Grade,
    torque: float,
    friction: tuple[float, float],
    least_share: float,
    breaking_nm: float | None = None,
) -> TorqueSense:
    """What a listed torque makes of a bolt whose friction lies between two ends, thread and head.

    VDI 2230 (R8/1): *above 90 %* whatever the friction, *may be* where only little friction makes
    it so, *breaks* from the least breaking torque on, *too low* where even little friction leaves
    the bolt below `least_share` of its 90 % preload (judgement).
    """
    low, high = (finite("friction", mu, 0.01, MOST_MU) for mu in friction)
    if low > high:
        raise BadInputError(f"friction is {low:g} to {high:g}; expected the lower end first")
    given = finite("torque", torque, 1e-3, MOST_NM, "Nm")
    share = finite("least share", least_share, 0.0, 1.0)
    first = full_torque_nm(form, grade.rp_pa, low, low)
    last = full_torque_nm(form, grade.rp_pa, high, high)
    ends = preload_n(form, given, high, high), preload_n(form, given, low, low)
    word: Sense = "plausible"
    if breaking_nm is not None and given >= finite("breaking", breaking_nm, 1e-3, MOST_NM, "Nm"):
        word = "breaks"
    elif given > last:
        word = "above 90 %"
    elif given > first:
        word = "may be above 90 %"
    elif ends[1] < share * full_preload_n(form, grade.rp_pa, low):
        word = "too low"
    return TorqueSense(word, first, last, *ends)


def sense_of_screw(
    kind: Kind,
    form: ThreadForm,
    grade: Grade,
    torque: float,
    friction: tuple[float, float],
    least_share: float,
    breaking_nm: float | None = None,
) -> TorqueSense | Outside:
    """The same for a screw of either kind; of a set screw nothing can be said.

    VDI 2230 is for bolts that are pulled; a set screw is pressed, and its socket gives way first.
    """
    if kind != "bolt":
        return Outside("screw", f"a {kind}", "bolts that are pulled", "VDI 2230")
    return sense_of(form, grade, torque, friction, least_share, breaking_nm)
