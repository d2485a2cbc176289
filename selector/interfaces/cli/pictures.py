"""A drawing to a file: SVG as it is, or a PNG of it, by the name of the file."""

from pathlib import Path

from selector.errors import InputError
from selector.explanation.fonts import FONT
from selector.explanation.texts import Texts
from selector.jobs.write import write_whole

KINDS = (".svg", ".png")
DPI = 200
INSTALL = "pip install 'seamwright[png]'"
_TRIAL = (
    "<svg xmlns='http://www.w3.org/2000/svg' width='20mm' height='8mm' viewBox='0 0 20 8'>"
    "<text x='1' y='6' font-size='5' font-family='{font}'>{text}</text></svg>"
)


def check_picture(path: Path, texts: Texts) -> None:
    """InputError where no drawing can be written to this path, before anything is worked out."""
    if path.suffix not in KINDS:
        raise InputError.of(texts.say("drawing.asking.kind"), file=str(path))
    check_folder(path, texts)
    if path.suffix == ".png":
        _check_letters(path, texts)


def check_folder(path: Path, texts: Texts) -> None:
    """InputError where the folder of a path is not there."""
    if not path.absolute().parent.is_dir():
        text, remedy = texts.say("loads.asking.no_folder"), texts.say("loads.asking.make_folder")
        raise InputError.of(text, remedy, file=str(path))


def write_picture(svg: str, path: Path, texts: Texts) -> None:
    """Write a drawing, all of it or nothing; InputError as `check_picture`."""
    check_picture(path, texts)
    write_whole(_png(svg, path, texts) if path.suffix == ".png" else svg, path)


def _png(svg: str, path: Path, texts: Texts) -> bytes:
    """The drawing in dots on white; InputError without the extra that draws it."""
    try:
        import resvg_py
    except ImportError:
        text, remedy = texts.say("drawing.asking.no_png"), INSTALL
        raise InputError.of(text, remedy, file=str(path)) from None
    return bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=DPI, background="white"))


def _check_letters(path: Path, texts: Texts) -> None:
    """Without a font texts vanish and nothing says so; so a letter is tried."""
    drawn, bare = (_png(_TRIAL.format(font=FONT, text=text), path, texts) for text in ("M", ""))
    if drawn == bare:
        text, remedy = texts.say("drawing.asking.no_font"), texts.say("drawing.asking.add_font")
        raise InputError.of(text, remedy, file=str(path))
