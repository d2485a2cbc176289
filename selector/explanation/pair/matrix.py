"""The table of all pairs: its cells with numbered reasons, as text of 80 columns and as CSV."""

import csv
import io
from dataclasses import dataclass
from functools import cached_property
from textwrap import wrap

from selector.explanation.csv_cell import cell as csv_cell
from selector.explanation.pair.telling import PairTelling
from selector.explanation.stands import nobody_can
from selector.explanation.why.sheet import WIDTH, Sheet
from selector.inference.pair import Matrix, Paired
from selector.knowledge.pair_facts import phrase_of
from selector.model.truth import Word

LABEL, COLUMN = 17, 14  # letters; a column holds the longest word and a number
CAUTIONS = ("caution.who_decides", "pair.caution.matrix")


@dataclass(frozen=True)
class Reason:
    """Why a cell has its word: a rule by its id, or what is missing."""

    id: str
    text: str


@dataclass(frozen=True)
class MatrixTelling:
    """A table with the words and the numbers of its cells."""

    telling: PairTelling
    matrix: Matrix

    @property
    def title(self) -> str:
        """Where the metals meet, and which side is which."""
        return self.telling.say(f"pair.matrix.{self.matrix.place.replace(' ', '_')}")

    @property
    def around(self) -> list[str]:
        """Rain and air, the same for all cells."""
        rain, air = self.telling.say("pair.rain.kept_off"), self.telling.air(self.matrix.air.site)
        return [self.telling.say("pair.matrix.around", rain=rain, air=air)]

    @cached_property
    def labels(self) -> list[str]:
        """Names of the metals in order."""
        return [self.telling.metal(metal) for metal in self.matrix.metals]

    @cached_property
    def reasons(self) -> dict[str, Reason]:
        """Every reason of some cell, in the order in which they come."""
        cells = (cell for row in self.matrix.cells for cell in row)
        found = [r for cell in cells if (r := self.reason(cell)) is not None]
        return {reason.id: reason for reason in found}

    def number(self, cell: Paired) -> str:
        """Number of the reason of a cell; empty for a plain yes."""
        reason = self.reason(cell)
        return "" if reason is None else str(list(self.reasons).index(reason.id) + 1)

    def reason(self, cell: Paired) -> Reason | None:
        """The first rule that surely gives the word, else what is missing or still open."""
        say, texts = self.telling.say, self.telling.texts
        if cell.word == Word.ALLOWED:
            return None
        lost = nobody_can(cell.verdict)
        still = [f for f in cell.findings if not f.surely and (f.rule.word or 0) >= cell.word]
        for finding in cell.deciding:
            return Reason(finding.rule.id, finding.rule.title)
        for text, who in lost:
            who = texts.word(who)
            return Reason(text, say("stacks.not_in_base", text=text, who=who))
        for finding in still:
            return Reason(f"{finding.rule.id}?", say("pair.matrix.open", text=finding.rule.title))
        return Reason("confirm", say("pair.matrix.confirm"))


def matrix_page(found: MatrixTelling, version: str, width: int = WIDTH) -> list[str]:
    """The table in as many blocks of columns as the width needs, and its reasons."""
    telling, sheet = found.telling, Sheet(width)
    say = telling.say
    sheet.add("", found.title)
    for line in found.around:
        sheet.add("", line)
    many = max(1, (width - LABEL) // (COLUMN + 1))
    numbers = range(len(found.labels))
    for start in numbers[::many]:
        _block(sheet, found, list(numbers[start : start + many]))
    if found.reasons:
        sheet.head(say("pair.matrix.reasons"))
    for number, reason in enumerate(found.reasons.values(), 1):
        sheet.add(f"{number:2} ", reason.text)
    sheet.lines.append("")
    for name in CAUTIONS:
        sheet.add("! ", say(name))
    sheet.add("", say("answer.foot", version=version, digest=telling.base.digest[:12]))
    return sheet.lines


def _block(sheet: Sheet, found: MatrixTelling, columns: list[int]) -> None:
    """Some columns of the table under their names, with a line between the rows."""
    telling = found.telling
    sheet.lines.append("")
    sheet.lines += _lines("", [found.labels[j] for j in columns])
    sheet.lines.append("-" * (LABEL + len(columns) * (COLUMN + 1) - 1))
    for label, row in zip(found.labels, found.matrix.cells, strict=True):
        words = (f"{telling.word(row[j].word)} {found.number(row[j])}" for j in columns)
        sheet.lines += _lines(label, [word.strip() for word in words])


def _lines(label: str, cells: list[str]) -> list[str]:
    """One row; each cell wraps in its column."""
    parts = [wrap(label, LABEL - 1) or [""], *(wrap(cell, COLUMN) or [""] for cell in cells)]
    widths = [LABEL - 1] + [COLUMN] * len(cells)
    lines = []
    for n in range(max(map(len, parts))):
        pieces = (p[n] if n < len(p) else "" for p in parts)
        lines.append(" ".join(t.ljust(w) for t, w in zip(pieces, widths, strict=True)).rstrip())
    return lines


def matrix_csv(found: MatrixTelling) -> str:
    """RFC 4180, UTF-8: one row a pair, with ids in English and its word in English."""
    matrix = found.matrix
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(("place", "air", "upper", "lower", "word", "sufferer", "rules", "reason"))
    air = found.telling.air(matrix.air.site)
    for upper, row in zip(matrix.metals, matrix.cells, strict=True):
        for lower, cell in zip(matrix.metals, row, strict=True):
            reason = found.reason(cell)
            rules = " ".join(f.rule.id for f in cell.deciding)
            sufferer = cell.sufferer
            told = (matrix.place, air, phrase_of(upper), phrase_of(lower), cell.word.text)
            text = reason.text if reason is not None else ""
            writer.writerow(csv_cell(v) for v in (*told, sufferer, rules, text))
    return out.getvalue()
