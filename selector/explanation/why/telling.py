"""How facts, parts and moves are told: names in plain words, values, where to look."""

from collections.abc import Iterable
from dataclasses import dataclass

from selector import units
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
from selector.model.rule import Ask

VOICES = ("roofer", "sales", "owner", "engineer")
MARKED = ("from memory", "judgement")  # always said: nobody has read it in a document yet
TELLING = ("contact.upper", "contact.lower")  # facts that tell themselves what they are about
NAMED = ("line", "cut", "tilt", "paper")


@dataclass(frozen=True)
class Telling:
    """One explanation, whom it is told to, and in which words."""

    why: Why
    base: Base
    job: Job
    texts: Texts
    voice: str = VOICES[0]
    every: bool = False

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

    def move(self, move: tuple[str, str | None, str | None]) -> str:
        """One thing that a change moves, before and after."""
        slot, old, new = move
        before, after = (self.filling(p) for p in (old, new))
        return self.say("changes.move", slot=self.slot(slot), old=before, new=after)

    def filling(self, part: str | None) -> str:
        """What fills a slot."""
        return handles(self.texts.shown(part)) if part else self.say("why.none")

    def slot(self, name: str) -> str:
        """What a slot or a move is called."""
        kind, _, rest = name.partition(" ")
        if kind in NAMED:
            return self.say(f"why.name.{kind}", rest=rest).strip()
        return self.word(name.replace("_", " "))

    def follows(self, change: Change) -> list[str]:
        """What a change drags along: kit lines, another torque, figures to be worked out anew."""
        found = [self.say("why.changes.kit", part=b) for b in change.brings]
        moved = {slot: (old, new) for slot, old, new in change.moved}
        old_bolts, new_bolts = moved.get("bolts", (None, None))
        if old_bolts and not new_bolts:
            found.append(self.say("why.changes.drops", part=handles(old_bolts)))
        clamp = self.base.part(change.option.core.clamp).shape
        if "clamp" in moved and isinstance(clamp, schema.Clamp):
            torque = clamp.torque
            shown = torque if isinstance(torque, str) else units.show(torque, "torque")
            found.append(self.say("why.changes.torque", torque=self.texts.shown(shown)))
        if any(slot.startswith("line ") for slot in moved):
            found.append(self.say("why.changes.share"))
        if "tilt" in moved:
            found.append(self.say("why.changes.anew"))
        if "paper" in moved:
            found.append(self.say("why.changes.if_paper"))
        return found

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
