"""What the leftovers of a van allow: each stack with its word, and how far they go."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from selector import units
from selector.explanation.narrate import handles
from selector.explanation.texts import Texts
from selector.explanation.why.sheet import Sheet
from selector.kit.leftovers import Leftover, Short
from selector.knowledge.base import Base
from selector.model.van import Van

MOST_SHORT = 5


@dataclass(frozen=True)
class VanTelling:
    """Stacks that can be built from a van, best first; `more` are not counted through."""

    van: Van
    found: Sequence[Leftover]
    more: int
    base: Base

    @property
    def texts(self) -> Texts:
        """The texts of the base."""
        return Texts.of(self.base)

    def say(self, name: str, /, **holes: object) -> str:
        """A text of this screen."""
        return self.texts.say(name, **holes)

    def lines(self, width: int) -> list[str]:
        """The section of the page."""
        sheet = Sheet(width)
        sheet.lines.append("")
        counted = self.van.counted or self.say("swap.van.no_day")
        sheet.add("", self.say("swap.van.head", file=self.van.file, counted=counted))
        if not self.found:
            sheet.add("  ", self.say("swap.van.nothing"))
        for number, one in enumerate(self.found, 1):
            sheet.add(f" {number}. ", self.stack(one))
            for text in self.far(one):
                sheet.add("    ", text)
        if self.more:
            sheet.add("  ", self.say("swap.van.more", n=self.more))
        if self.found:
            sheet.add("  ", self.say("swap.van.note"))
        return sheet.lines

    def stack(self, one: Leftover) -> str:
        """The stack and its word."""
        option = one.option
        core = option.core.id
        if option.module_clamp:
            core += f" + {handles(option.module_clamp)}"
        word = self.texts.word(option.verdict.word.text)
        return self.say("swap.van.stack", core=core, word=word)

    def far(self, one: Leftover) -> list[str]:
        """How far it goes, what the next run lacks, what is lacking before handing over."""
        found, core = one.finish, one.option.core
        if found is None:
            higher = core.cross or core.upper_rail or core.frame
            return [self.say("swap.van.higher" if higher else "swap.van.not_placed")]
        holes = {"n": found.modules, "of": found.of, "rows": found.rows}
        lines = [self.say("swap.van.all" if found.modules == found.of else "swap.van.far", **holes)]
        if found.short:
            lines.append(self.say("swap.van.short", what=self._listed(found.short)))
        if found.later:
            lines.append(self.say("swap.van.later", what=self._listed(found.later)))
        return lines

    def _listed(self, shorts: tuple[Short, ...]) -> str:
        shown = ", ".join(map(self.short, shorts[:MOST_SHORT]))
        left = len(shorts) - MOST_SHORT
        return self.say("swap.van.and_more", names=shown, n=left) if left > 0 else shown

    def short(self, one: Short) -> str:
        """One part that is lacking."""
        kind = self.texts.say(f"kit.kind.{one.kind}")
        what = f"{kind} {handles(one.part)}" if one.part else kind
        if one.length:
            length = self.texts.shown(units.show(one.length, "length"))
            return self.say("swap.van.short_rail", n=one.pieces, what=what, length=length)
        if not one.pieces:
            return self.say("swap.van.short_uncounted", what=what)
        return self.say("swap.van.short_pieces", n=one.pieces, what=what)

    def data(self) -> dict[str, Any]:
        """The same for programs."""
        return {
            "file": self.van.file,
            "counted": self.van.counted or None,
            "more": self.more,
            "stacks": [_leftover(one) for one in self.found],
        }


def _leftover(one: Leftover) -> dict[str, Any]:
    core, found = one.option.core, one.finish
    return {
        "parts": [*core.parts],
        "module_clamp": one.option.module_clamp,
        "word": one.option.verdict.word.text,
        "finish": None
        if found is None
        else {
            "modules": found.modules,
            "of": found.of,
            "rows": found.rows,
            "short": [_short(x) for x in found.short],
            "later": [_short(x) for x in found.later],
        },
    }


def _short(one: Short) -> dict[str, Any]:
    part = one.part or None
    return {"kind": one.kind, "part": part, "pieces": one.pieces, "length": one.length}
