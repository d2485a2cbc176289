"""Codes as data: editions, national choices, and the two put together."""

from collections.abc import Mapping
from dataclasses import dataclass

from selector.engineering.lines import BadInputError, Ref

# The named ways in which a country may do it. `stated` computes nothing: the figure is asked for.
VARIANTS: Mapping[str, tuple[str, ...]] = {
    "wind": ("log profile", "stated"),
    "snow": ("table 5.2", "stated"),
    "combination": ("6.10", "6.10a/b"),
    "accidental wind": ("psi1", "psi2"),
    "snow psi": ("by altitude", "northern"),
    "exceptional snow": ("none", "factor"),
    "exceptional drift": ("none", "annex B"),
}


# The figures of each kind of edition with their unit; `trial` may do without combinations.
FIGURES: Mapping[str, Mapping[str, str]] = {
    "wind": {
        "direction_factor": "",
        "season_factor": "",
        "roughness_share": "",
        "roughness_power": "",
        "roughness_length_ii": "m",
        "highest": "m",
        "turbulence_factor": "",
        "gust_share": "",
        "air_density": "kg/m3",
        "small_area": "m2",
        "large_area": "m2",
        "flat_below": "deg",
        "inner_pressure": "",
    },
    "snow": {
        "thermal_factor": "",
        "exceptional_factor": "",
        "held_floor": "",
        "half_load": "",
        "taller_weight": "N/m3",
        "taller_least": "",
        "taller_most": "",
        "taller_length": "",
        "taller_shortest": "m",
        "taller_longest": "m",
        "taller_flat": "deg",
        "obstacle_weight": "N/m3",
        "obstacle_least": "",
        "obstacle_most": "",
        "obstacle_length": "",
        "obstacle_shortest": "m",
        "obstacle_longest": "m",
        "annex_b_weight": "N/m3",
        "annex_b_width": "",
        "annex_b_most": "",
        "annex_b_length": "",
        "annex_b_longest": "m",
    },
    "basis": {
        "gamma_g_sup": "",
        "gamma_g_inf": "",
        "gamma_g_equ": "",
        "gamma_q": "",
        "xi": "",
        "psi0_wind": "",
        "psi1_wind": "",
        "psi2_wind": "",
        "psi0_snow_low": "",
        "psi0_snow_high": "",
        "psi0_snow_northern": "",
        "snow_altitude": "m",
    },
    "arrays": {"tilt_limit": "deg", "gap_limit": "m", "edge_gaps": "", "drift_pitch": "deg"},
    "aluminium": {"gamma_m1": "", "gamma_m2": "", "modulus": "Pa"},
    "steel": {"gamma_m0": "", "modulus": "Pa"},
    "trial": {
        "speed_share": "kg/m3",
        "exposure_share": "",
        "lowest": "m",
        "directionality": "",
        "directionality_in_q": "",
        "elevation_rate": "1/m",
        "edge_factor": "",
        "edge_lengths": "",
        "tilt_limit": "deg",
        "height_limit": "m",
        "chord_limit": "m",
        "least_gap": "m",
        "edge_heights": "",
    },
    "combinations": {
        "lrfd_uplift_d": "",
        "lrfd_d": "",
        "lrfd_w": "",
        "lrfd_s": "",
        "lrfd_w_with": "",
        "lrfd_s_with": "",
        "asd_uplift_d": "",
        "asd_w": "",
        "asd_both": "",
    },
}
# The sentences that each kind of edition must hold.
CLAUSES: Mapping[str, tuple[str, ...]] = {
    "wind": ("between pitches", "between parapets"),
    "snow": ("along a drift",),
    "basis": (),
    "arrays": (
        "net pressure",
        "array holds snow",
        "parapet drifts",
        "exceptional drift whole",
    ),
    "aluminium": ("bending", "shear", "shear with bending"),
    "steel": ("bending", "shear", "shear with bending"),
    "trial": ("map speed", "mean height"),
}
# Zones of each roof in each wind; every one needs its curve of the negative row.
ZONES: Mapping[tuple[str, int], tuple[str, ...]] = {
    ("flat-sharp", 0): ("F", "G", "H", "I"),
    ("flat-parapet", 0): ("F", "G", "H", "I"),
    ("flat-curved", 0): ("F", "G", "H", "I"),
    ("flat-mansard", 0): ("F", "G", "H", "I"),
    ("monopitch", 0): ("F", "G", "H"),
    ("monopitch", 90): ("Fup", "Flow", "G", "H", "I"),
    ("monopitch", 180): ("F", "G", "H"),
    ("duopitch", 0): ("F", "G", "H", "I", "J"),
    ("duopitch", 90): ("F", "G", "H", "I"),
}


@dataclass(frozen=True)
class Figure:
    """One number of a code, in SI."""

    id: str
    value: float
    unit: str
    text: str
    ref: Ref


@dataclass(frozen=True)
class Clause:
    """A sentence of a code that the program follows without a number in it."""

    id: str
    text: str
    ref: Ref


@dataclass(frozen=True)
class Node:
    """One row of a curve: values at a place of its axis (a pitch, a height ratio, an area)."""

    at: float
    values: tuple[float, ...]
    ref: Ref


Curve = tuple[Node, ...]  # rising in `at`


@dataclass(frozen=True)
class Edition:
    """One edition of one standard."""

    id: str
    title: str
    source: str
    trial: bool
    figures: Mapping[str, Figure]
    clauses: Mapping[str, Clause]
    origin: str


@dataclass(frozen=True)
class Terrain:
    """One terrain category: roughness length and smallest height."""

    word: str
    z0_m: float
    zmin_m: float
    ref: Ref


@dataclass(frozen=True)
class ZonePlan:
    """Shares of e at which the zones of one roof in one wind end."""

    corner: float  # length of F along the edge
    strip: float  # depth of F, G and J
    inner: float  # far end of H where there is an I behind it; 0 without
    ref: Ref


@dataclass(frozen=True)
class CurveKey:
    """Which curve: roof form with its edge, wind direction, zone and row of signs."""

    roof: str
    theta: int
    zone: str
    signs: str  # negative | positive


@dataclass(frozen=True)
class WindEdition(Edition):
    """Wind actions: terrain, external coefficients (cpe,10 and cpe,1) and zone plans."""

    terrains: Mapping[str, Terrain]
    curves: Mapping[CurveKey, Curve]
    plans: Mapping[tuple[str, int], ZonePlan]


@dataclass(frozen=True)
class SnowEdition(Edition):
    """Snow loads: shape coefficients by pitch, exposure by word."""

    exposures: Mapping[str, Figure]
    shapes: Mapping[str, Curve]  # mu1, mu2


@dataclass(frozen=True)
class TrialEdition(Edition):
    """The second code: exposure constants by word, equalisation by area."""

    exposures: Mapping[str, tuple[Figure, Figure]]  # gradient height, exponent
    equalization: Curve  # area in m2 -> factor


@dataclass(frozen=True)
class MemberEdition(Edition):
    """Resistance of members of one material."""

    material: str  # aluminium | steel


@dataclass(frozen=True)
class Variant:
    """The way that a country takes."""

    name: str
    value: str
    ref: Ref


@dataclass(frozen=True)
class National:
    """What one country picks and fills in."""

    id: str
    title: str
    tag: str  # real | invented
    editions: Mapping[str, str]  # wind, snow, basis, arrays -> edition id
    variants: Mapping[str, Variant]
    figures: Mapping[str, Figure]
    origin: str


@dataclass(frozen=True)
class Code:
    """Editions with one national choice: what a calculation reads."""

    national: National
    wind: WindEdition
    snow: SnowEdition
    basis: Edition
    arrays: Edition

    def figure(self, name: str) -> Figure:
        """A number: the country's if it has one, otherwise the edition's; KeyError for neither."""
        if name in self.national.figures:
            return self.national.figures[name]
        for edition in (self.wind, self.snow, self.basis, self.arrays):
            if name in edition.figures:
                return edition.figures[name]
        raise KeyError(name)

    def variant(self, name: str) -> Variant:
        """The way that the country takes; KeyError for an unknown question."""
        return self.national.variants[name]


@dataclass(frozen=True)
class Codes:
    """All editions and national choices of a base, by id."""

    editions: Mapping[str, Edition]
    nationals: Mapping[str, National]

    def code(self, national: str) -> Code:
        """The code of a country; BadInputError names the known ones."""
        if national not in self.nationals:
            known = ", ".join(sorted(self.nationals)) or "none"
            raise BadInputError(f"no national choice `{national}`; known: {known}")
        choice = self.nationals[national]
        wind, snow, basis, arrays = (
            self.editions[choice.editions[k]] for k in ("wind", "snow", "basis", "arrays")
        )
        if not isinstance(wind, WindEdition) or not isinstance(snow, SnowEdition):
            raise BadInputError(f"`{national}` names no edition for wind or snow")
        return Code(choice, wind, snow, basis, arrays)

    def trial(self, edition: str) -> TrialEdition:
        """An edition of the second code; BadInputError names the known ones."""
        found = self.editions.get(edition)
        if not isinstance(found, TrialEdition):
            known = sorted(k for k, v in self.editions.items() if isinstance(v, TrialEdition))
            raise BadInputError(f"no trial edition `{edition}`; known: {', '.join(known)}")
        return found

    def members(self, material: str) -> MemberEdition | None:
        """The newest edition for members of this material, by its id; None where there is none."""
        found = [
            edition
            for _, edition in sorted(self.editions.items())
            if isinstance(edition, MemberEdition) and edition.material == material
        ]
        return found[-1] if found else None
