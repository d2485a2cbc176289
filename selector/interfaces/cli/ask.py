"""The conversation on a terminal or through a pipe: one question at a time, saved after each."""

import sys
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path

from selector import __version__
from selector.errors import InputError
from selector.explanation.as_json import exit_code
from selector.explanation.console import SHOWN, show
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.interfaces.cli.screen import in_language, to_screen
from selector.jobs.read import read_job
from selector.jobs.write import write_job
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.knowledge.yaml_reader import read_file
from selector.questions import screen
from selector.questions.order import Mode
from selector.questions.talk import State, Talk, brisk, job_in, state_of

WAY = "::"  # between an answer and how it was come by


def ask(path: Path, *, mode: Mode, by: str | None, kb: Path | None, lang: str | None) -> int:
    """Talk about the array of a job until nothing can change the answer; exit code by its word."""
    base = in_language(load_base(kb), lang)
    say = Texts.of(base).say
    job = read_job(path, base.vocabulary)
    if job.request.kind != "choose" or job.request.array is None:
        raise InputError.of(say("talk.no_array"), say("talk.needs_choose"), file=job.file)
    person = by or next(iter(job.people), None)
    if person not in job.people:
        names = ", ".join(sorted(job.people)) or say("talk.nothing")
        hint = say("talk.by_one_of", names=names)
        raise InputError.of(say("talk.nobody", by=by), hint, file=job.file)
    data = dict(read_file(path, str(path)).data)
    talk = Talk(data, job.request.array, person, mode)
    with suppress(ImportError):
        import readline  # noqa: F401  arrow keys and a memory of lines, where there is one
    _Screen(base, brisk(base), path, talk).run()
    return _close(base, Judge(base), path)


def _close(base: Base, judge: Judge, path: Path) -> int:
    """The answer as `pick` gives it, hints counted as unknown."""
    job = read_job(path, base.vocabulary)
    answer = Desk(base, job, judge).choose(job.request.array or "")
    with to_screen() as console:
        show(answer, base, job, __version__, console, SHOWN)
    return exit_code(answer)


class _Screen:
    """Reads lines, prints lines; the talk itself is elsewhere."""

    def __init__(self, base: Base, judge: Judge, path: Path, talk: Talk):
        self.base = base
        self.judge = judge
        self.path = path
        self.talk = talk
        self.before: Desk | None = None

    def run(self) -> None:
        """Until nothing is to be asked, or the person stops."""
        self.say([self.text("talk.start")])
        try:
            while self.step():
                pass
        except KeyboardInterrupt:
            self.say(["", self.text("talk.saved", path=self.path), ""])

    def step(self) -> bool:
        """Work out where the talk stands and ask one question; False at its end."""
        state = state_of(self.talk, self.base, self.judge, self.before)
        self.before = state.desk
        if state.contradicted or state.ask:
            return self.turn(state)
        self.say(["", screen.ending(self.base, state.left), ""])
        return False

    def turn(self, state: State) -> bool:
        """One question until it is answered; False where the person stops."""
        self.say(["", f"-- {screen.status(self.base, state)}"])
        self.say(self.asked(state))
        while True:
            line = self.read()
            if line is None or line == "stop":
                self.say(["", self.text("talk.saved", path=self.path), ""])
                return False
            try:
                if self.obey(line, state):
                    return True
            except (ValueError, InputError) as error:
                self.say(screen.hanging("  ", str(error)))

    def asked(self, state: State) -> Iterable[str]:
        """What is on the screen now."""
        if state.contradicted:
            return screen.contradiction(self.base, state.contradicted[0])
        return screen.question(self.base, state.ask[0], self.talk)

    def obey(self, line: str, state: State) -> bool:
        """Do what a line says; True where the talk went on."""
        told: dict[str, Callable[[], Iterable[str]]] = {
            "help": lambda: screen.help_lines(self.base),
            "alive": lambda: screen.alive(self.base, state),
            "said": lambda: screen.said(self.base, self.talk),
            "photos": lambda: screen.photos(self.base, state),
            "why": lambda: screen.why(self.base, state.ask[0], state) if state.ask else (),
            "": lambda: self.asked(state),
        }
        if line in told:
            self.say(told[line]())
            return False
        self.talk = self.after(line, state)
        write_job(self.talk.job, self.path)
        return True

    def after(self, line: str, state: State) -> Talk:
        """The talk after an answer or a step."""
        if line == "back":
            return self.talk.undone()
        if line in ("phone", "roof"):
            return self.talk.moved("phone" if line == "phone" else "roof")
        if state.contradicted:
            return self.settle(line, state)
        path = state.ask[0].path
        quantity = self.base.vocabulary.quantities.get(path)
        if line == "skip" or (quantity is None and line in ("?", "!")):
            return self.talk.skip(path)
        if quantity is None:
            raise ValueError(self.text("talk.no_single"))
        text, _, way = line.partition(WAY)
        said = "can't reach" if line == "!" else text.strip()
        talk = self.talk.answer(quantity, said, way.strip() or None)
        job_in(self.base, talk.job)  # what the reader refuses is said here, and not kept
        return talk

    def settle(self, line: str, state: State) -> Talk:
        """Take back one of two sightings that exclude each other."""
        found = state.contradicted[0]
        if not line.isdigit() or not 1 <= int(line) <= len(found.sightings):
            raise ValueError(self.text("talk.settle", n=len(found.sightings)))
        quantity = self.base.vocabulary.quantities[found.path]
        return self.talk.take_back(quantity, int(line) - 1)

    def text(self, name: str, **holes: object) -> str:
        """A sentence of the talk."""
        return Texts.of(self.base).say(name, **holes)

    def say(self, lines: Iterable[str]) -> None:
        """Print lines."""
        for line in lines:
            print(line)

    def read(self) -> str | None:
        """One line, or None at the end of the input."""
        try:
            line = input("> ")
        except EOFError:
            print()
            return None
        if not sys.stdin.isatty():
            print(line)
        return " ".join(line.split())
