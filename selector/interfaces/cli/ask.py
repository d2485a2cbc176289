"""The conversation on a terminal or through a pipe: one question at a time, saved after each."""

from collections.abc import Callable, Iterable
from pathlib import Path

from selector import __version__
from selector.errors import InputError
from selector.explanation.as_json import EXIT, exit_code
from selector.explanation.console import SHOWN, show
from selector.explanation.texts import Texts
from selector.facts.papers import OF_THE_ROOF
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.interfaces.cli.keeping import keep as keep_given
from selector.interfaces.cli.keeping import open_job, tried
from selector.interfaces.cli.lines import Lines
from selector.interfaces.cli.screen import in_language, to_screen
from selector.interfaces.cli.starting import fill, is_there, meant, start
from selector.jobs.read import STATED, read_job
from selector.jobs.write import write_job
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.knowledge.yaml_reader import read_file
from selector.model.rule import Quantity
from selector.model.truth import Word
from selector.questions import screen
from selector.questions.entries import Said, entry_of, path_named
from selector.questions.figures import figure_named, with_figure
from selector.questions.kits_screen import kits
from selector.questions.order import Mode
from selector.questions.papers import paper_form, with_paper
from selector.questions.provisional import Provisional, hints_of, left_over
from selector.questions.spoken import (
    answer_in_english,
    several_in_english,
    unsaid,
    way_in_english,
)
from selector.questions.talk import State, Talk, brisk, job_in, on_paper_alone, state_of
from selector.questions.typed import is_doubtful
from selector.questions.wrong import WrongError, told
from selector.store.answering import asked_of, give

WAY = "::"  # between an answer and how it was come by
OWNERS_PAPER = "site.papers.owner"
LONGEST_WAY = 200  # characters; more is a slip of the clipboard
LEFT = 2  # exit code where a person left before there was a job to answer
COMMANDS = (
    *("help", "why", "alive", "said", "kits", "photos", "back", "skip", "stop"),
    *("paper", "phone", "roof"),
)


def ask(
    path: Path | None,
    *,
    mode: Mode,
    by: str | None,
    kb: Path | None,
    lang: str | None,
    keep: bool = False,
    store: Path | None = None,
) -> int:
    """Talk about the array of a job until nothing can change the answer; exit code by its word.

    Without a file, or with one that is not there, the talk starts with what makes a job. What the
    job says at the end can be kept in the store, whoever left early.
    """
    if not keep:
        return _ask(path, mode=mode, by=by, kb=kb, lang=lang)[0]
    with tried(store) as place:
        code, path = _ask(path, mode=mode, by=by, kb=kb, lang=lang)
        if path is not None:
            found = open_job(path, kb, lang)
            asked = asked_of(found.job)
            keep_given(give(found.base, found.job, asked), asked, found, place, by=by or "")
    return code


def _ask(
    path: Path | None, *, mode: Mode, by: str | None, kb: Path | None, lang: str | None
) -> tuple[int, Path | None]:
    """Exit code, and the job file if there is one by now."""
    base = in_language(load_base(kb), lang)
    say = Texts.of(base).say
    with to_screen() as console:
        lines = Lines(commands(base))
        path = meant(path) if path is not None else None
        if path is None or not is_there(path):
            try:
                path = start(base, lines, path, mode, by)
            except KeyboardInterrupt:
                path = None
            if path is None:
                lines.say(["", say("talk.new.nothing")])
                return LEFT, None
        talk = _talk(base, path, mode, by)
        talking = _Screen(base, brisk(base), path, talk, lines)
        state = talking.run()
        found = talking.left_over(state)
        early = state.left.answer is None or talking.left_early
        if early and state.left.candidates:
            lines.say([*kits(base, found), "", *screen.too_early(base, state.desk.job, path)])
            lines.say(["", say("talk.saved", path=path)])
            return EXIT[Word.OBSERVE], path
        job = read_job(path, base.vocabulary)
        answer = Desk(base, job, Judge(base)).choose(job.request.array or "")
        left = kits(base, found) if answer.word == Word.OBSERVE else ()
        show(answer, base, job, __version__, console, SHOWN, left)
    return exit_code(answer), path


def commands(base: Base) -> dict[str, str]:
    """What may be typed for a command in the language of the screen, in small letters."""
    pairs = (pair.partition("=") for pair in Texts.of(base).say("talk.same").split())
    return {command: command for command in COMMANDS} | {own: name for own, _, name in pairs}


def _talk(base: Base, path: Path, mode: Mode, by: str | None) -> Talk:
    """The talk that a job file goes on with."""
    say, job = Texts.of(base).say, read_job(path, base.vocabulary)
    if job.request.kind != "choose" or job.request.array is None:
        raise InputError.of(say("talk.no_array"), say("talk.needs_choose"), file=job.file)
    person = by or next(iter(job.people), None)
    if person not in job.people:
        names = ", ".join(sorted(job.people)) or say("talk.nothing")
        hint = say("talk.by_one_of", names=names)
        raise InputError.of(say("talk.nobody", by=by), hint, file=job.file)
    data = dict(read_file(path, str(path)).data)
    return Talk(data, job.request.array, person, mode)


class _Screen:
    """Reads lines, prints lines; the talk itself is elsewhere."""

    def __init__(self, base: Base, judge: Judge, path: Path, talk: Talk, lines: Lines):
        self.base = base
        self.judge = judge
        self.path = path
        self.talk = talk
        self.lines = lines
        self.say = lines.say
        self.before: Desk | None = None
        self.doubted: tuple[Talk, str, str] | None = None  # the last hint: talk, path, text
        self.shown = ""  # path of the question that stands on the screen
        self.left_early = False

    def run(self) -> State:
        """Until nothing is to be asked, or the person stops; where the talk stands then."""
        self.say([self.text("talk.start")])
        state = None
        try:
            while True:
                state = None
                state = self.now()
                if not self.step(state):
                    return state
        except KeyboardInterrupt:
            self.left_early = True
            self.say([""])
            return state or self.now()

    def now(self) -> State:
        """Where the talk stands."""
        state = state_of(self.talk, self.base, self.judge, self.before)
        self.before = state.desk
        return state

    def step(self, state: State) -> bool:
        """Ask one question; False at the end of the talk."""
        over = state.left.answer is not None and state.left.answer.word.is_yes
        if over and not state.contradicted:
            self.say(["", screen.ending(self.base, state.left), ""])
            return False
        return self.turn(state)

    def turn(self, state: State) -> bool:
        """One question until it is answered; False where the person stops."""
        self.say(["", f"-- {screen.status(self.base, state)}"])
        self.say(self.asked(state))
        over = not state.contradicted and not state.ask
        while True:
            line = self.lines.read()
            if line is None or line == "stop" or (over and line == ""):
                self.left_early = line == "stop" and not over
                ended = [] if self.left_early else [self.text("talk.saved", path=self.path), ""]
                self.say(["", *ended])
                return False
            try:
                if self.obey(line, state):
                    return True
            except ValueError as error:
                self.say(screen.hanging("  ", told(Texts.of(self.base), error)))
            except InputError as error:
                for problem in error.problems:
                    text = "; ".join(filter(None, (problem.text, problem.remedy)))
                    self.say(screen.hanging("  ", text))

    def asked(self, state: State) -> Iterable[str]:
        """What is on the screen now; a caution is said where its question comes up."""
        before, self.shown = self.shown, ""
        if state.contradicted:
            return screen.contradiction(self.base, state.contradicted[0])
        if not state.ask:
            return self.end(state)
        self.shown = state.ask[0].path
        same = self.shown == before
        return screen.question(self.base, state.ask[0], self.talk, cautioned=same)

    def anew(self, state: State) -> Iterable[str]:
        """All that is on the screen now, the caution as well."""
        self.shown = ""
        return self.asked(state)

    def end(self, state: State) -> Iterable[str]:
        """Why nothing is asked any more, what is open, and what may be typed."""
        yield from screen.at_odds(self.base, state.left)
        yield from screen.hanging("", screen.ending(self.base, state.left))
        yield from screen.nearest(self.base, state.left)
        yield from screen.still_open(self.base, state.left, self.talk)
        hints = tuple(hints_of(state.desk, self.talk.job, self.talk.array))
        if hints:
            said = screen.hinted(self.base, hints)
            yield from screen.hanging("  ", self.text("talk.end.hints", hints=said))
        yield from screen.hanging("  ", self.text("talk.end.more"))

    def why(self, state: State) -> Iterable[str]:
        """Why that is asked which is on the screen."""
        if state.contradicted or not state.ask:
            return self.asked(state)
        return screen.why(self.base, state.ask[0], state)

    def obey(self, line: str, state: State) -> bool:
        """Do what a line says; True where the talk went on."""
        shown: dict[str, Callable[[], Iterable[str]]] = {
            "help": lambda: screen.help_lines(self.base),
            "alive": lambda: screen.alive(self.base, state),
            "said": lambda: screen.said(self.base, self.talk),
            "kits": lambda: kits(self.base, self.left_over(state)) or [self.text("talk.kits.none")],
            "photos": lambda: screen.photos(self.base, state),
            "why": lambda: self.why(state),
            "": lambda: self.anew(state),
        }
        if line in shown:
            self.say(shown[line]())
            return False
        talk = self.after(line, state)
        if talk is None:
            self.say(["", *self.asked(state)])
            return False
        if talk.job is not self.talk.job:
            job_in(self.base, talk.job)  # what the reader refuses is said here, and not kept
        write_job(talk.job, self.path)
        self.talk = talk
        return True

    def after(self, line: str, state: State) -> Talk | None:
        """The talk after an answer or a step; None where a paper was left half asked."""
        if line == "back":
            if not self.talk.past:
                raise WrongError("typed.no_back")
            return self.talk.undone()
        if line in ("phone", "roof"):
            self.say(["", Texts.of(self.base).say(f"talk.place.{line}")])
            return self.talk.moved("phone" if line == "phone" else "roof")
        if line == "paper":
            return self.paper(state)
        if state.contradicted:
            return self.settle(line, state)
        if line.startswith(WAY):
            return self.with_way(line)
        path = state.ask[0].path if state.ask else ""
        if line == "skip" and path:
            return self.talk.skip(path)
        key, colon, rest = line.partition(":")
        if colon and (figure := figure_named(self.talk.job, self.talk.array, key)):
            job = with_figure(self.talk.job, self.talk.array, figure, rest.strip())
            self.say(screen.hanging("  ", self.text("talk.noted", key=figure.key)))
            return self.talk.put(job, "papers")
        named = path_named(self.base, key) if colon and not rest.startswith(":") else None
        if named is not None:
            talk = self.answered(self.talk, named, rest.strip())
            self.say(screen.hanging("  ", self.text("talk.noted", key=named.partition(".")[2])))
            return talk
        if not path:
            raise self.no_key(key.strip()) if colon else ValueError(self.text("talk.end.more"))
        return self.answered(self.talk, path, line)

    def no_key(self, key: str) -> WrongError:
        """Why a key cannot be answered."""
        name = key.lower().removeprefix("stated.").replace("_", " ")
        stated = name.replace(" ", "_") in STATED
        return WrongError("typed.of_paper" if stated else "typed.no_key", key=name)

    def with_way(self, way: str) -> Talk:
        """The talk with how the answer right before was come by."""
        if self.doubted is None or self.doubted[0] is not self.talk:
            raise WrongError("typed.no_hint")
        _, path, text = self.doubted
        talk = self.answered(self.talk.undone(), path, f"{text} {way}")
        self.say(screen.hanging("  ", self.text("talk.noted", key=path.partition(".")[2])))
        return talk

    def answered(self, talk: Talk, path: str, line: str) -> Talk:
        """The talk with an answer to a path."""
        quantity, texts = self.base.vocabulary.quantities.get(path), Texts.of(self.base)
        if quantity is None and unsaid(texts, line):
            return talk.skip(path)
        text, _, way = (part.strip() for part in line.partition(WAY))
        if len(way) > LONGEST_WAY:
            raise ValueError(self.text("talk.long_way", most=LONGEST_WAY))
        if quantity is not None:
            return self.measured(talk, quantity, text, way)
        entry = entry_of(self.base, path)
        if entry is None:
            raise ValueError(self.text("talk.no_single", key=path))
        text = several_in_english(texts, entry.choices, text)
        line_said = Said(text, way or None, self.base, talk.job, talk.array, talk.by, talk.mode)
        return talk.put(entry.put(line_said), path)

    def measured(self, talk: Talk, quantity: Quantity, text: str, way: str) -> Talk:
        """The talk with an answer to a quantity; what nobody looked at is told."""
        texts = Texts.of(self.base)
        said = answer_in_english(texts, quantity, text)
        way = way_in_english(texts, quantity, way)
        after = talk.answer(quantity, said, way or None)
        if way and way not in self.talk.job.get("papers", {}) and not quantity.settled_by(way):
            how = self.base.vocabulary.ask(str(quantity.path)).how
            self.say(screen.hanging("  ", self.text("talk.settles_nothing", way=way, how=how)))
        if after.merely_said(quantity) and not is_doubtful(said):
            self.say(screen.hanging("  ", self.hinted(quantity)))
            self.doubted = (after, str(quantity.path), text)
        return after

    def hinted(self, quantity: Quantity) -> str:
        """That an answer is kept as a hint, and what would make it count."""
        if not on_paper_alone(quantity):
            return self.text("talk.as_hint", way=screen.way_to_look(self.base, quantity))
        names = sorted(self.talk.job.get("papers", {}))
        if not names:
            return self.text("talk.no_papers")
        return self.text("talk.no_paper", one=names[0], names=", ".join(names))

    def left_over(self, state: State) -> Provisional:
        """What may be said of all kits that are left, hints counted."""
        hints = tuple(hints_of(state.desk, self.talk.job, self.talk.array))
        return left_over(state.desk, state.left, self.talk.array, hints)

    def paper(self, state: State) -> Talk | None:
        """The talk with a paper that the person has in hand."""
        asked = state.ask[0].path if state.ask else ""
        kind = OF_THE_ROOF if asked == OWNERS_PAPER else ""
        asked_for = paper_form(self.base, self.talk.job, self.talk.array, kind)
        form = fill(self.base, self.lines, asked_for, within=True)
        if form is None:
            return None
        return self.talk.put(with_paper(self.talk.job, self.talk.array, form.given), "papers")

    def settle(self, line: str, state: State) -> Talk:
        """Take back one of two sightings that exclude each other."""
        found = state.contradicted[0]
        if not line.isdecimal() or not 1 <= int(line[:9]) <= len(found.sightings):
            raise ValueError(self.text("talk.settle", n=len(found.sightings)))
        quantity = self.base.vocabulary.quantities[found.path]
        return self.talk.take_back(quantity, int(line) - 1)

    def text(self, name: str, **holes: object) -> str:
        """A sentence of the talk."""
        return Texts.of(self.base).say(name, **holes)
