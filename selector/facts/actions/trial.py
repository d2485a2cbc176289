"""What a code on trial gives for one array: velocity pressure and factors, for an engineer only."""

from itertools import product

from selector.engineering.asce import TrialSite, velocity_pressure
from selector.engineering.lines import Given, Outside, Ref, Sheet
from selector.engineering.tables import FIGURES, TrialEdition
from selector.facts.actions.gather import Gather, Known
from selector.facts.actions.model import Ends, Open, Row
from selector.facts.actions.rows import Rows, laid_over
from selector.facts.actions.wind import Peak
from selector.model.truth import Word

GCP = "pressure coefficient (GCp) of the roof zone"
HEIGHT, SPEED = "mean height", "map speed"  # clauses that say how inputs are read


def wind_on_trial(g: Gather, edition: TrialEdition) -> Peak | None:
    """Velocity pressure at the mean roof height; None, and open, where an input is missing.

    ASCE/SEI 7-16 and 7-22 chapter 26. No pressure on modules: its coefficient is not kept.
    """
    g.opens.append(Open(Word.ENGINEER, "engineer", GCP, edition.id, clause="29.4.4, (29.4-7)"))
    speed, exposure = g.on_paper("site.basic_wind"), g.words("site.exposure")
    altitude, level = g.measure("site.altitude"), _level(g)
    eave, ridge = g.measure("plane.height.eave"), g.measure("plane.height.ridge")
    if eave is None or ridge is None or not _stand(g, eave, ridge):
        return None
    if speed is None or exposure is None or altitude is None or level is None:
        return None
    out = _inputs(g, edition, eave, ridge)
    mean = out.rows["z"]
    assert isinstance(mean.value, Ends)
    height = Known(mean.value, mean.source, mean.status, "")
    sheets: list[Sheet] = []
    inputs = product(speed.both, sorted(exposure), height.both, altitude.both)
    for one, word, top, ground in inputs:
        sheet = velocity_pressure(edition, TrialSite(one, word, top, ground, level))
        if isinstance(sheet, Outside):
            g.stop(sheet.what, sheet.given, sheet.allowed, sheet.clause)
            return None
        sheets.append(sheet)
    for row in laid_over(sheets):
        out.rows.setdefault(row.symbol, row)
    # It rises with speed and height and falls with the ground: its ends are among the corners.
    qh = [sheet.value("qh") for sheet in sheets]
    return Peak(Ends(min(qh), max(qh)), out.all)


def factors_on_trial(g: Gather, edition: TrialEdition) -> tuple[Row, ...]:
    """Factors of the combinations without any set; none, and open, for an edition without them."""
    out = Rows()
    for name in FIGURES["combinations"]:
        if name in edition.figures:
            figure = edition.figures[name]
            value = Ends(figure.value, figure.value)
            out.given(name, value, figure.unit, figure.ref, figure.text)
    if not out.rows:
        about = "factors of the combinations"
        g.opens.append(Open(Word.ENGINEER, "engineer", about, edition.id, clause="2.3.1, 2.4.1"))
    return out.all


def _level(g: Gather) -> Given | None:
    """Topographic factor of level ground; a hill is a stop."""
    hill = g.word("site.hilltop")
    if hill == "some":
        g.stop("hilltop", "some", "sites where the ground is level or nearly so", "26.8")
    if hill != "none":
        return None
    return Given(1.0, g.seen("site.hilltop"), "measured", g.where("site.hilltop"))


def _stand(g: Gather, eave: Known, ridge: Known) -> bool:
    """Whether the eave can lie below the ridge; else both are asked back."""
    if eave.ends.low <= ridge.ends.high:
        return True
    given = f"{eave.ends.low:g} m; {ridge.ends.high:g} m"
    g.opens.append(Open(Word.OBSERVE, "contradicted", "plane.height.eave", given))
    g.opens.append(Open(Word.OBSERVE, "contradicted", "plane.height.ridge", given))
    return False


def _inputs(g: Gather, edition: TrialEdition, eave: Known, ridge: Known) -> Rows:
    """How speed and height are read, the exposure, and the mean height out of eave and ridge."""
    out = Rows()
    for name in (SPEED, HEIGHT):
        clause = edition.clauses[name]
        out.given(name, clause.text, "", clause.ref)
    for symbol, known in (("eave", eave), ("ridge", ridge)):
        ref = Ref("given", known.source, known.status, known.origin)
        out.given(symbol, known.ends, "m", ref, "height above the ground")
    mean = Ends(*(sum(pair) / 2 for pair in zip(eave.ends, ridge.ends, strict=True)))
    how, inputs = "(eave + ridge) / 2", ("eave", "ridge", HEIGHT)
    out.worked("z", mean, "m", edition.clauses[HEIGHT].ref, how, inputs)
    path = "site.exposure"
    words = " or ".join(sorted(g.words(path) or ()))
    ref = Ref("given", g.seen(path), "measured", g.where(path))
    out.given("exposure", words, "", ref, "exposure category")
    return out
