"""A drawing on paper as SVG: millimetres, black on white, nothing that runs or fetches.

Line widths and dashes tell things apart, never colour. Hatches are lines and arrows are
polygons, so that every program draws them alike. Texts know their room, which is estimated
never too small, and may be placed where nothing else stands.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from textwrap import wrap
from typing import NamedTuple
from xml.sax.saxutils import escape, quoteattr

from selector.explanation.fonts import FONT

PAGE, PAD = 186.0, 2.0  # mm: with a pad on both sides what A4 leaves between its margins
TEXT, HEAD = 3.2, 4.4  # heights of letters in mm; 3.2 mm are 9 pt
LEAD = 1.4  # from line to line
FINE, THIN, PLAIN, THICK = 0.1, 0.18, 0.35, 0.7  # widths of lines in mm
ARROW = 1.6
_ABOVE, _BELOW = 0.8, 0.25  # of the height of letters, from the line they stand on

# Widths of letters by the size, those of DejaVu Sans rounded up: the widest of the fonts named.
_NARROW = {**dict.fromkeys("ijlI.,:;'|", 0.34), **dict.fromkeys("ftr()[]/- !", 0.42)}
_WIDE = {**dict.fromkeys("mMW@%…", 1.0), **dict.fromkeys("wGOQDHNU+=<>±×~#&^Ö", 0.84)}
_BOLD = 1.22
_USUAL, _CAPITAL, _FOREIGN = 0.64, 0.75, 1.05


Data = Mapping[str, object] | None  # `data-` attributes of an element by name


class Rect(NamedTuple):
    """A rectangle on the paper in mm, y downwards."""

    x0: float
    y0: float
    x1: float
    y1: float

    def meets(self, other: "Rect") -> bool:
        """Whether the two share an area."""
        return (
            self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1
        )

    def inside(self, other: "Rect") -> bool:
        """Whether it lies wholly in another one."""
        return (
            self.x0 >= other.x0
            and self.x1 <= other.x1
            and self.y0 >= other.y0
            and self.y1 <= other.y1
        )


@dataclass(frozen=True)
class Words:
    """A text on the paper: where its line starts, how it is set."""

    x: float
    y: float
    text: str
    size: float = TEXT
    bold: bool = False
    anchor: str = "start"  # start | middle | end
    turned: bool = False  # read from the right

    @property
    def room(self) -> Rect:
        """The paper that it takes, never too little."""
        wide = wide_of(self.text, self.size, bold=self.bold)
        start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[self.anchor]
        up, down = self.size * _ABOVE, self.size * _BELOW
        if self.turned:
            return Rect(self.x - up, self.y - start - wide, self.x + down, self.y - start)
        return Rect(self.x + start, self.y - up, self.x + start + wide, self.y + down)


def wide_of(text: str, size: float = TEXT, *, bold: bool = False) -> float:
    """Width of a text in mm, estimated never too small."""
    ems = sum(map(_ems, text))
    return ems * size * (_BOLD if bold else 1.0)


def _ems(letter: str) -> float:
    known = _NARROW.get(letter) or _WIDE.get(letter)
    if known is not None:
        return known
    if letter.isascii() or letter in "äöüß°„“–":
        return _CAPITAL if letter.isupper() else _USUAL
    return _FOREIGN


def clean(text: str) -> str:
    """A text without what no file may hold and without marks that turn its direction."""
    return "".join(c if _harmless(c) else "\ufffd" for c in text)


def _harmless(letter: str) -> bool:
    code = ord(letter)
    if code < 0x20:
        return letter in "\t\n"
    turns = 0x202A <= code <= 0x202E or 0x2066 <= code <= 0x2069
    return not (turns or 0x7F <= code < 0xA0 or 0xD800 <= code < 0xE000 or code & 0xFFFE == 0xFFFE)


def short(text: str, most: int = 14) -> str:
    """A name of at most so many letters."""
    text = " ".join(clean(text).split())
    return text if len(text) <= most else text[: most - 1] + "…"


def figure(value: float) -> str:
    """A number of the file: 0.0001 mm, no exponent, no negative zero."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


class Drawing:
    """Elements of a drawing, and how far down it reaches; texts stand above all lines."""

    def __init__(self, name: str, wide: float = PAGE) -> None:
        self.name = name
        self.wide = wide
        self.y = 0.0
        self.taken: list[Rect] = []  # texts, and what no text may cover
        self._lines: list[str] = []
        self._texts: list[str] = []

    # --- lines -----------------------------------------------------------------------------

    def element(self, tag: str, data: Data, **attributes: object) -> None:
        """An element with attributes as they are and `data-` attributes."""
        self._lines.append(_element(tag, data, attributes))

    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        wide: float = PLAIN,
        *,
        dash: str = "",
        data: Data = None,
    ) -> None:
        """A straight line."""
        look = {"stroke": "black", "stroke_width": wide, "stroke_dasharray": dash}
        self.element("line", data, x1=x1, y1=y1, x2=x2, y2=y2, **look)

    def box(
        self,
        rect: Rect,
        wide: float = PLAIN,
        *,
        fill: str = "none",
        dash: str = "",
        data: Data = None,
    ) -> None:
        """A rectangle; no line around it where `wide` is 0."""
        stroke = "black" if wide else "none"
        look = {"fill": fill, "stroke": stroke, "stroke_width": wide, "stroke_dasharray": dash}
        size = {"width": rect.x1 - rect.x0, "height": rect.y1 - rect.y0}
        self.element("rect", data, x=rect.x0, y=rect.y0, **size, **look)

    def polygon(
        self,
        points: Iterable[tuple[float, float]],
        wide: float = PLAIN,
        *,
        fill: str = "none",
        data: Data = None,
    ) -> None:
        """A closed line."""
        text = " ".join(f"{figure(x)},{figure(y)}" for x, y in points)
        look = {"fill": fill, "stroke": "black", "stroke_width": wide}
        self.element("polygon", data, points=text, **look)

    def dot(self, x: float, y: float, r: float, *, fill: str = "black", data: Data = None) -> None:
        """A filled or open circle."""
        look = {"fill": fill, "stroke": "black", "stroke_width": THIN}
        self.element("circle", data, cx=x, cy=y, r=r, **look)

    def hatch(self, rect: Rect, step: float = 1.6, wide: float = THIN) -> None:
        """Slanting lines across a rectangle, each cut at its sides."""
        start = rect.x0 - (rect.y1 - rect.y0)
        for n in range(1, int((rect.x1 - start) / step) + 1):
            at = start + n * step  # where the line meets the lower side
            x1, x2 = max(at, rect.x0), min(at + rect.y1 - rect.y0, rect.x1)
            if x2 > x1:
                self.line(x1, rect.y1 - (x1 - at), x2, rect.y1 - (x2 - at), wide)

    def arrow(self, x: float, y: float, dx: float, dy: float, size: float = ARROW) -> None:
        """The head of an arrow that points along (dx, dy), which is of length 1."""
        third = size / 3
        x0, y0 = x - size * dx, y - size * dy
        sides = [(x0 + s * third * dy, y0 - s * third * dx) for s in (1, -1)]
        self.polygon([(x, y), *sides], FINE, fill="black")

    # --- texts -----------------------------------------------------------------------------

    def text(self, words: Words, *, halo: bool = False, data: Data = None) -> None:
        """A text; its room is taken, on white where it stands on lines."""
        room = words.room
        if halo:
            size = {"width": room.x1 - room.x0, "height": room.y1 - room.y0}
            place = {"x": room.x0, "y": room.y0, **size, "fill": "white"}
            self._texts.append(_element("rect", None, place))
        turn = f"rotate(-90 {figure(words.x)} {figure(words.y)})" if words.turned else ""
        look: dict[str, object] = {"x": words.x, "y": words.y, "font_size": words.size}
        look |= {"font_family": FONT, "text_anchor": words.anchor, "transform": turn}
        look |= {"font_weight": "bold" if words.bold else ""}
        self._texts.append(_element("text", data, look, words.text))
        self.taken.append(room)

    def place(self, tries: Iterable[Words], within: Rect | None = None, data: Data = None) -> bool:
        """A text at the first place where it covers nothing; false where there is none."""
        for words in tries:
            room = words.room
            if within is not None and not room.inside(within):
                continue
            if not any(room.meets(other) for other in self.taken):
                self.text(words, halo=True, data=data)
                return True
        return False

    def below(self, text: str, *, size: float = TEXT, bold: bool = False, x: float = 0.0) -> None:
        """A text below everything so far, in as many lines as it takes."""
        for line in lines_of(text, self.wide - x, size, bold=bold):
            self.y += size * LEAD
            self.text(Words(x, self.y - size * _BELOW, line, size, bold))

    # --- dimensions --------------------------------------------------------------------------

    def across(self, x0: float, x1: float, y: float, text: str, data: Data = None) -> bool:
        """A dimension along the page, read from below; false where its text finds no place."""
        self._dimension((x0, y), (x1, y), (1, 0), data)
        middle = Words((x0 + x1) / 2, y - 0.8, text, anchor="middle")
        behind = Words(max(x0, x1) + 2, y + TEXT / 3, text)
        before = Words(min(x0, x1) - 2, y + TEXT / 3, text, anchor="end")
        fits = middle.room.x1 - middle.room.x0 <= abs(x1 - x0)
        above = [Words(x, y - 0.8, text) for x in (min(x0, x1), 0.0)]
        tries = [*([middle] if fits else []), behind, before, *above]
        return self.place(tries, Rect(0, 0, self.wide, 1e9))

    def up(self, x: float, y0: float, y1: float, text: str, data: Data = None) -> bool:
        """A dimension up the page, read from the right; false where its text finds no place."""
        self._dimension((x, y0), (x, y1), (0, -1), data)
        middle = Words(x - 0.8, (y0 + y1) / 2, text, anchor="middle", turned=True)
        higher = Words(x + TEXT / 3, min(y0, y1) - 2, text, turned=True)
        lower = Words(x + TEXT / 3, max(y0, y1) + 2, text, anchor="end", turned=True)
        fits = middle.room.y1 - middle.room.y0 <= abs(y0 - y1)
        paper = Rect(0, 0, self.wide, 1e9)
        return self.place([middle, higher, lower] if fits else [higher, lower], paper)

    def _dimension(
        self,
        start: tuple[float, float],
        end: tuple[float, float],
        along: tuple[int, int],
        data: Data,
    ) -> None:
        """The line of a dimension with a slanting tick at each end, and arrows where they fit."""
        (x0, y0), (x1, y1) = start, end
        dx, dy = along
        self.line(x0, y0, x1, y1, THIN, data=data)
        for (x, y), way in ((start, -1), (end, 1)):
            self.line(x - 1.2 * dy, y - 1.2 * dx, x + 1.2 * dy, y + 1.2 * dx, THIN)
            if abs(x1 - x0) + abs(y1 - y0) > 3 * ARROW:
                sign = 1 if (x1 - x0) * dx + (y1 - y0) * dy > 0 else -1
                self.arrow(x, y, way * sign * dx, way * sign * dy)

    # --- the file ----------------------------------------------------------------------------

    def file(self, title: str, desc: str, data: Data = None) -> str:
        """The whole drawing; `data` goes to its head."""
        wide, high = self.wide + 2 * PAD, self.y + 2 * PAD
        head: dict[str, object] = {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"{figure(-PAD)} {figure(-PAD)} {figure(wide)} {figure(high)}",
            "width": f"{figure(wide)}mm",
            "height": f"{figure(high)}mm",
            "role": "img",
            "aria_labelledby": f"{self.name}-t {self.name}-d",
        }
        start = _element("svg", data, head, "").removesuffix("</svg>")
        named = [
            f'<title id="{self.name}-t">{escape(clean(title))}</title>',
            f'<desc id="{self.name}-d">{escape(clean(desc))}</desc>',
        ]
        paper = _element(
            "rect", None, {"x": -PAD, "y": -PAD, "width": wide, "height": high, "fill": "white"}
        )
        return "\n".join([start, *named, paper, *self._lines, *self._texts, "</svg>"]) + "\n"


def lines_of(text: str, wide: float, size: float = TEXT, *, bold: bool = False) -> list[str]:
    """A text in lines that each fit a width; a word that is too long is cut."""
    text = " ".join(clean(text).split())
    letters = max(1, int(wide / (size * _NARROW["i"])))
    while True:
        lines = wrap(text, letters) or [""]
        widest = max(wide_of(line, size, bold=bold) for line in lines)
        if widest <= wide or letters == 1:
            return lines
        letters = max(1, min(letters - 1, int(letters * wide / widest) + 1))


def _element(
    tag: str, data: Data, attributes: Mapping[str, object], text: str | None = None
) -> str:
    named = {k.replace("_", "-"): v for k, v in attributes.items()}
    named |= {f"data-{k.replace('_', '-')}": v for k, v in (data or {}).items()}
    parts = "".join(f" {k}={_quoted(v)}" for k, v in named.items() if v != "")
    return f"<{tag}{parts}/>" if text is None else f"<{tag}{parts}>{escape(clean(text))}</{tag}>"


def _quoted(value: object) -> str:
    return f'"{figure(value)}"' if isinstance(value, float) else quoteattr(clean(str(value)))
