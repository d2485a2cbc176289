"""A sheet to HTML: one file with everything in it, all texts escaped, nothing that runs."""

from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from selector.explanation.places.drawing import clean
from selector.explanation.sheet.blocks import Figure, RoofSheet

LONGEST = 24  # letters of a word that a line takes whole


def render(sheet: RoofSheet) -> str:
    """Text of the file; the same bytes for the same sheet."""
    return pages("sheet").get_template("page.html").render(sheet=sheet)


def pages(*folders: str) -> Environment:
    """Templates of folders of the explanation, with what all pages are filled by."""
    loaders = [PackageLoader(f"selector.explanation.{name}") for name in folders]
    environment = Environment(
        loader=ChoiceLoader(loaders),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters |= {"clean": clean, "broken": broken, "drawn": drawn}
    return environment


def broken(text: str) -> Markup:
    """A text, escaped, in which a word that is longer than any word of ours may be broken."""
    words = clean(text).split(" ")
    pieces = ([w[i : i + LONGEST] for i in range(0, max(1, len(w)), LONGEST)] for w in words)
    return Markup(" ").join(Markup("<wbr>").join(piece) for piece in pieces)


def drawn(figure: Figure) -> Markup:
    """A drawing of this program, whose texts are escaped already."""
    return Markup(figure.svg)
