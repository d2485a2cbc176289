"""Lengths and places of a roof in words: whole millimetres where they are whole."""

from collections.abc import Iterator

from selector.explanation.places.drawing import short
from selector.explanation.texts import Texts
from selector.layout.model import Placed

MOST = 12  # keep-outs, divides, zones or faults that a plan lists by itself


def mm_text(um: int, texts: Texts) -> str:
    """A length in mm without its unit, tenths only where there are any."""
    whole, rest = divmod(abs(um), 1000)
    sign = "-" if um < 0 else ""
    tenths = round(rest / 100)
    if tenths == 10:
        whole, tenths = whole + 1, 0
    point = texts.say("number.point")
    return f"{sign}{whole}{point}{tenths}" if tenths else f"{sign}{whole}"


def listed_below(placed: Placed, texts: Texts) -> Iterator[str]:
    """Where each keep-out and divide lies, and how the figures are meant."""
    say, roof = texts.say, placed.roof
    yield say("drawing.plan.figures")
    margins = {margin.id for margin in roof.margins}  # strips that are drawn are said as margins
    for keep in [keep for keep in roof.keeps if keep.id not in margins][:MOST]:
        places = {k: mm_text(getattr(keep.box, k), texts) for k in ("x0", "x1", "y0", "y1")}
        kind = say(f"drawing.keep.{keep.kind}")
        yield say("drawing.keep_at", name=short(keep.id, 40), kind=kind, **places)
    for margin in roof.margins[:MOST]:
        kind, width = say(f"drawing.keep.{margin.kind}"), mm_text(margin.width, texts)
        yield say("drawing.margin_of", name=short(margin.id, 40), kind=kind, width=width)
    for divide in roof.divides[:MOST]:
        way = "up" if divide.up_the_slope else "along"
        at = mm_text(divide.at, texts)
        yield say(f"drawing.divide.{way}", name=short(divide.id, 40), at=at)
    more = sum(max(0, len(each) - MOST) for each in (roof.keeps, roof.margins, roof.divides))
    if more:
        yield say("drawing.left_out.keeps", n=more)
