"""The command that lays out an array on its plane: layout."""

from pathlib import Path
from typing import get_args

from selector import __version__
from selector.errors import InputError, near
from selector.explanation.dumped import dumped
from selector.explanation.places.layout_json import layout_data
from selector.explanation.places.layout_page import page
from selector.explanation.places.marks import picture_of
from selector.explanation.places.plan_svg import plan_svg
from selector.explanation.places.telling import PlacesTelling
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.inference.repair import lay_out
from selector.interfaces.cli.pictures import check_picture, write_picture
from selector.interfaces.cli.screen import in_language, to_screen
from selector.interfaces.cli.waiting import waiting
from selector.interfaces.cli.which_stack import stack_of
from selector.jobs.read import read_job
from selector.knowledge.loader import load_base
from selector.layout.model import Pattern

MISDRAWN = ("not here", "left out")  # clamps drawn where no seam lies, or where none may stand


def lay(
    path: Path,
    *,
    stack: str | None,
    array: str | None,
    clamps: str | None,
    picture: Path | None,
    as_json: bool,
    kb: Path | None,
    lang: str | None,
) -> int:
    """Print where everything goes; 2 where the drawing cannot be. InputError before any output."""
    base = in_language(load_base(kb), lang)
    texts = Texts.of(base)
    patterns = get_args(Pattern)
    if clamps is not None and clamps not in patterns:
        text = texts.say("places.asking.no_pattern", pattern=clamps)
        raise InputError.of(text, near(clamps, patterns))
    if picture is not None:
        check_picture(picture, texts)
    desk = Desk(base, read_job(path, base.vocabulary))
    plan = stack_of(desk, texts, stack, array)
    pattern = next((p for p in patterns if p == clamps), None)
    with waiting(texts.say("places.waiting")) as tick:
        laid = lay_out(desk, plan, pattern, tick)
    told = PlacesTelling(laid, base, texts)
    if picture is not None:
        shown = picture_of(told)
        if shown is None:
            raise InputError.of(texts.say("places.asking.nothing"), file=desk.job.file)
        write_picture(plan_svg(shown, texts), picture, texts)
    with to_screen() as console:
        if as_json:
            print(dumped(layout_data(told, __version__)))
        else:
            for line in page(told, __version__, console.width):
                print(line)
    misdrawn = any(flaw.kind in MISDRAWN for _, flaw in laid.flaws)
    return 2 if laid.impossible or misdrawn else 0
