"""All actions on one array: gathered, worked out at all ends of the inputs, put together."""

from collections.abc import Mapping
from dataclasses import dataclass

from selector.engineering.combine_en import Actions, Worth
from selector.engineering.combine_hull import ActionsBox, CombinedHull, combine_hull
from selector.engineering.lines import TO_CONFIRM, BadInputError, Ref, weakest
from selector.engineering.tables import Code, TrialEdition
from selector.engineering.weight import Module, array_weight
from selector.errors import InputError
from selector.facts.actions.gather import Gather, Known
from selector.facts.actions.model import (
    LINKS,
    TOPICS,
    Ends,
    LinkSets,
    Loads,
    Open,
    Plan,
    Row,
    SetRow,
    Topic,
)
from selector.facts.actions.roof import (
    Block,
    Shape,
    block_of,
    code_of,
    lies_low,
    lying_of,
    nothing_taller,
    shape_of,
    top_of,
    trial_of,
)
from selector.facts.actions.rows import laid_over
from selector.facts.actions.snow import ArraySnow, beside_of, fallen_of, snow_of
from selector.facts.actions.trial import factors_on_trial, wind_on_trial
from selector.facts.actions.wind import ArrayWind, Peak, array_wind, peak_of, place_of, plan_of
from selector.knowledge.base import Base
from selector.model.job import Array, Job
from selector.model.truth import Word


def loads_of(base: Base, job: Job, array: Array) -> Loads:
    """Actions on an array; InputError for figures that cannot be, with the file of the job."""
    try:
        return _Work(base, job, array).loads()
    except BadInputError as error:
        raise InputError.of(str(error), "check number and unit", file=job.file) from None


@dataclass(frozen=True)
class _Weight:
    pa: Ends
    rows: tuple[Row, ...]


class _Work:
    """One array, topic by topic; each topic keeps what is open for it."""

    def __init__(self, base: Base, job: Job, array: Array):
        self.base, self.job, self.array = base, job, array
        self.opens: dict[str, tuple[Open, ...]] = {}
        self.rows: dict[str, tuple[Row, ...]] = dict.fromkeys(TOPICS, ())

    def gather(self) -> Gather:
        return Gather(self.base, self.job, self.array)

    def loads(self) -> Loads:
        trial = trial_of(self.gather())
        return self.by_code() if trial is None else self.by_trial(trial)

    def by_trial(self, edition: TrialEdition) -> Loads:
        """What a code on trial gives: no set, no pressure on modules, no yes."""
        wind, snow, factors = self.gather(), self.gather(), self.gather()
        for g in (wind, snow, factors):
            code_of(g)
        peak, weight = wind_on_trial(wind, edition), self.weight()
        self.rows["wind"] = () if peak is None else peak.rows
        self.rows["combinations"] = factors_on_trial(factors, edition)
        for name, g in (("wind", wind), ("snow", snow), ("combinations", factors)):
            self.opens[name] = tuple(g.opens)
        return Loads(
            job=self.job.id,
            as_of=self.job.as_of,
            array=self.array.id,
            plane=self.array.plane,
            code=edition.id,
            country="",
            invented=self.invented(None),
            topics={name: self.topic(name) for name in TOPICS},
            area_m2={},
            peak_pa=None if peak is None else peak.pa,
            weight_pa=None if weight is None else weight.pa,
            trial=True,
        )

    def by_code(self) -> Loads:
        code = code_of(self.gather())
        areas = self.areas(code)
        peak, shape, block, wind = self.wind(code, areas)
        snow = self.snow(code)
        weight = self.weight()
        sets = self.combinations(code, shape, wind, snow, weight)
        plan: Plan | None = None
        if code is not None and shape is not None and block is not None:
            plan = plan_of(code, shape, block)
        return Loads(
            job=self.job.id,
            as_of=self.job.as_of,
            array=self.array.id,
            plane=self.array.plane,
            code=", ".join(code.national.editions.values()) if code is not None else "",
            country=code.national.title if code is not None else "",
            invented=self.invented(code),
            topics={name: self.topic(name) for name in TOPICS},
            area_m2=areas,
            peak_pa=None if peak is None else peak.pa,
            zones=() if wind is None else wind.zones,
            lift={} if wind is None else wind.lift,
            press={} if wind is None else wind.press,
            snow_pa=None if snow is None else snow.pa,
            accidental_pa=None if snow is None else snow.accidental_pa,
            drift_pa=None if snow is None else snow.drift_pa,
            drifts=() if snow is None else snow.drifts,
            weight_pa=None if weight is None else weight.pa,
            sets=sets[0],
            not_applicable=sets[1],
            plan=plan,
            gamma_wind=None if code is None else code.figure("gamma_q").value,
        )

    def topic(self, name: str) -> Topic:
        opens, rows = self.opens[name], self.rows[name]
        weak = any(row.status in TO_CONFIRM for row in rows)
        best = Word.CONDITIONAL if weak else Word.ALLOWED
        word = max((one.word for one in opens), default=best)
        if name == "combinations":
            word = max([word, *(self.topic(n).word for n in TOPICS if n != name)])
        return Topic(name, word, opens, rows)

    def invented(self, code: Code | None) -> tuple[str, ...]:
        name = self.array.module.partition("/")[0]
        catalogue = self.base.catalogues.get(name)
        found = [name] if catalogue is not None and catalogue.tag == "invented" else []
        if code is not None and code.national.tag == "invented":
            found.append(code.national.id)
        return tuple(found)

    def areas(self, code: Code | None) -> Mapping[str, float]:
        """Loaded areas: the module's own, and what counts as small, for all that holds it."""
        module = self.gather().module()
        if code is None or module is None:
            return {}
        area = module.length / 1e6 * module.width / 1e6
        return {"module": area, "fixing": code.figure("small_area").value}

    # --- topics ------------------------------------------------------------------------

    def wind(
        self, code: Code | None, areas: Mapping[str, float]
    ) -> tuple[Peak | None, Shape | None, Block | None, ArrayWind | None]:
        g = self.gather()
        code_of(g)
        nothing_taller(g)
        shape, block = shape_of(g, code), block_of(g)
        peak = wind = None
        if code is None:
            place_of(g)
            lying_of(g)
        else:
            peak = peak_of(g, code, top_of(self.gather()))
            lies_low(g, code, shape, block)
            if peak and shape and block and not g.opens:
                wind = array_wind(g, code, peak, shape, block, areas)
        self.opens["wind"] = tuple(dict.fromkeys(g.opens))
        if wind is not None:
            self.rows["wind"] = wind.rows
        elif peak is not None:
            self.rows["wind"] = peak.rows
        return peak, shape, block, wind

    def snow(self, code: Code | None) -> ArraySnow | None:
        g = self.gather()
        code_of(g)
        altitude = g.measure("site.altitude")
        snow = None
        if code is None:
            beside_of(g)
            fallen_of(g)
        else:
            snow = snow_of(g, code, altitude)
        self.opens["snow"] = tuple(dict.fromkeys(g.opens))
        if snow is not None:
            self.rows["snow"] = snow.rows
        return snow

    def weight(self) -> _Weight | None:
        g = self.gather()
        module = g.module()
        self.opens["weight"] = tuple(g.opens)
        if module is None:
            return None
        part = self.base.part(self.array.module)
        catalogue = self.base.catalogues[part.catalogue]
        status = "invented" if catalogue.tag == "invented" else "published"
        area = module.length / 1e6 * module.width / 1e6
        one = Module(module.mass / 1e3, area, f"catalogue {catalogue.name}", status)
        ref = Ref("given", f"catalogue {catalogue.name}", status)
        sheet = array_weight([one], catalogue.mass_allowance / 1e3, ref)
        self.rows["weight"] = laid_over([sheet])
        return _Weight(Ends(sheet.value("G,min"), sheet.value("G,max")), self.rows["weight"])

    def combinations(
        self,
        code: Code | None,
        shape: Shape | None,
        wind: ArrayWind | None,
        snow: ArraySnow | None,
        weight: _Weight | None,
    ) -> tuple[dict[str, LinkSets], Mapping[str, str]]:
        """Every named set on every link, once wind, snow and weight are there."""
        g = self.gather()
        code_of(g)
        altitude = g.measure("site.altitude")
        self.opens["combinations"] = tuple(g.opens)
        if code is None or shape is None or altitude is None:
            return {}, {}
        if wind is None or snow is None or weight is None:
            return {}, {}
        sets: dict[str, LinkSets] = {}
        absent: Mapping[str, str] = {}
        for link in LINKS:
            box = self.box(shape, wind, snow, weight, link, altitude)
            hull = combine_hull(code, box)
            rows = laid_over(hull.sheets)
            sets[link], absent = _link_sets(hull, rows), hull.not_applicable
            if link == LINKS[-1]:
                self.rows["combinations"] = rows
        return sets, absent

    def box(
        self,
        shape: Shape,
        wind: ArrayWind,
        snow: ArraySnow,
        weight: _Weight,
        link: str,
        altitude: Known,
    ) -> ActionsBox:
        heavy, blown, fallen = (weakest(r.status for r in x.rows) for x in (weight, wind, snow))
        worth = Worth(heavy, blown, fallen, shape.pitch.status)
        up, down = wind.lift[link].pressure_pa, wind.press[link].pressure_pa
        pitch = shape.pitch.ends
        exact = Actions(*weight.pa, up.high, down.high, snow.pa.high, pitch.high, worth=worth)
        exceptional = snow.accidental_pa, snow.drift_pa
        return ActionsBox(exact, up, down, snow.pa, pitch, altitude.ends, *exceptional)


def _link_sets(hull: CombinedHull, rows: tuple[Row, ...]) -> LinkSets:
    by_symbol = {row.symbol: row for row in rows}
    sets = {}
    for one in hull.sets:
        row = by_symbol[f"{one.name}, {one.part}"]
        value = Ends(one.low, one.high)
        sets[one.name, one.part] = SetRow(
            one.name, one.part, value, one.clause, row.how, row.inputs, row.status
        )
    governing = {part: sets[one.name, part] for part, one in hull.governing.items()}
    return LinkSets(tuple(sets.values()), governing)
