"""The command that judges many jobs again: recheck."""

import json
import sys
from contextlib import ExitStack
from pathlib import Path

from selector import __version__
from selector.errors import INTERNAL, InputError
from selector.explanation.dumped import dumped
from selector.explanation.texts import Texts
from selector.interfaces.cli.screen import in_language, to_screen
from selector.interfaces.cli.waiting import counting
from selector.knowledge.loader import load_base
from selector.store.outfile import rows_file
from selector.store.place import usual_store
from selector.store.program import program
from selector.store.recheck import recheck
from selector.store.recheck_page import LISTED, Told, recheck_data, recheck_page
from selector.store.store import opened
from selector.store.tasks import pick_last_of_each, tasks_of_files, tasks_of_store
from selector.store.workers import Setup, WorkerError, cores

STOPPED = 2


def run(
    paths: list[Path],
    *,
    kept: bool,
    store: Path | None,
    against: Path | None,
    out: Path | None,
    workers: int | None,
    every: bool,
    as_json: bool,
    kb: Path | None,
    lang: str | None,
) -> int:
    """Judge job files or kept jobs by a base; exit code of the worst."""
    base = load_base(kb)
    texts = Texts.of(in_language(base, lang))
    _check(texts, paths, kept, against, workers)
    before = load_base(against) if against is not None else None
    bases = (base,) if before is None else (base, before)
    setup = Setup((kb,) if before is None else (kb, against), tuple(b.digest for b in bases), bases)
    against_what = "store" if kept else before.digest if before is not None else ""
    head = {"base": base.digest, "against": against_what, "code": program()[1]}
    with ExitStack() as stack:
        data_of = None
        if kept:
            open_store = stack.enter_context(opened(store or usual_store()))
            total = pick_last_of_each(open_store)
            tasks = tasks_of_store(open_store)

            def data_of(hashed: str) -> dict[str, object]:
                found: dict[str, object] = json.loads(open_store.text(hashed))
                return found
        else:
            tasks, total = tasks_of_files(paths), sum(1 for _ in tasks_of_files(paths))
        rows = stack.enter_context(rows_file(out, head))
        went_on = rows.begun()
        try:
            with counting(texts.say("store.recheck.label"), total) as tick:
                report = recheck(rows, tasks, setup, workers or cores(), data_of, went_on, tick)
        except KeyboardInterrupt:
            name = "store.recheck.stopped" if out is not None else "store.recheck.stopped_no_file"
            print(texts.say(name, path=out), file=sys.stderr)
            return STOPPED
        except WorkerError as error:
            print(texts.say("store.recheck.lost", fault=error), file=sys.stderr)
            return INTERNAL
        most = report.changed + len(report.listed) if every else LISTED
        told = Told(report, base.digest, against_what, went_on, str(out or ""), most)
        with to_screen() as console:
            if as_json:
                print(dumped(recheck_data(told, __version__)))
            else:
                for line in recheck_page(told, texts, console.width):
                    print(line)
    return report.exit


def _check(
    texts: Texts, paths: list[Path], kept: bool, against: Path | None, workers: int | None
) -> None:
    """What can be wrong with the options alone."""
    if kept == bool(paths):
        raise InputError.of(texts.say("store.asking.both" if kept else "store.asking.no_jobs"))
    if kept and against is not None:
        raise InputError.of(texts.say("store.asking.against_kept"))
    if workers is not None and workers < 1:
        raise InputError.of(texts.say("store.asking.workers"))
