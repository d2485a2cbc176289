"""How facts, parts and moves are told: names in plain words, values, where to look."""

from collections.abc import Iterable
from dataclasses import dataclass

from selector import units
from selector.explanation.moves import Move, move_text, slot_name
from selector.explanation.narrate import evidence, handles, name_of_path
from selector.explanation.stands import stands_if
from selector.explanation.texts import Texts
from selector.inference.answer import Change
from selector.inference.verdict import Verdict
from selector.inference.why import Why
from selector.knowledge import schema
from selector.knowledge.base import Base
from selector.model.fact import Fact
from selector.model.job import Job
from selector.model.quantity import Measured
from selector.model.rule import Ask

VOICES = ("roofer", "sales", "owner", "engineer")
MARKED = ("from memory", "judgement")  # always said: nobody has read it in a document yet
TELLING = ("contact.upper", "contact.lower")  # facts that tell themselves what they are about


@dataclass(frozen=True)
class Telling:
    """One explanation, whom it is told to, and in which words."""

    why: Why
    base: Base
    job: Job
    texts: Texts
    voice: str = VOICES[0]
    every: bool = False
    taken: str = ""  # for a stack that nobody named: `first` of a choose request, or `nearest`

    def say(self, name: str, /, **holes: object) -> str:
        """Text of an id with its holes filled."""
        return self.texts.say(name, **holes)

    def word(self, text: str) -> str:
        """A word of the vocabulary in this language."""
        return self.texts.word(text)

    # --- facts ---------------------------------------------------------------------------

    def fact(self, fact: Fact) -> str:
        """What holds, how it was seen, where it stands, and what it is worth where that is weak."""
        seen = f" ({self.texts.seen(fact.seen)})" if fact.seen else ""
        told = "" if self.voice == "owner" or not fact.origin else f" [{fact.origin}]"
        weak = fact.status in MARKED or self.voice == "engineer"
        worth = f"; {self.say('why.line.status', status=self.word(fact.status))}" if weak else ""
        return f"{self.value(fact)}{seen}{told}{worth}"

    def value(self, fact: Fact) -> str:
        """What holds, with its name where the value alone would not tell."""
        if fact.path in TELLING:
            return handles(self.texts.shown(fact.shown))
        return evidence(fact, self.texts)

    def name(self, path: str) -> str:
        """What a path is called."""
        return name_of_path(Fact(path, "", ""), self.texts)

    def ask_of(self, fact: Fact) -> Ask | None:
        """How to look at a fact of the job again; None for what nobody looks at."""
        if not fact.origin.startswith(f"{self.job.file}:"):
            return None
        ask = self.base.vocabulary.asks.get(fact.path)
        return ask if ask is not None and ask.how else None

    # --- moves ---------------------------------------------------------------------------

    def move(self, move: Move) -> str:
        """One thing that a change moves, as something to do."""
        return move_text(move, self.texts)

    def filling(self, part: str | None) -> str:
        """What fills a slot."""
        return handles(self.texts.shown(part)) if part else self.say("why.none")

    def slot(self, name: str) -> str:
        """What a slot or a move is called."""
        return slot_name(name, self.texts)

    def line(self, change: Change) -> str:
        """What a change is, and the word it gives: not today where something is to be got."""
        moves = "; ".join(map(self.move, change.moved))
        word = self.word(change.option.verdict.word.text)
        name = "why.changes.line_got" if change.who else "why.changes.line"
        return self.say(name, word=word, moves=moves)

    def follows(self, change: Change) -> list[str]:
        """What a change drags along: kit lines, another torque, figures to be worked out anew."""
        found = [self.say("why.changes.kit", part=b) for b in change.brings]
        moved = {slot for slot, _, _ in change.moved}
        clamp = self.base.part(change.option.core.clamp).shape
        if "clamp" in moved and isinstance(clamp, schema.Clamp):
            torque = clamp.torque
            shown = torque if isinstance(torque, str) else units.show(torque, "torque")
            found.append(self.say("why.changes.torque", torque=self.texts.shown(shown)))
        kinds = {slot.partition(" ")[0] for slot in moved}
        if "line" in kinds:
            found.append(self.say("why.changes.share"))
        if kinds & {"seam", "pattern", "lines"}:
            span = self._span(change)
            found += [self.say("why.changes.span", span=span)] if span else []
            found.append(self.say("why.changes.forces"))
        if kinds & {"tilt", "rows", "array", "orientation", "module"}:
            found.append(self.say("why.changes.anew"))
        return found

    def _span(self, change: Change) -> str:
        """How far the rail spans then; empty where that is not known."""
        views = [j.view for j in change.option.judgements if j.subject.kind == "stack"]
        value = views[0].read("stack.rail_span").value if views else None
        if not isinstance(value, Measured):
            return ""
        return self.texts.shown(units.show(max(p.high for p in value.places), "length"))

    def to_show(self, change: Change) -> str:
        """What a record or a paper that is to be got must show; else empty."""
        if not change.who:
            return ""
        least = [
            self.say("why.changes.at_least", name=self.name(path), value=self.texts.shown(value))
            for path, value in change.shows
        ]
        kinds = {slot for slot, _, _ in change.moved}
        if not least:
            name = "shows_forces" if "record" in kinds else "if_paper"
            return self.say(f"why.changes.{name}")
        together = self.say("why.changes.at_once") if len(least) > 1 else ""
        return listed([*least, *([together] if together else [])])

    def still_open(self, verdict: Verdict) -> str:
        """What a milder stack still waits for; empty where it waits for nothing."""
        looks = stands_if(verdict, self.base.vocabulary, self.texts)
        if verdict.word.is_yes or not looks:
            return ""
        names = [look.ask.ask for look in looks]
        what = listed(names[:3]) + (", ..." if len(names) > 3 else "")
        return self.say("why.changes.then_open", n=len(names), what=what)


def listed(texts: Iterable[object]) -> str:
    """Texts with commas."""
    return ", ".join(map(str, texts))
