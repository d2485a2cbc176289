"""Design actions on an area of the array: all named sets, and the one that governs.

Source: EN 1990:2002 clauses 6.4.3.2 and 6.4.3.3, expressions (6.10) to (6.11b). Normal to the roof
and along it, in Pa of slope: uplift is positive away from the roof, along positive to the eave.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from selector.engineering.lines import Given, Ledger, Sheet, finite
from selector.engineering.tables import Code

LOAD = (0.0, 200_000.0)
LIGHT = ("gG,inf", "G,min")


@dataclass(frozen=True)
class Worth:
    """Weakest status of each kind of action."""

    weight: str
    wind: str
    snow: str
    pitch: str = "published"


@dataclass(frozen=True)
class Actions:
    """Characteristic actions in Pa: weight per area of slope, wind normal to it, snow on plan.

    `accidental` is exceptional snow, `drift` an exceptional drift; None where there is none.
    `worth` says of each sheet behind them what it is worth.
    """

    weight_min_pa: float
    weight_max_pa: float
    wind_up_pa: float
    wind_down_pa: float
    snow_pa: float
    pitch_deg: float
    accidental_pa: float | None = None
    drift_pa: float | None = None
    worth: Worth = field(kw_only=True)


@dataclass(frozen=True)
class Factors:
    """Partial and combination factors that a country uses, and the form of the combination."""

    form: str  # 6.10 | 6.10a/b
    g_sup: float
    g_inf: float
    g_equ: float
    q: float
    xi: float
    psi0_wind: float
    psi0_snow: float
    psi_wind_accidental: float


@dataclass(frozen=True)
class DesignSet:
    """One named set: what presses, lifts and slides, in Pa; None where the set has no such part."""

    name: str
    clause: str
    how: str
    inputs: tuple[str, ...]  # symbols of the actions and factors it reads
    pressure_pa: float | None = None
    uplift_pa: float | None = None
    along_pa: float | None = None


@dataclass(frozen=True)
class Combined:
    """All sets of one place, and the names of those that govern."""

    sets: tuple[DesignSet, ...]
    not_applicable: Mapping[str, str]  # name of a set -> why it does not apply
    uplift: DesignSet
    pressure: DesignSet
    along: DesignSet
    sheet: Sheet

    def set(self, name: str) -> DesignSet:
        """The set of this name; KeyError where there is none."""
        return named_set(self.sets, name)


def named_set(sets: Sequence[DesignSet], name: str) -> DesignSet:
    """The set of this name; KeyError where there is none."""
    for found in sets:
        if found.name == name:
            return found
    raise KeyError(name)


def normal_weight_pa(weight_pa: float, pitch_deg: float) -> float:
    """Weight per area of slope, normal to the roof.

    Statics: g cos(pitch).
    """
    return weight_pa * _cos(pitch_deg)


def along_weight_pa(weight_pa: float, pitch_deg: float) -> float:
    """Weight per area of slope, down the slope.

    Statics: g sin(pitch).
    """
    return weight_pa * _sin(pitch_deg)


def normal_snow_pa(snow_pa: float, pitch_deg: float) -> float:
    """Snow on plan, normal to the roof per area of slope.

    Statics: s cos2(pitch), since a metre of slope covers cos(pitch) of plan.
    """
    return snow_pa * _cos(pitch_deg) ** 2


def along_snow_pa(snow_pa: float, pitch_deg: float) -> float:
    """Snow on plan, down the slope per area of slope.

    Statics: s cos(pitch) sin(pitch).
    """
    return snow_pa * _cos(pitch_deg) * _sin(pitch_deg)


def uplift_pa(q: float, g: float, wind_up_pa: float, weight_pa: float, pitch_deg: float) -> float:
    """Design uplift of wind against weight; negative where the weight holds it down.

    EN 1990:2002 clause 6.4.3.2, expression (6.10).
    """
    return q * wind_up_pa - g * normal_weight_pa(weight_pa, pitch_deg)


def pressure_pa(pitch_deg: float, weight_pa: float, snow_pa: float, wind_down_pa: float) -> float:
    """Pressure of factored weight, snow on plan and wind, normal to the roof.

    EN 1990:2002 clause 6.4.3.2, expressions (6.10), (6.10a), (6.10b) and (6.11b).
    """
    return (
        normal_weight_pa(weight_pa, pitch_deg) + normal_snow_pa(snow_pa, pitch_deg) + wind_down_pa
    )


def along_pa(pitch_deg: float, weight_pa: float, snow_pa: float) -> float:
    """Factored weight and snow on plan, down the slope.

    EN 1990:2002 clause 6.4.3.2, expressions (6.10), (6.10a), (6.10b) and (6.11b).
    """
    return along_weight_pa(weight_pa, pitch_deg) + along_snow_pa(snow_pa, pitch_deg)


def net_uplift_pa(pitch_deg: float, wind_up_pa: float, weight_pa: float, snow_pa: float) -> float:
    """What factored wind lifts against factored weight and snow on plan; never below zero.

    EN 1990:2002 clause 6.4.3.2, expression (6.10).
    """
    return max(0.0, wind_up_pa - pressure_pa(pitch_deg, weight_pa, snow_pa, 0.0))


def factors(code: Code, altitude_m: float) -> tuple[Factors, Sheet]:
    """Factors of a country for a site, with the row that each comes from.

    EN 1990:2002 tables A1.1, A1.2(A) and A1.2(B); psi0 of snow by altitude or by country.
    """
    altitude = finite("altitude", altitude_m, -500, 9_000, "m")
    out = Ledger(code.basis.source)
    limit = code.figure("snow_altitude")
    if code.variant("snow psi").value == "northern":
        snow = "psi0_snow_northern"
    else:
        snow = "psi0_snow_high" if altitude > limit.value else "psi0_snow_low"
    wind = f"{code.variant('accidental wind').value}_wind"
    form = code.variant("combination")
    out.row("combination", form.value, "", form.ref)
    ids = {
        "gG,sup": "gamma_g_sup",
        "gG,inf": "gamma_g_inf",
        "gG,EQU": "gamma_g_equ",
        "gQ": "gamma_q",
        "xi": "xi",
        "psi0,W": "psi0_wind",
        "psi0,S": snow,
        "psi,W": wind,
    }
    value = {}
    for symbol, name in ids.items():
        figure = code.figure(name)
        value[symbol] = figure.value
        out.row(symbol, figure.value, "", figure.ref, figure.text)
    found = Factors(
        form=form.value,
        g_sup=value["gG,sup"],
        g_inf=value["gG,inf"],
        g_equ=value["gG,EQU"],
        q=value["gQ"],
        xi=value["xi"],
        psi0_wind=value["psi0,W"],
        psi0_snow=value["psi0,S"],
        psi_wind_accidental=value["psi,W"],
    )
    return found, out.sheet()


def combine(code: Code, actions: Actions, altitude_m: float) -> Combined:
    """All named sets with their governing ones; on a tie the first named counts.

    EN 1990:2002 clauses 6.4.3.2 and 6.4.3.3; exceptional snow and drifts only where the country
    has them, and then with factor 1.0.
    """
    used, rows = factors(code, altitude_m)
    kept: dict[str, float] = {}
    absent: dict[str, str] = {}
    for name, load, variant in (
        ("accidental-snow", actions.accidental_pa, "exceptional snow"),
        ("accidental-drift", actions.drift_pa, "exceptional drift"),
    ):
        way = code.variant(variant)
        if way.value == "none":
            absent[name] = f"no {variant} in this country, {way.ref.clause}"
        elif load is None:
            absent[name] = f"no {variant} at this place"
        else:
            kept[name] = load
    sets = tuple(design_sets(used, actions, kept))
    out = Ledger(code.basis.source, rows)
    enter_actions(out, actions, kept)
    enter_sets(out, sets)
    return Combined(
        sets,
        absent,
        _largest(sets, lambda s: s.uplift_pa if s.along_pa is None else None),
        _largest(sets, lambda s: s.pressure_pa),
        _largest(sets, lambda s: s.along_pa if s.uplift_pa is None else None),
        out.sheet(),
    )


def design_sets(f: Factors, a: Actions, accidental: dict[str, float]) -> Iterator[DesignSet]:
    """Every set in its order; `accidental` holds the accidental loads on plan by set name.

    EN 1990:2002 expressions (6.10), (6.10a), (6.10b) and (6.11b).
    """
    checked(a)
    for name, factor, symbol in (
        ("uplift-STR", f.g_inf, "gG,inf"),
        ("uplift-EQU", f.g_equ, "gG,EQU"),
    ):
        how = f"{f.q:g} W,up - {factor:g} G,min cos"
        value = uplift_pa(f.q, factor, a.wind_up_pa, a.weight_min_pa, a.pitch_deg)
        inputs = ("gQ", symbol, "W,up", "G,min", "pitch")
        yield DesignSet(name, "(6.10)", how, inputs, uplift_pa=value)
    for case in _downward(f, accidental):
        snow = case.s * accidental.get(case.name, a.snow_pa)
        weight, wind = case.g * a.weight_max_pa, case.w * a.wind_down_pa
        loads = [(case.g, "G,max"), (case.s, case.snow)]
        own = (*case.factors, *(name for factor, name in loads if factor), "pitch")
        both = (*own, *case.wind_factors, *(("W,down",) if case.w else ()))
        pressure = pressure_pa(a.pitch_deg, weight, snow, wind)
        how = f"normal: {_sum([*loads, (case.w, 'W,down')])}"
        yield DesignSet(case.name, case.clause, how, both, pressure_pa=pressure)
        along, how = along_pa(a.pitch_deg, weight, snow), f"along: {_sum(loads)}"
        yield DesignSet(case.slide, case.clause, how, own, along_pa=along)
    yield from _sliding(f, a)


@dataclass(frozen=True)
class _Case:
    """Factors of weight, snow and wind in one downward set, and its name along the roof."""

    name: str
    slide: str
    clause: str
    g: float
    s: float
    w: float
    factors: tuple[str, ...]
    wind_factors: tuple[str, ...]
    snow: str = "S"


def _downward(f: Factors, accidental: dict[str, float]) -> Iterator[_Case]:
    """Snow or wind leading: by (6.10), or (6.10a) and (6.10b) side by side; accidental; weight."""
    with_snow, with_wind, lead = f.q * f.psi0_snow, f.q * f.psi0_wind, ("gG,sup", "gQ")
    snow, wind = (*lead, "psi0,S"), ("psi0,W",)
    if f.form == "6.10":
        yield _Case("down-snow", "slide-snow", "(6.10)", f.g_sup, f.q, with_wind, lead, wind)
        yield _Case("down-wind", "slide-wind", "(6.10)", f.g_sup, with_snow, f.q, snow, ())
    else:
        g, b = f.xi * f.g_sup, "(6.10b)"
        yield _Case("down-a", "slide-a", "(6.10a)", f.g_sup, with_snow, with_wind, snow, wind)
        yield _Case("down-snow-b", "slide-snow-b", b, g, f.q, with_wind, (*lead, "xi"), wind)
        yield _Case("down-wind-b", "slide-wind-b", b, g, with_snow, f.q, (*snow, "xi"), ())
    psi = f.psi_wind_accidental
    for name in accidental:
        slide = name.replace("accidental-", "accidental-slide-").removesuffix("-snow")
        load = f"S,Ad {name}"
        yield _Case(name, slide, "(6.11b)", 1.0, 1.0, psi, (), ("psi,W",), load)
    yield _Case("self-weight", "slide-weight", "(6.10)", f.g_sup, 0.0, 0.0, ("gG,sup",), ())


@dataclass(frozen=True)
class Together:
    """Factors of one set in which the array slides while the wind lifts it."""

    name: str
    wind: float
    snow: float
    weight: float
    heavy: bool  # the heaviest array counts, else the lightest
    inputs: tuple[str, ...]


def together(f: Factors) -> Iterator[Together]:
    """Every set with uplift and sliding at once; one action has one factor in both directions.

    EN 1990:2002 expression (6.10).
    """
    cases = (
        ("slide-wind-leading", f.q, f.q * f.psi0_snow, ("psi0,S",)),
        ("slide-snow-leading", f.q * f.psi0_wind, f.q, ("psi0,W",)),
        ("slide-wind-no-snow", f.q, 0.0, ()),
    )
    for heavy, g, symbols in ((True, f.g_sup, ("gG,sup", "G,max")), (False, f.g_inf, LIGHT)):
        for name, w, s, factor in cases:
            inputs = ("gQ", *symbols, *factor, *(("S",) if s else ()), "W,up", "pitch")
            yield Together(f"{name}, {'heavy' if heavy else 'light'}", w, s, g, heavy, inputs)


def _sliding(f: Factors, a: Actions) -> Iterator[DesignSet]:
    for one in together(f):
        weight = a.weight_max_pa if one.heavy else a.weight_min_pa
        held, snow = one.weight * weight, one.snow * a.snow_pa
        yield DesignSet(
            one.name,
            "(6.10)",
            f"along: {_sum([(one.weight, 'G'), (one.snow, 'S')])}; lifted by {one.wind:g} W,up",
            one.inputs,
            uplift_pa=net_uplift_pa(a.pitch_deg, one.wind * a.wind_up_pa, held, snow),
            along_pa=along_pa(a.pitch_deg, held, snow),
        )


def enter_sets(out: Ledger, sets: Sequence[DesignSet]) -> None:
    """Enter each part of each set as a line."""
    for found in sets:
        for part in ("uplift", "pressure", "along"):
            number = getattr(found, f"{part}_pa")
            if number is not None:
                symbol = f"{found.name}, {part}"
                out.work(symbol, number, "Pa", found.clause, found.how, found.inputs)


def enter_actions(out: Ledger, a: Actions, accidental: dict[str, float]) -> None:
    """Enter the characteristic actions."""
    loads = {f"S,Ad {name}": (load, a.worth.snow) for name, load in accidental.items()}
    rows = {
        "G,min": (a.weight_min_pa, a.worth.weight),
        "G,max": (a.weight_max_pa, a.worth.weight),
        "W,up": (a.wind_up_pa, a.worth.wind),
        "W,down": (a.wind_down_pa, a.worth.wind),
        "S": (a.snow_pa, a.worth.snow),
        **loads,
    }
    for symbol, (value, status) in rows.items():
        out.given(symbol, Given(value, "the sheet of this action", status), "Pa")
    out.given("pitch", Given(a.pitch_deg, "the roof", a.worth.pitch), "deg")


def _largest(sets: Sequence[DesignSet], part: Callable[[DesignSet], float | None]) -> DesignSet:
    """The set with the largest part; of equal ones the first."""
    best: tuple[float, DesignSet] | None = None
    for found in sets:
        value = part(found)
        if value is not None and (best is None or value > best[0]):
            best = (value, found)
    assert best is not None
    return best[1]


def checked(a: Actions) -> None:
    """BadInputError for a load without sense: negative, not a number, absurd, light above heavy."""
    for name, value in (
        ("weight of the lightest array", a.weight_min_pa),
        ("weight of the heaviest array", a.weight_max_pa),
        ("wind away from the roof", a.wind_up_pa),
        ("wind onto the roof", a.wind_down_pa),
        ("snow", a.snow_pa),
        ("exceptional snow", a.accidental_pa or 0.0),
        ("exceptional drift", a.drift_pa or 0.0),
    ):
        finite(name, value, *LOAD, "Pa")
    finite("weight of the lightest array", a.weight_min_pa, 0, a.weight_max_pa, "Pa")
    finite("pitch", a.pitch_deg, 0, 90, "deg")


def _sum(terms: list[tuple[float, str]]) -> str:
    return " + ".join(f"{factor:g} {name}" for factor, name in terms if factor)


def _cos(pitch_deg: float) -> float:
    return math.cos(math.radians(pitch_deg))


def _sin(pitch_deg: float) -> float:
    return math.sin(math.radians(pitch_deg))
