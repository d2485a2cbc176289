"""The command that judges a substitution on the roof: swap."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from selector import __version__
from selector.errors import InputError, near
from selector.explanation.as_json import EXIT, exit_code
from selector.explanation.dumped import dumped
from selector.explanation.swap.as_json import SCHEMA, swap_data
from selector.explanation.swap.page import page, van_page
from selector.explanation.swap.record import record
from selector.explanation.swap.telling import SwapTelling
from selector.explanation.swap.van import VanTelling
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.inference.repair import lay_out
from selector.interfaces.cli.pictures import check_folder
from selector.interfaces.cli.screen import in_language, to_screen
from selector.interfaces.cli.which_stack import plan_of
from selector.jobs.changed import exchanged
from selector.jobs.read import read_job
from selector.jobs.set_text import pairs_of, sets_of
from selector.jobs.van_read import read_van
from selector.jobs.write import write_whole
from selector.kit.leftovers import Leftover, buildable, finish
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.knowledge.yaml_reader import Document
from selector.model.job import Job
from selector.model.truth import Word
from selector.store.swapping import told_of

if TYPE_CHECKING:
    from selector.interfaces.cli.kept_swap import KeptSwap

MOST_LAID_OUT = 3  # stacks of a van that are laid out and counted through


def judge(
    path: Path,
    *,
    stack: str | None,
    sets: Sequence[str],
    out: Sequence[str],
    into: Sequence[str],
    van: Path | None,
    record_to: Path | None,
    by: str | None,
    when: str | None,
    every: bool,
    as_json: bool,
    kb: Path | None,
    lang: str | None,
    keep: bool = False,
    store: Path | None = None,
) -> int:
    """Answer a substitution; exit code by verdict. InputError before any output."""
    kept = _kept(path, kb, lang, store) if keep else None
    base = in_language(load_base(kb), lang) if kept is None else kept.opened.base
    job = read_job(path, base.vocabulary) if kept is None else kept.opened.job
    texts = Texts.of(base)
    stack = _stack(job, texts, stack)
    changes = _changes(base, job, stack, sets, out, into)
    day = _day(texts, when)
    if record_to is not None:
        _check_record(record_to, texts, changes)
    if not changes and (van is None or kept is not None):
        name = "nothing" if kept is None or van is None else "no_keep"
        raise InputError.of(texts.say(f"swap.asking.{name}"), texts.say("swap.asking.set"))
    desk = Desk(base, job)
    told = None
    if changes:
        told = kept.told(stack, changes, day, by or "") if kept else told_of(desk, stack, changes)
    left = None if van is None else _leftovers(desk, stack, van)
    if told is not None and record_to is not None:
        write_whole(record(told, __version__, day, by or ""), record_to, new=True)
    _print(base, job, told, left, every=every, as_json=as_json)
    if told is not None:
        return exit_code(told.swapped.answer)
    assert left is not None
    return EXIT[min((x.option.verdict.word for x in left.found), default=Word.FORBIDDEN)]


def _kept(path: Path, kb: Path | None, lang: str | None, store: Path | None) -> "KeptSwap":
    """A job whose answer goes into the store, which is imported only then."""
    from selector.interfaces.cli.kept_swap import KeptSwap

    return KeptSwap(path, kb, lang, store)


def _stack(job: Job, texts: Texts, named: str | None) -> str:
    """The stack that is named, else that of the request, or the only one."""
    found = named or job.request.stack
    if found is None and len(job.stacks) == 1:
        return next(iter(job.stacks))
    if found not in job.stacks:
        say = texts.say
        text = say("asking.no_stack", stack=found) if found else say("asking.which_stack")
        names = ", ".join(sorted(job.stacks)) or say("asking.none")
        remedy = near(found, job.stacks) if found else ""
        raise InputError.of(text, remedy or say("asking.use_stack", names=names), file=job.file)
    return found


def _changes(
    base: Base,
    job: Job,
    stack: str,
    sets: Sequence[str],
    out: Sequence[str],
    into: Sequence[str],
) -> dict[str, Any]:
    """What is to be set; where nothing is typed, what the request of the job asks for."""
    request, document = job.request, Document(job.file, job.raw, job.lines)
    if not (sets or out or into):
        if request.kind != "swap" or request.stack != stack:
            return {}
        if request.out is not None and request.into is not None:
            return exchanged(document, stack, [(request.out, request.into)])
        return dict(request.changes)
    pairs = pairs_of(base, job.catalogues, out, into)
    parts = exchanged(document, stack, pairs) if pairs else {}
    return {**parts, **sets_of(base, job.catalogues, sets, tuple(parts))}


def _day(texts: Texts, when: str | None) -> str:
    """The day of the record: given, or today."""
    if when is None:
        return date.today().isoformat()
    try:
        return date.fromisoformat(when).isoformat()
    except ValueError:
        raise InputError.of(texts.say("swap.asking.when", when=when), file="--when") from None


def _check_record(path: Path, texts: Texts, changes: dict[str, Any]) -> None:
    """What can be wrong with the record before anything is judged."""
    if not changes:
        raise InputError.of(texts.say("swap.asking.no_record"), file=str(path))
    if path.suffix != ".txt":
        raise InputError.of(texts.say("swap.asking.txt"), file=str(path))
    check_folder(path, texts)
    if path.exists():
        raise InputError.of(texts.say("swap.asking.there"), file=str(path))


def _leftovers(desk: Desk, stack: str, path: Path) -> VanTelling:
    """All stacks that the parts of a van allow, the first few laid out and counted."""
    base, job = desk.base, desk.job
    van, plan = read_van(path, base, job.catalogues), job.stacks[stack]
    options = buildable(desk.choose(plan.array), van)
    found = []
    for option in options[:MOST_LAID_OUT]:
        built = replace(plan_of(option, plan.array), id=option.core.id)
        laid = lay_out(desk, built)
        far = None if laid.placed is None else finish(desk, built, laid.placed, van)
        found.append(Leftover(option, built, far))
    return VanTelling(van, found, len(options) - len(found), base)


def _print(
    base: Base,
    job: Job,
    told: SwapTelling | None,
    left: VanTelling | None,
    *,
    every: bool,
    as_json: bool,
) -> None:
    with to_screen() as console:
        if as_json and told is not None:
            data = swap_data(told, __version__, left)
            print(dumped(data))
        elif as_json and left is not None:
            head = {"schema": SCHEMA, "seamwright": __version__, "base": base.digest}
            data = {**head, "job": job.id, "as_of": job.as_of, "van": left.data()}
            print(dumped(data))
        elif told is not None:
            for line in page(told, __version__, console.width, left, every=every):
                print(line)
        elif left is not None:
            for line in van_page(left, job, __version__, console.width):
                print(line)
