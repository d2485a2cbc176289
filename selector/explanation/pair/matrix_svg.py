"""The table of all pairs as one drawing for A4 across: black on white, words in the cells."""

from selector.explanation.pair.matrix import CAUTIONS, MatrixTelling
from selector.explanation.places.drawing import (
    HEAD,
    PLAIN,
    TEXT,
    THICK,
    THIN,
    Drawing,
    Rect,
    Words,
    lines_of,
    wide_of,
)
from selector.inference.pair import Paired
from selector.model.truth import Word

WIDE = 269.0  # mm: what A4 across leaves between margins of 14 mm
INSET = 1.0  # mm of white inside a cell
CLOSE = 1.15  # from line to line inside a cell


def matrix_svg(found: MatrixTelling, version: str) -> str:
    """The whole drawing; every cell says its word, and the number of its reason below."""
    telling, labels = found.telling, found.labels
    drawing = Drawing("pairs", WIDE)
    drawing.below(found.title, size=HEAD, bold=True)
    for line in found.around:
        drawing.below(line)
    drawing.y += 2
    side = _side_width(found)
    step = (WIDE - side) / len(labels)
    _heads(drawing, labels, side, step)
    for label, row in zip(labels, found.matrix.cells, strict=True):
        _row(drawing, found, label, row, side, step)
    drawing.y += 2
    reasons = enumerate(found.reasons.values(), 1)
    drawing.below("; ".join(f"({n})\u00a0{reason.text}" for n, reason in reasons))
    drawing.y += 1
    drawing.below(" ".join(telling.say(name) for name in CAUTIONS))
    drawing.below(telling.say("answer.foot", version=version, digest=telling.base.digest[:12]))
    desc = telling.say("pair.matrix.desc", n=len(labels))
    return drawing.file(found.title, desc)


def _side_width(found: MatrixTelling) -> float:
    """Width of the names of the rows: what is left when each column holds its widest word."""
    words = [found.telling.word(word) for word in Word]
    widest = max(wide_of(word, bold=True) for word in words) + 2 * INSET
    names = max(wide_of(piece, bold=True) for label in found.labels for piece in label.split())
    return max(names + 2 * INSET, min(45.0, WIDE - len(found.labels) * widest))


def _heads(drawing: Drawing, labels: list[str], side: float, step: float) -> None:
    """Names of the columns: across where each word has room, else all read from the right."""
    longest = max(wide_of(word, bold=True) for label in labels for word in label.split())
    turned = longest > step - 2 * INSET
    room = longest if turned else step - 2 * INSET
    each = [lines_of(label, room, bold=True) for label in labels]
    deep = longest if turned else max(map(len, each)) * TEXT * CLOSE
    deep += 2 * INSET
    for n, lines in enumerate(each):
        x, foot = side + n * step, drawing.y + deep
        drawing.box(Rect(x, drawing.y, x + step, foot), THIN)
        if not turned:
            _middle(drawing, x + step / 2, drawing.y + deep / 2, lines, bold=True)
        for at, line in enumerate(lines if turned else ()):
            here = x + step / 2 + (at - (len(lines) - 1) / 2) * TEXT * CLOSE + TEXT / 3
            drawing.text(Words(here, foot - INSET, line, bold=True, turned=True))
    drawing.line(0, drawing.y + deep, WIDE, drawing.y + deep, THICK)
    drawing.y += deep


def _row(
    drawing: Drawing,
    found: MatrixTelling,
    label: str,
    row: tuple[Paired, ...],
    side: float,
    step: float,
) -> None:
    names = lines_of(label, side - 2 * INSET, TEXT, bold=True)
    deep = max(len(names), 2) * TEXT * CLOSE + 2 * INSET
    top = drawing.y
    drawing.box(Rect(0, top, side, top + deep), THIN)
    for n, name in enumerate(names):
        y = top + deep / 2 + (n - (len(names) - 1) / 2) * TEXT * CLOSE + TEXT / 3
        drawing.text(Words(INSET, y, name, bold=True))
    for n, cell in enumerate(row):
        x = side + n * step
        no = cell.word == Word.FORBIDDEN
        data = {"word": cell.word.text, "row": label, "column": found.labels[n]}
        drawing.box(Rect(x, top, x + step, top + deep), PLAIN if no else THIN, data=data)
        lines = [found.telling.word(cell.word), found.number(cell)]
        _middle(drawing, x + step / 2, top + deep / 2, [t for t in lines if t], bold=no)
    drawing.y += deep


def _middle(drawing: Drawing, x: float, y: float, lines: list[str], *, bold: bool) -> None:
    """Lines of text around a point."""
    for n, line in enumerate(lines):
        at = y + (n - (len(lines) - 1) / 2) * TEXT * CLOSE + TEXT / 3
        drawing.text(Words(x, at, line, bold=bold, anchor="middle"))
