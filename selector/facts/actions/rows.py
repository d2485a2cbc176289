"""Rows of a calculation: sheets worked out at all ends of the inputs, laid over each other."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from selector.engineering.lines import Line, Ref, Sheet, weakest
from selector.facts.actions.gather import Known
from selector.facts.actions.model import Ends, Row

STATICS = "statics"


def laid_over(sheets: Iterable[Sheet]) -> tuple[Row, ...]:
    """One row a symbol, from its lowest to its highest value over all sheets."""
    found: dict[str, list[Line]] = {}
    for sheet in sheets:
        for line in sheet.lines:
            found.setdefault(line.symbol, []).append(line)
    return tuple(_one(lines) for lines in found.values())


def worse_of(
    rows: Iterable[Row], symbol: str, worked: Ends, found: Known, text: str
) -> tuple[tuple[Row, ...], Ends]:
    """Rows with what is worked out and what is stated side by side, and the larger ends of both."""
    kept = {row.symbol: row for row in rows}
    own = f"{symbol},worked"
    mine = replace(kept.pop(symbol), symbol=own)
    out = Rows(kept.values())
    out.rows[own] = mine
    ref = Ref("given", found.source, "conflict", found.origin)
    out.given(f"{symbol},stated", found.ends, "Pa", ref, text)
    worse = Ends(max(worked.low, found.ends.low), max(worked.high, found.ends.high))
    names = (own, f"{symbol},stated")
    out.worked(symbol, worse, "Pa", Ref(STATICS, STATICS, STATICS), "the larger of both", names)
    return out.all, worse


def _one(lines: Sequence[Line]) -> Row:
    first = lines[0]
    numbers = [x.value for x in lines if not isinstance(x.value, str)]
    words = dict.fromkeys(x.value for x in lines if isinstance(x.value, str))
    value: Ends | str = " or ".join(words) if words else Ends(min(numbers), max(numbers))
    return Row(
        first.symbol,
        value,
        first.unit,
        first.clause,
        first.source,
        weakest(x.status for x in lines),
        first.inputs,
        " or ".join(dict.fromkeys(x.how for x in lines)),
        first.origin,
    )


class Rows:
    """Rows in the making, behind those of some sheets."""

    def __init__(self, rows: Iterable[Row] = ()):
        self.rows = {row.symbol: row for row in rows}

    def given(self, symbol: str, value: Ends | str, unit: str, ref: Ref, how: str = "") -> None:
        """Enter a row of a code or of the job."""
        row = Row(symbol, value, unit, ref.clause, ref.source, ref.status, (), how, ref.origin)
        self.rows.setdefault(symbol, row)

    def worked(
        self,
        symbol: str,
        value: Ends,
        unit: str,
        ref: Ref,
        how: str,
        inputs: tuple[str, ...],
        zone: str = "",
    ) -> None:
        """Enter what rests on rows before it, worth the weakest of them; KeyError for none."""
        status = weakest([ref.status, *(self.rows[name].status for name in inputs)])
        where = ref.clause, ref.source, status, inputs, how
        self.rows[symbol] = Row(symbol, value, unit, *where, zone=zone)

    @property
    def all(self) -> tuple[Row, ...]:
        """The rows so far."""
        return tuple(self.rows.values())
