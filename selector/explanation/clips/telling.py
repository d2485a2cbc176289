"""How heights, windows, seams and what is in the way are said."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from selector.explanation.texts import Texts
from selector.facts.actions.model import Open
from selector.facts.places.clip_answer import ClipAnswer
from selector.knowledge.base import Base
from selector.layout.clip_windows import FAR, Window
from selector.layout.least_change import Change, Limit, Line, Miss, limits
from selector.model.truth import Word

MM = 1_000
NAMED = 8  # seams that are named one by one


@dataclass(frozen=True)
class ClipTelling:
    """The answer about one array, and in which words."""

    answer: ClipAnswer
    base: Base
    texts: Texts

    def say(self, name: str, /, **holes: object) -> str:
        """Text of an id with its holes filled."""
        return self.texts.say(name, **holes)

    @property
    def kind(self) -> str:
        """Which sentence says the word: a block that has to be moved first is its own kind."""
        answer = self.answer
        if answer.case.ground != "weak" and answer.word.is_yes:
            return answer.case.ground
        if answer.word == Word.CONDITIONAL and answer.change is not None:
            return "moved"
        if answer.early:
            return "early"
        only_anew = answer.word == Word.OBSERVE and answer.change is not None
        return (
            "anew"
            if only_anew and not answer.case.opens and not answer.unclear
            else answer.word.text
        )

    # --- figures -------------------------------------------------------------------------

    def mm(self, value: int) -> str:
        """A length in mm without its unit; decimals only where there are some."""
        number = (Decimal(value) / MM).normalize()
        return self.texts.shown(f"{number:f}")

    def span(self, window: Window) -> str:
        """A range in whole mm, never wider than it is."""
        low, high = whole(window)
        return self.say("clips.span", low=self.mm(low), high=self.mm(high))

    def play(self, line: Line) -> str:
        """How far the line may be set lower, and higher."""
        window = line.window
        if window is None or line.height is None:
            return ""
        low, high = whole(window)
        down, up = self.mm(line.height - low), self.mm(high - line.height)
        return self.say("clips.play", down=down, up=up)

    def kilonewton(self, value: int) -> str:
        """A force in kN without its unit."""
        number = round(Decimal(value) / 1_000_000, 3).normalize()
        return self.texts.shown(f"{number:f}")

    def seams(self, names: Sequence[str]) -> str:
        """Seams by their names; many of them by the first and the last."""
        if len(names) <= NAMED:
            return ", ".join(names)
        return self.say("clips.many_seams", n=len(names), first=names[0], last=names[-1])

    def edges(self) -> str:
        """Lower edges of the modules of all rows, where the lines to mark are for."""
        task, change = self.answer.case.task, self.answer.change
        if task is None:
            return ""
        block = task.block if change is None else task.block.shifted(change.by)
        rows = enumerate(block.rows, 1)
        return ", ".join(self.say("clips.mark.edge", row=n, at=self.mm(y)) for n, y in rows)

    # --- lines ---------------------------------------------------------------------------

    def name(self, line: Line) -> str:
        """Row and number of a rail line."""
        return self.say("clips.line", row=line.row, line=line.line)

    def heights(self, lines: Sequence[Line]) -> str:
        """Where all lines are marked."""
        return ", ".join(self.mm(line.height) for line in lines if line.height is not None)

    def limit(self, limit: Limit) -> str:
        """What ends a window."""
        if limit.mark is None:
            return self.say("clips.limit.zone")
        return self.say("clips.limit.mark", seam=limit.seam, mark=self.mm(limit.mark))

    def limits(self, lines: Sequence[Line], line: Line) -> tuple[Limit, Limit]:
        """What ends the window of a line, below and above."""
        task = self.answer.case.task
        return (Limit(), Limit()) if task is None else limits(task, lines, line)

    def miss(self, miss: Miss) -> str:
        """What is in the way."""
        if miss.cause == "clip" and miss.height is not None and miss.mark is not None:
            return self.say(
                "clips.miss.clip",
                height=self.mm(miss.height),
                short=self.mm(miss.short),
                seam=miss.seam,
                mark=self.mm(miss.mark),
            )
        if miss.cause == "share" and miss.mark is not None:
            short = self.kilonewton(miss.short)
            holes = {"short": short, "seam": miss.seam, "mark": self.mm(miss.mark)}
            return self.say("clips.miss.share", **holes)
        if miss.cause == "zone":
            return self.say("clips.miss.zone")
        cause = miss.cause.replace(" ", "_")
        if miss.seam:
            return self.say(f"clips.miss.{cause}.seam", seam=miss.seam)
        return self.say(f"clips.miss.{cause}.any")

    def drawn(self, miss: Miss | None) -> str:
        """How a drawn rail line stands to the clips."""
        if miss is None:
            return self.say("clips.drawn.fits")
        if miss.cause == "clip" and miss.mark is not None:
            short, mark = self.mm(miss.short), self.mm(miss.mark)
            return self.say("clips.drawn.clip", short=short, seam=miss.seam, mark=mark)
        return self.say("clips.drawn.zone") if miss.cause == "zone" else self.miss(miss)

    # --- changes -------------------------------------------------------------------------

    def by(self, shift: int) -> str:
        """A shift with its direction."""
        way = "stays" if shift == 0 else "up" if shift > 0 else "down"
        return self.say(f"clips.by.{way}", by=self.mm(abs(shift)))

    def change(self, change: Change) -> str:
        """What is to be done, and where the lines lie then."""
        say, seams = self.say, self.seams(change.seams)
        shift = self.by(change.by[0]) if change.by else ""
        if change.kind == "rows":
            rows = (say("clips.by.row", row=n, by=self.by(x)) for n, x in enumerate(change.by, 1))
            done = say("clips.change.rows", rows=", ".join(rows))
        elif change.kind == "shift":
            done = say("clips.change.shift", by=shift, all=self._all_of(change))
        elif change.kind == "leave out":
            done = say("clips.change.leave_out", seams=seams)
        elif change.kind == "shift and leave out":
            done = say("clips.change.shift_and_leave_out", by=shift, seams=seams)
        elif change.kind == "other seams":
            done = say("clips.change.other_seams", seams=seams)
        elif any(change.by):
            done = say("clips.change.lines_and_shift", lines=change.lines, by=shift)
        else:
            done = say("clips.change.lines", lines=change.lines)
        return say("clips.change.then", change=done, heights=self.heights(change.set))

    def _all_of(self, change: Change) -> str:
        """All shifts of the range that a shift lies in; shared clips are not looked at there."""
        task = self.answer.case.task
        if task is None or task.pull is not None:
            return ""
        here = next((w for w in change.ranges if w.holds(change.by[0])), None)
        if here is None or here.width < MM or here.high >= FAR // 2:
            return ""
        low, high = sorted((abs(here.low), abs(here.high)))
        if here.holds(0):
            return ""
        return self.say("clips.change.all", span=self.span(Window(low, high)))

    # --- what is open --------------------------------------------------------------------

    def missing(self, one: Open) -> str:
        """What is missing, and how to get it."""
        ask = self.base.vocabulary.ask(one.about)
        return self.say(
            f"clips.open.{one.kind}",
            ask=ask.ask,
            how=ask.how,
            path=one.about,
            given=self.texts.shown(one.given),
            allowed=self.texts.shown(one.allowed),
        )


def whole(window: Window) -> tuple[int, int]:
    """The ends of a range in whole mm inside it; as they are where there is no whole mm."""
    low, high = -(-window.low // MM) * MM, window.high // MM * MM
    return (low, high) if low <= high else (window.low, window.high)
