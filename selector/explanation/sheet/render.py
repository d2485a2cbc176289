"""A sheet to HTML: one file with everything in it, all texts escaped, nothing that runs."""

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from selector.explanation.places.drawing import clean
from selector.explanation.sheet.blocks import Figure, RoofSheet


def render(sheet: RoofSheet) -> str:
    """Text of the file; the same bytes for the same sheet."""
    environment = Environment(
        loader=PackageLoader("selector.explanation.sheet"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters |= {"clean": clean, "drawn": _drawn}
    return environment.get_template("sheet.html").render(sheet=sheet)


def _drawn(figure: Figure) -> Markup:
    """A drawing of this program, whose texts are escaped already."""
    return Markup(figure.svg)
