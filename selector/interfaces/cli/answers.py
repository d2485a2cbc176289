"""The commands that answer a job: demo, pick, judge."""

from collections.abc import Callable
from pathlib import Path

from selector.errors import InputError
from selector.explanation.console import SHOWN
from selector.explanation.texts import Texts
from selector.interfaces.cli.keeping import keep as keep_given
from selector.interfaces.cli.keeping import open_job, tried
from selector.interfaces.cli.screen import in_language, to_screen
from selector.jobs.read import read_job
from selector.knowledge.loader import load_base
from selector.knowledge.locate import home
from selector.model.job import Job
from selector.store.answering import Given, give
from selector.store.entry import Asked

DEMO = "mill-house"
EVERY = 10_000


def demo(*, as_json: bool, every: bool, kb: Path | None, lang: str | None) -> None:
    """Answer the shipped example; the exit code is 0, whatever the word."""
    pick(home().examples / DEMO / "job.yaml", as_json=as_json, every=every, kb=kb, lang=lang)


def pick(
    path: Path,
    *,
    as_json: bool,
    every: bool,
    kb: Path | None,
    lang: str | None,
    keep: bool = False,
    store: Path | None = None,
) -> int:
    """Answer a choose request; exit code by verdict."""

    def asked(job: Job, texts: Texts) -> Asked:
        say = texts.say
        if job.request.kind == "choose":
            return {"kind": "choose", "array": job.request.array or ""}
        hint = say("asking.ask_judge", path=path)
        if job.request.kind == "swap":
            hint = say("asking.ask_swap", path=path)
        text = say("asking.not_choose", kind=job.request.kind)
        raise InputError.of(text, hint, file=job.file)

    given = _given(path, asked, kb, lang, keep=keep, store=store)
    return _print(given, as_json=as_json, most=EVERY if every else SHOWN)


def judge(
    path: Path,
    *,
    stack: str | None,
    act: str | None,
    as_json: bool,
    kb: Path | None,
    lang: str | None,
    keep: bool = False,
    store: Path | None = None,
) -> int:
    """Answer a judge or an act request; options win over the file."""

    def asked(job: Job, texts: Texts) -> Asked:
        return asked_for(job, texts, stack, act)

    given = _given(path, asked, kb, lang, keep=keep, store=store)
    return _print(given, as_json=as_json, most=SHOWN)


def asked_for(job: Job, texts: Texts, stack: str | None, act: str | None) -> Asked:
    """A stack or an act that is named, or the one of the job; InputError where there is none."""
    say = texts.say
    if stack is None and act is None:
        stack = job.request.stack if job.request.kind == "judge" else None
        act = job.request.act if job.request.kind == "act" else None
    if stack is not None and act is not None:
        raise InputError.of(say("asking.stack_or_act"), say("asking.one_question"))
    if act is not None:
        return {"kind": "act", "act": act}
    if stack is None or stack not in job.stacks:
        names = ", ".join(sorted(job.stacks)) or say("asking.none")
        text = say("asking.no_stack", stack=stack) if stack else say("asking.which_stack")
        raise InputError.of(text, say("asking.use_stack", names=names), file=job.file)
    return {"kind": "judge", "stack": stack}


def _given(
    path: Path,
    asked: Callable[[Job, Texts], Asked],
    kb: Path | None,
    lang: str | None,
    *,
    keep: bool,
    store: Path | None,
) -> Given:
    """The answer; one that is to be kept is in the store before anybody sees it."""
    if not keep:
        base = in_language(load_base(kb), lang)
        job = read_job(path, base.vocabulary)
        return give(base, job, asked(job, Texts.of(base)))
    with tried(store) as place:
        found = open_job(path, kb, lang)
        question = asked(found.job, Texts.of(found.base))
        given = give(found.base, found.job, question)
        keep_given(given, question, found, place)
    return given


def _print(given: Given, *, as_json: bool, most: int) -> int:
    with to_screen() as console:
        if as_json:
            print(given.data())
        else:
            given.show(console, most)
    return given.exit
