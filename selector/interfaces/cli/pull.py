"""The command that works out pull tests made on a roof: pull."""

from pathlib import Path

from selector import __version__
from selector.errors import InputError
from selector.explanation.dumped import dumped
from selector.explanation.pull.as_json import pull_data
from selector.explanation.pull.page import page
from selector.explanation.pull.record import record_draft
from selector.explanation.pull.telling import PullTelling
from selector.explanation.texts import Texts
from selector.facts.links.pull import pulled_of
from selector.interfaces.cli.screen import in_language, to_screen
from selector.jobs.pull_read import read_pulls
from selector.knowledge.loader import load_base


def work_out(path: Path, *, record: bool, as_json: bool, kb: Path | None, lang: str | None) -> None:
    """Print what pull tests show, whatever their word. InputError before any output."""
    base = in_language(load_base(kb), lang)
    texts = Texts.of(base)
    if record and as_json:
        raise InputError.of(texts.say("pull.asking.both"), texts.say("pull.asking.choose"))
    told = PullTelling(pulled_of(base, read_pulls(path, base.vocabulary)), base, texts)
    with to_screen() as console:
        if as_json:
            print(dumped(pull_data(told, __version__)))
            return
        for line in record_draft(told) if record else page(told, __version__, console.width):
            print(line)
