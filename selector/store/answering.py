"""A job answered as the commands answer it: as data and as a page, always the same bytes."""

import io
import json
from dataclasses import dataclass, field
from typing import Any

from rich.console import Console

from selector import __version__
from selector.explanation.as_json import answer_data, exit_code
from selector.explanation.console import SHOWN, show
from selector.explanation.dumped import dumped
from selector.explanation.swap.as_json import swap_data
from selector.explanation.swap.page import page as swap_page
from selector.explanation.swap.record import record
from selector.explanation.swap.telling import SwapTelling
from selector.inference.answer import Answer, Desk
from selector.inference.changes import explained
from selector.inference.judge import Judge
from selector.inference.worked import with_worked
from selector.jobs.changed import exchanged
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import Document, read_string
from selector.model.job import Job
from selector.questions.kits_screen import kits
from selector.questions.provisional import Provisional, provisional_data, provisional_of
from selector.store.entry import Asked, Entry
from selector.store.hashes import canonical, hash_of
from selector.store.program import program
from selector.store.swapping import told_of

COLUMNS = 80  # of a page that is kept


@dataclass(frozen=True)
class Given:
    """An answer with all that is printed beside it."""

    answer: Answer
    base: Base
    job: Job
    provisional: Provisional | None

    @property
    def exit(self) -> int:
        """Exit code by verdict."""
        return exit_code(self.answer)

    def data(self) -> str:
        """The answer as data (answer/1)."""
        left = provisional_data(self.provisional) if self.provisional is not None else None
        data = answer_data(self.answer, self.base, self.job, __version__, left)
        return dumped(data)

    def show(self, console: Console, most: int = SHOWN) -> None:
        """Print the answer."""
        found = self.provisional
        left = kits(self.base, found) if found is not None else ()
        show(self.answer, self.base, self.job, __version__, console, most, left)

    def page(self) -> str:
        """The answer as printed on 80 columns without colour."""
        page = io.StringIO()
        console = Console(
            file=page,
            width=COLUMNS,
            height=25,
            highlight=False,
            color_system=None,
            force_terminal=False,
            force_jupyter=False,
            legacy_windows=False,
            _environ={},
        )
        self.show(console)
        return page.getvalue()


@dataclass(frozen=True)
class GivenSwap(Given):
    """A substitution with its page and, where a day is given, the record to be signed."""

    told: SwapTelling
    when: str = ""
    by: str = ""

    def data(self) -> str:
        """The substitution as data (swap/1)."""
        return dumped(swap_data(self.told, __version__))

    def show(self, console: Console, most: int = SHOWN) -> None:
        """Print the page, and the record below it."""
        lines = swap_page(self.told, __version__, console.width, every=most > SHOWN)
        text = "".join(f"{line}\n" for line in lines)
        if self.when:
            text += f"\n{self.record()}"
        console.out(text, end="", highlight=False)

    def record(self) -> str:
        """The record to be signed."""
        return record(self.told, __version__, self.when, self.by)


def asked_of(job: Job) -> Asked:
    """What a job file asks by itself."""
    request = job.request
    if request.kind == "choose":
        return {"kind": "choose", "array": request.array or ""}
    if request.kind == "judge":
        return {"kind": "judge", "stack": request.stack or ""}
    if request.kind == "act":
        return {"kind": "act", "act": request.act or ""}
    asked = {"kind": "swap", "stack": request.stack, "set": request.changes}
    if request.out is not None:
        asked |= {"out": request.out, "in": request.into}
    return asked


def give(base: Base, job: Job, asked: Asked, judge: Judge | None = None) -> Given:
    """The answer, with everything behind it; InputError where it cannot be asked of this job."""
    desk = Desk(base, job, judge)
    if asked["kind"] == "act":
        return Given(desk.act(asked["act"]), base, job, None)
    if asked["kind"] == "choose":
        array = asked["array"]
        answer = desk.choose(array)
        return Given(answer, base, job, provisional_of(desk, answer, array))
    stack = asked["stack"]
    if asked["kind"] == "swap":
        told = told_of(desk, stack, _sets(desk, asked))
        given = told.swapped.answer, base, told.job, None
        return GivenSwap(*given, told, asked.get("when", ""), asked.get("by", ""))
    return Given(explained(with_worked(desk, stack), stack), base, job, None)


def brief(base: Base, job: Job, asked: Asked, judge: Judge | None = None) -> Answer:
    """The answer with its word and its rules alone: nothing is looked for that would change it."""
    desk = Desk(base, job, judge)
    if asked["kind"] == "act":
        return desk.act(asked["act"])
    if asked["kind"] == "choose":
        return desk.choose(asked["array"])
    if asked["kind"] == "swap":
        return told_of(desk, asked["stack"], _sets(desk, asked)).swapped.answer
    return with_worked(desk, asked["stack"]).stack(asked["stack"])


def _sets(desk: Desk, asked: Asked) -> dict[str, Any]:
    """What is to be set, in the order that it is kept in, so that it always comes the same."""
    job = desk.job
    sets = asked["set"]
    if not sets:
        document = Document(job.file, job.raw, job.lines)
        sets = exchanged(document, asked["stack"], [(asked["out"], asked["in"])])
    found: dict[str, Any] = json.loads(canonical(sets))
    return found


@dataclass(frozen=True)
class Kept:
    """What goes into the store: an entry, and its texts by hash."""

    entry: Entry
    texts: dict[str, bytes] = field(default_factory=dict)


def kept(given: Given, asked: Asked, text: str, *, at: str, by: str, note: str) -> Kept:
    """An entry of an answer that was given to the text of a job, at a time."""
    job = given.job
    data = [t.encode() for t in (text, given.data(), given.page())]
    hashes = [hash_of(d) for d in data]
    version, code = program()
    entry = Entry(
        job=job.id,
        file=job.file,
        asked=asked,
        as_of=job.as_of,
        at=at,
        by=by,
        note=note,
        language=given.base.language,
        word=given.answer.word.text,
        exit=given.exit,
        base=given.base.digest,
        program=version,
        code=code,
        job_text=hashes[0],
        data=hashes[1],
        screen=hashes[2],
        before="",
    )
    return Kept(entry, dict(zip(hashes, data, strict=True)))


def again(entry: Entry, text: str, judge: Judge) -> Given:
    """What was asked then, asked of the same job by the base of a judge, in its language."""
    base = judge.base
    job = job_of(read_string(text, entry.file), base.vocabulary)
    return give(base, job, entry.asked, judge)


def again_in_brief(entry: Entry, text: str, base: Base) -> Answer:
    """The same with its word and its rules alone."""
    return brief(base, job_of(read_string(text, entry.file), base.vocabulary), entry.asked)
