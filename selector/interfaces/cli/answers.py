"""The commands that answer a job: demo, pick, judge."""

import json
from pathlib import Path

from selector import __version__
from selector.errors import InputError
from selector.explanation.as_json import answer_data, exit_code
from selector.explanation.console import SHOWN, show
from selector.explanation.texts import Texts
from selector.inference.answer import Answer, Desk
from selector.inference.changes import explained
from selector.inference.worked import with_worked
from selector.interfaces.cli.screen import in_language, to_screen
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.knowledge.locate import home
from selector.model.job import Job
from selector.questions.kits_screen import kits
from selector.questions.provisional import Provisional, provisional_data, provisional_of

DEMO = "mill-house"


def demo(*, as_json: bool, every: bool, kb: Path | None, lang: str | None) -> None:
    """Answer the shipped example; the exit code is 0, whatever the word."""
    pick(home().examples / DEMO / "job.yaml", as_json=as_json, every=every, kb=kb, lang=lang)


def pick(path: Path, *, as_json: bool, every: bool, kb: Path | None, lang: str | None) -> int:
    """Answer a choose request; exit code by verdict."""
    base, job = _open(path, kb, lang)
    say = Texts.of(base).say
    if job.request.kind != "choose":
        hint = say("asking.ask_judge", path=path)
        if job.request.kind == "swap":
            hint = say("asking.this_version")
        text = say("asking.not_choose", kind=job.request.kind)
        raise InputError.of(text, hint, file=job.file)
    desk = Desk(base, job)
    answer = desk.choose(job.request.array or "")
    found = provisional_of(desk, answer, job.request.array or "")
    most = 10_000 if every else SHOWN
    return _print(answer, base, job, as_json=as_json, most=most, found=found)


def judge(
    path: Path,
    *,
    stack: str | None,
    act: str | None,
    as_json: bool,
    kb: Path | None,
    lang: str | None,
) -> int:
    """Answer a judge or an act request; options win over the file."""
    base, job = _open(path, kb, lang)
    say = Texts.of(base).say
    if stack is None and act is None:
        stack = job.request.stack if job.request.kind == "judge" else None
        act = job.request.act if job.request.kind == "act" else None
    if stack is not None and act is not None:
        raise InputError.of(say("asking.stack_or_act"), say("asking.one_question"))
    desk = Desk(base, job)
    if act is not None:
        answer = desk.act(act)
    else:
        if stack is None or stack not in job.stacks:
            names = ", ".join(sorted(job.stacks)) or say("asking.none")
            text = say("asking.no_stack", stack=stack) if stack else say("asking.which_stack")
            raise InputError.of(text, say("asking.use_stack", names=names), file=job.file)
        desk = with_worked(desk, stack)
        answer = explained(desk, stack)
    return _print(answer, base, job, as_json=as_json, most=SHOWN)


def _open(path: Path, kb: Path | None, lang: str | None) -> tuple[Base, Job]:
    base = in_language(load_base(kb), lang)
    return base, read_job(path, base.vocabulary)


def _print(
    answer: Answer,
    base: Base,
    job: Job,
    *,
    as_json: bool,
    most: int,
    found: Provisional | None = None,
) -> int:
    with to_screen() as console:
        if as_json:
            left = provisional_data(found) if found is not None else None
            data = answer_data(answer, base, job, __version__, left)
            print(json.dumps(data, indent=1, ensure_ascii=False))
        else:
            left_over = kits(base, found) if found is not None else ()
            show(answer, base, job, __version__, console, most, left_over)
    return exit_code(answer)
