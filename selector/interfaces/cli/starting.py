"""A talk without a job file: a few questions make the job, then it is written in one step."""

import itertools
from datetime import date
from pathlib import Path

from selector.errors import InputError
from selector.explanation.texts import Texts
from selector.interfaces.cli.lines import Lines
from selector.jobs.schema import NAME
from selector.jobs.write import try_folder, write_job
from selector.knowledge.base import Base
from selector.questions import screen
from selector.questions.form import Form
from selector.questions.order import Mode
from selector.questions.spoken import several_in_english
from selector.questions.start import job_data, job_id, new_job
from selector.questions.talk import job_in
from selector.questions.wrong import told
from selector.units import shorten

ENDING = ".yaml"


def start(base: Base, lines: Lines, path: Path | None, mode: Mode, by: str | None) -> Path | None:
    """Ask what a job must say and write it; None where the person leaves before it is whole.

    Nothing is written before that, and no file is ever written over. InputError where the file
    cannot be made.
    """
    say = Texts.of(base).say
    today = date.today().isoformat()
    if by is not None and not NAME.fullmatch(by):
        raise InputError.of(say("talk.new.by", by=by), file="--by")
    path = _name(base, lines, today) if path is None else path
    if path is None:
        return None
    _can_be_written(base, path)
    lines.say([*screen.hanging("", say("talk.new.start", path=path)), ""])
    form = fill(base, lines, new_job(base, mode, today))
    if form is None:
        return None
    data = job_data(base, form.given, job_id(path.name), by, today)
    job_in(base, data)
    write_job(data, path, new=True)
    return path


def fill(base: Base, lines: Lines, form: Form, *, within: bool = False) -> Form | None:
    """The form with every question answered; None where the person stops.

    `within` a talk one step back from the first question leaves the form, too.
    """
    shown = ""
    while (item := form.item) is not None:
        if item.name != shown:
            lines.say(screen.item(base, item))
            shown = item.name
        line = lines.read()
        if line is None or line == "stop" or (within and line == "back" and not form.answers):
            return None
        words = [*(c.partition("\t")[0] for c in item.choices), item.usual]
        line = several_in_english(Texts.of(base), words, line)
        try:
            if line == "help":
                lines.say(screen.help_lines(base, screen.FORM_HELP))
            elif line in ("?", "!"):
                needed = "talk.new.needed" if item.new else "talk.paper.needed"
                lines.say(screen.hanging("  ", Texts.of(base).say(needed)))
            elif line == "back":
                form, shown = form.back(), ""
            else:
                form = form.answered(line)
        except ValueError as error:
            lines.say(screen.hanging("  ", told(Texts.of(base), error)))
    return form


def meant(path: Path) -> Path:
    """The file that a name means: itself, or with `.yaml` where it has no ending."""
    if path.suffix or not path.name or is_there(path):
        return path
    return path.with_name(path.name + ENDING)


def is_there(path: Path) -> bool:
    """Whether a path is there; InputError for a name that no file can have."""
    try:
        return path.exists()
    except OSError as error:
        raise InputError.of(
            f"no file can have this name ({error.strerror})", file=shorten(path)
        ) from None


def _name(base: Base, lines: Lines, today: str) -> Path | None:
    """Name of a new file; one that this folder does not have is proposed."""
    say = Texts.of(base).say
    names = (f"roof-{today}{'' if n == 1 else f'-{n}'}{ENDING}" for n in itertools.count(1))
    usual = next(name for name in names if not Path(name).exists())
    lines.say([say("talk.new.name"), "  " + say("talk.new.usual", usual=usual)])
    while (line := lines.read()) not in (None, "stop"):
        path = meant(Path(line or usual))
        try:
            if is_there(path):
                raise InputError.of(say("talk.new.is_there", path=path))
            _can_be_written(base, path)
        except InputError as error:
            lines.say(screen.hanging("  ", str(error)))
            continue
        return path
    return None


def _can_be_written(base: Base, path: Path) -> None:
    """InputError where a file of this name cannot be made, before anything is asked."""
    say, folder = Texts.of(base).say, path.parent
    if not path.name:
        raise InputError.of(say("talk.new.no_name"), file=str(path))
    if not folder.is_dir():
        raise InputError.of(say("talk.new.no_folder", folder=folder), file=str(path))
    try_folder(path)
