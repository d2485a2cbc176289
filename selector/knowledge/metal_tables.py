"""Facts on corrosion and bolting as the frozen tables that the formulas take.

`loss_tables`, `stainless_table`, `thread_forms`, `grades`, `friction_of` and `breaking_nm` are
what rules, checks and commands ask; the statuses of the rows stay with the rows.
"""

from selector.engineering.bolting import Grade, ThreadForm
from selector.engineering.corrosion_iso import LossClass, LossTable
from selector.engineering.stainless_en import ResistanceClass, SaltBand, StainlessTable, Step
from selector.knowledge.trade import TradeBook
from selector.model.quantity import Window

UM, KM, MPA, NM = 1e6, 1e9, 1e3, 1e3  # canonical small units in one of these


def loss_tables(book: TradeBook) -> dict[str, LossTable]:
    """First-year losses in um and exponents by metal; aluminium pits and has no thickness."""
    exponents = {row.shape.id: row.shape for row in book.loss_over_years}
    found = {}
    for metal in ("steel", "zinc", "copper"):
        classes = []
        for row in book.environments:
            low, high = _ends(getattr(row.shape.loss, metal))
            classes.append(LossClass(row.shape.id, low / 1e3, high / 1e3))
        own = exponents[metal]
        found[metal] = LossTable(metal, tuple(classes), own.b1, own.b2)
    return found


def stainless_table(book: TradeBook) -> StainlessTable:
    """Annex A of EN 1993-1-4 as data."""
    rows = [row.shape for row in book.stainless_exposure]
    sea = [(row, row.sea) for row in rows if row.sea is not None]
    road = [(row, row.road) for row in rows if row.road is not None]
    air = [(row, _ends(row.so2)) for row in rows if row.so2 is not None]
    classes = [row.shape for row in book.stainless_classes]
    return StainlessTable(
        tuple(SaltBand(r.band or r.id, (w.low or 0) / KM, r.points, r.coast) for r, w in sea),
        tuple(SaltBand(r.band or r.id, (w.low or 0) / KM, r.points) for r, w in road),
        tuple(Step(low, r.points) for r, (low, _) in air),
        max(high for _, (_, high) in air),
        {row.washing: row.points for row in rows if row.washing is not None},
        tuple(ResistanceClass(c.id, c.least, (*c.grades, *c.fasteners)) for c in classes),
    )


def _ends(window: Window) -> tuple[float, float]:
    """Both ends; an open one is infinite or nought."""
    return (
        0.0 if window.low is None else float(window.low),
        float("inf") if window.high is None else float(window.high),
    )


def thread_forms(book: TradeBook) -> dict[str, ThreadForm]:
    """Threads by name, in metres."""
    found = [row.shape for row in book.threads]
    return {
        t.id: ThreadForm(t.id, t.diameter / UM, t.pitch / UM, t.head / UM, t.hole / UM)
        for t in found
    }


def grades(book: TradeBook) -> dict[str, Grade]:
    """Property classes by name, in pascal."""
    found = [row.shape for row in book.bolt_classes]
    return {c.id: Grade(c.id, c.rp / MPA * 1e6, c.rm / MPA * 1e6) for c in found}


def breaking_nm(book: TradeBook, thread: str, strength: str) -> float | None:
    """Least torque that breaks a bolt, where a table has it."""
    for row in book.torque_tables:
        table = row.shape
        if table.kind == "breaking" and (table.thread, table.strength) == (thread, strength):
            return table.torque[0] / NM
    return None


def friction_of(book: TradeBook, finish: str | None) -> tuple[float, float]:
    """Friction of a finish or lubricant, least first; of none or an unknown one, all of it."""
    known = {row.shape.id: row.shape.mu for row in book.friction if row.shape.mu is not None}
    found = known.get(finish or "")
    if found is not None:
        return found
    ends = [mu for pair in known.values() for mu in pair]
    return min(ends), max(ends)
