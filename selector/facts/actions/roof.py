"""The roof, the array on it and the place, as the formulas of wind and snow take them."""

import math
from dataclasses import dataclass, replace

from selector.engineering.lines import weakest
from selector.engineering.module_wind import Lie, outside_rule
from selector.engineering.place_hull import RoofBox
from selector.engineering.tables import Code, TrialEdition
from selector.facts.actions.gather import Gather, Known
from selector.facts.actions.model import Ends, Open
from selector.facts.layouts import array_width
from selector.model.job import Outline
from selector.model.truth import Word

FORMS = ("duopitch", "monopitch", "flat")
SLACK = "line_tolerance"
TALLER = "plane.taller"
PARAPET, PARAPET_HEIGHT = "plane.parapet", "plane.parapet_height"


@dataclass(frozen=True)
class Parapet:
    """A parapet with its height in m; None where there is none."""

    height: Known | None


@dataclass(frozen=True)
class Top:
    """The highest point of the roof in m, and the parapet that stands on it."""

    ridge: Known
    parapet: Known | None

    @property
    def height(self) -> Known:
        """Reference height of the wind.

        EN 1991-1-4:2005 clause 7.2.3(1) figure 7.6: with the parapet.
        """
        if self.parapet is None:
            return self.ridge
        both = zip(self.ridge.ends, self.parapet.ends, strict=True)
        worth = weakest((self.ridge.status, self.parapet.status))
        return replace(self.ridge, ends=Ends(*(a + b for a, b in both)), status=worth)


@dataclass(frozen=True)
class Shape:
    """The whole roof: form, pitch in degrees, lengths in m; `slope` is that of one plane."""

    form: str
    pitch: Known
    length: Ends
    slope: Ends
    height: Known
    source: str  # of the outline
    origin: str
    parapet: Parapet = Parapet(None)

    @property
    def depth(self) -> Ends:
        """Across the whole building on plan, in m."""
        return depth_of(self.form, self.slope, self.pitch.ends)

    @property
    def box(self) -> RoofBox:
        """The roof as the zones take it."""
        parapet = self.parapet.height
        ends = (0.0, 0.0) if parapet is None else parapet.ends
        measures = self.pitch.ends, self.length, self.depth, self.height.ends
        return RoofBox(self.form, *measures, ends)


def depth_of(form: str, slope: Ends, pitch_deg: Ends) -> Ends:
    """Across the whole building on plan, in m."""
    low, high = pitch_deg
    planes = 2 if form == "duopitch" else 1
    return Ends(
        planes * slope.low * math.cos(math.radians(high)),
        planes * slope.high * math.cos(math.radians(low)),
    )


@dataclass(frozen=True)
class Block:
    """The array on its plane, in m from the left end and from the eave."""

    x: Ends
    y: Ends


def code_of(g: Gather) -> Code | None:
    """The code with the national choice of the job; None, and open, where it is not known."""
    code = g.word("site.code")
    trial = _on_trial(g, code)
    if trial is not None:
        g.opens.append(Open(Word.ENGINEER, "trial", "code", trial.id, clause="the base"))
        return None
    country = g.word("site.country")
    return None if code is None or country is None else g.base.codes.code(country)


def trial_of(g: Gather) -> TrialEdition | None:
    """The edition on trial that the job names; None for any other code."""
    return _on_trial(g, g.word("site.code"))


def _on_trial(g: Gather, code: str | None) -> TrialEdition | None:
    edition = g.base.codes.editions.get(code or "")
    return edition if isinstance(edition, TrialEdition) else None


def block_of(g: Gather) -> Block | None:
    """Where the array lies; None, and open, without its module or its corner."""
    module, array = g.module(), g.array
    if array.from_left is None or array.from_eave is None:
        g.miss("array.block")
        return None
    if module is None:
        return None
    upright = array.orientation == "portrait"
    along = module.length if upright else module.width
    wide = array_width(array, module)
    high = array.rows * along + (array.rows - 1) * array.gap
    x0, y0 = array.from_left / 1e6, array.from_eave / 1e6
    return Block(Ends(x0, x0 + wide / 1e6), Ends(y0, y0 + high / 1e6))


def shape_of(g: Gather, code: Code | None) -> Shape | None:
    """The roof, if form, pitch, outline, ridge and edges are known and fit together."""
    form, pitch, outline = form_of(g), g.measure("plane.pitch"), rectangle_of(g)
    height = g.measure("plane.height.ridge")
    parapet = _parapet_in_wind(g, code, pitch)
    if parapet is None or form is None or pitch is None or height is None or outline is None:
        return None
    assert outline.rectangle is not None
    length, slope = (Ends(p.low / 1e6, p.high / 1e6) for p in outline.rectangle)
    origin = f"{g.job.file}:{outline.line}"
    shape = Shape(form, pitch, length, slope, height, outline.seen, origin, parapet)
    return shape if _fits(g, shape) else None


def form_of(g: Gather) -> str | None:
    """Form of the whole roof; another one than those of the tables is a stop."""
    form = g.word("plane.form")
    if form is None or form in FORMS:
        return form
    g.stop("roof form", form, ", ".join(FORMS), "EN 1991-1-4 7.2, EN 1991-1-3 5.3")
    return None


def parapet_of(g: Gather) -> Parapet | None:
    """The parapet with its height; None, and open, where it is not known."""
    word = g.word(PARAPET)
    return None if word is None else _parapet(g, word)


def _parapet(g: Gather, word: str) -> Parapet | None:
    if word == "none":
        if g.stated(PARAPET_HEIGHT):
            about = Open(Word.OBSERVE, "disagree", PARAPET, "none", "some", "above")
            g.opens.append(replace(about, also=(PARAPET_HEIGHT,)))
            return None
        return Parapet(None)
    height = g.measure(PARAPET_HEIGHT)
    return None if height is None else Parapet(height)


def _parapet_in_wind(g: Gather, code: Code | None, pitch: Known | None) -> Parapet | None:
    """The parapet; a stop where the tables know none: on a pitched roof, or along some edges."""
    word, clause = g.word(PARAPET), "EN 1991-1-4 7.2.3 to 7.2.5"
    if word is None:
        return None
    if word == "some":
        g.stop("parapet", "along some edges", "flat roofs with a parapet all round", clause)
        return None
    if word != "none" and code is not None and pitch is not None:
        limit, steep = code.figure("flat_below").value, pitch.ends.high
        if steep >= limit:
            allowed = f"flat roofs below {limit:g} deg"
            g.stop("pitch behind a parapet", f"{steep:g} deg", allowed, clause)
            return None
    return _parapet(g, word)


def nothing_taller(g: Gather) -> None:
    """The tables know no roof at the foot of a taller part, whose wall turns the wind down."""
    taller = g.word(TALLER)
    if taller in ("adjoins", "several"):
        g.stop("taller parts", taller, "roofs that nothing taller adjoins", "EN 1991-1-4 7.2")


def top_of(g: Gather) -> Top | None:
    """The highest point with the parapet on it; None, and open, where one is not known."""
    ridge, parapet = g.measure("plane.height.ridge"), parapet_of(g)
    if ridge is None or parapet is None:
        return None
    return Top(ridge, parapet.height)


def rectangle_of(g: Gather) -> Outline | None:
    """A rectangle of which somebody says how exact it is."""
    outline = g.plane.outline
    if outline is None:
        g.miss("plane.outline")
    elif outline.rectangle is None:
        g.stop("outline", "no rectangle", "rectangular planes", "EN 1991-1-4 7.2.3 to 7.2.5")
        return None
    elif not outline.exact:
        g.opens.append(Open(Word.OBSERVE, "inexact", "plane.outline", given=outline.seen))
        return None
    return outline


def _fits(g: Gather, shape: Shape) -> bool:
    """Whether outline, pitch, heights and plan can be true together; else all are asked back.

    Drawings are exact only as far as a line on a roof is.
    """
    before, slack = len(g.opens), g.base.numbers[SLACK].value.places[0].high / 1e6
    if g.stated("plane.height.eave"):
        eave = g.measure("plane.height.eave")
        if eave is not None:
            top = shape.height.ends
            rise = Ends(top.low - eave.ends.high - slack, top.high - eave.ends.low + slack)
            own = Ends(*(s * math.sin(math.radians(p)) for s, p in _pairs(shape)))
            _agree(g, "rise", rise, own, ("plane.height.eave", "plane.outline", "plane.pitch"))
    if g.stated("plane.plan_length") and g.stated("plane.plan_width"):
        plan = g.measure("plane.plan_length"), g.measure("plane.plan_width")
        if plan[0] is not None and plan[1] is not None:
            own_plan = [Ends(e.low - slack, e.high + slack) for e in (shape.length, shape.depth)]
            _same_plan(g, (plan[0].ends, plan[1].ends), (own_plan[0], own_plan[1]))
    return len(g.opens) == before


def _pairs(shape: Shape) -> tuple[tuple[float, float], tuple[float, float]]:
    low, high = shape.slope, shape.pitch.ends
    return (low.low, high.low), (low.high, high.high)


def _same_plan(g: Gather, plan: tuple[Ends, Ends], own: tuple[Ends, Ends]) -> None:
    """Length and width of the building, whichever of them runs along the eave."""
    if any(_meet(plan[a], own[0]) and _meet(plan[b], own[1]) for a, b in ((0, 1), (1, 0))):
        return
    also = ("plane.plan_width", "plane.outline", "plane.form")
    given, allowed = (" by ".join(map(_shown, pair)) for pair in (plan, own))
    g.opens.append(
        Open(Word.OBSERVE, "disagree", "plane.plan_length", given, allowed, "plan", also)
    )


def _agree(g: Gather, what: str, seen: Ends, own: Ends, paths: tuple[str, ...]) -> None:
    if not _meet(seen, own):
        about = "plane.height.ridge"
        open_ = Open(Word.OBSERVE, "disagree", about, _shown(seen), _shown(own), what, paths)
        g.opens.append(open_)


def _meet(one: Ends, other: Ends) -> bool:
    return one.low <= other.high and other.low <= one.high


def _shown(ends: Ends) -> str:
    low, high = (f"{round(x, 2):g}" for x in ends)
    return f"{low} m" if low == high else f"{low} to {high} m"


def lying_of(g: Gather) -> tuple[str | None, int | None]:
    """What is below the roof, and the gap below the modules."""
    closed, gap = g.word("plane.closed_below"), g.array.gap_below
    if gap is None:
        g.miss("array.gap_below")
    return closed, gap


def lies_low(g: Gather, code: Code, shape: Shape | None, block: Block | None) -> None:
    """What of the working rule for parallel modules does not surely hold: open, or a stop."""
    closed, gap = lying_of(g)
    if closed is None or gap is None or shape is None or block is None:
        return
    tilt = 0.0 if g.array.tilt is None else g.array.tilt / 1e3
    distances = [
        min(block.x.low, length - block.x.high, block.y.low, slope - block.y.high)
        for length, slope in (
            (shape.length.low, shape.slope.low),
            (shape.length.high, shape.slope.high),
        )
    ]
    closed_below = closed == "closed building"
    near, far = (
        outside_rule(code, Lie(tilt, gap / 1e6, round(d, 6), closed_below)) for d in distances
    )
    if far is not None:
        g.stop(far.what, far.given, far.allowed, far.clause)
    elif near is not None:
        g.opens.append(
            Open(Word.OBSERVE, "straddles", "plane.outline", near.given, near.allowed, near.what)
        )
