"""A kit in words: names, numbers, reasons and what stops it, in the language of the base."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from selector import units
from selector.explanation.loads.telling import plain
from selector.explanation.narrate import fill, handles
from selector.explanation.texts import Texts
from selector.facts.parts import shown_torque
from selector.inference.verdict import Finding
from selector.kit.model import METRE, Because, Kit, Line, Metres, Noun
from selector.knowledge.base import Base
from selector.knowledge.schema import Clamp, Price
from selector.knowledge.texts import HOLE
from selector.model.truth import Word


@dataclass(frozen=True)
class KitTelling:
    """What page, table and data say of a kit."""

    kit: Kit
    base: Base
    texts: Texts

    def say(self, name: str, /, **holes: object) -> str:
        """Text of an id."""
        return self.texts.say(name, **holes)

    # --- a line ------------------------------------------------------------------------

    def what(self, line: Line) -> str:
        """What it is, with the name of its part."""
        if line.item is not None:
            return self.filled(line.item.text)
        kind, part = self.say(f"kit.kind.{line.kind}"), handles(line.part)
        if line.kind == "set_screw":
            return self._screw(kind, part)
        if not part:
            return self.say("kit.what.bare", kind=kind)
        if line.length:
            return self.say("kit.what.bar", kind=kind, part=part, length=self.length(line.length))
        return self.say("kit.what.part", kind=kind, part=part)

    def _screw(self, kind: str, part: str) -> str:
        screw = self._clamp.set_screw
        metal = f"{self.texts.word(screw.metal.metal)} {screw.metal.grade}"
        if screw.metal.grade == "unknown":
            metal = self.texts.word(screw.metal.metal)
        tip = self.texts.word(screw.tip)
        return self.say("kit.what.screw", kind=kind, part=part, tip=tip, metal=metal)

    def number(self, line: Line) -> str:
        """How many, with unit and spares."""
        if line.amount is None:
            return self.say("kit.number.unknown")
        n: object = line.amount if line.unit != "m" else self.decimal(line.amount)
        counted = self.say(f"kit.number.{line.unit}", n=n)
        if not line.spare:
            return counted
        return self.say("kit.number.spare", number=counted, spare=line.spare)

    def why(self, line: Line) -> str:
        """Its reason with its figures."""
        if line.item is not None:
            return self.filled(line.item.why)
        return self.say("kit.line.join").join(self.because(b) for b in line.because)

    def because(self, why: Because) -> str:
        """One reason."""
        holes = {name: self._hole(value) for name, value in why.holes.items()}
        return self.say(f"kit.because.{why.name}", **holes)

    def _hole(self, value: object) -> object:
        if isinstance(value, Noun):
            return self.say(f"kit.noun.{value.name}", n=value.n)
        if isinstance(value, Metres):
            return self.decimal(Decimal(value.length) / METRE)
        if isinstance(value, tuple):
            return ", ".join(self.length(one.length) for one in value)
        return value

    def follows(self, line: Line) -> str:
        """The part that it follows from."""
        return handles(line.follows)

    def notes(self, line: Line) -> Iterator[str]:
        """What else is to be said of a line, stops first."""
        say = self.say
        if line.fault:
            yield say(f"kit.fault.{line.fault}")
        if not line.listed:
            yield say("kit.line.not_listed")
        if line.item is not None and line.item.there and not line.there:
            yield say(f"kit.paper.{'missing' if line.item.must else 'open'}")
        if line.perhaps:
            yield say("kit.line.perhaps")

    def ordering(self, line: Line) -> Iterator[str]:
        """Whence the spares come, and how it is packed."""
        if line.spare and line.rule is not None:
            name = "spare_least" if line.spare > -(-self._share(line) // 1) else "spare"
            holes = {"percent": line.rule.percent, "least": line.rule.at_least}
            yield self.say(f"kit.line.{name}", **holes)
        if line.pack is not None and line.order is not None:
            if line.order == 0:
                yield self.say("kit.line.order_above")
            else:
                packs = self.say("kit.number.pack", n=line.order // line.pack)
                yield self.say("kit.line.order", n=line.order, packs=packs, pack=line.pack)

    @staticmethod
    def _share(line: Line) -> Decimal:
        assert line.rule is not None and line.number is not None
        return Decimal(line.number * line.rule.share) / METRE

    # --- the kit -----------------------------------------------------------------------

    @property
    def mark(self) -> str:
        """What stands on every page: released or not, invented, preliminary."""
        kit = self.kit
        marks = ["kit.released" if kit.released else "kit.not_released"]
        marks += ["kit.preliminary_mark"] if kit.preliminary else []
        marks += ["kit.demo_mark"] if kit.invented else []
        return ", ".join(map(self.say, marks))

    def stops(self) -> Iterator[str]:
        """What has to be settled before it is released."""
        kit, say = self.kit, self.say
        if not kit.word.is_yes:
            yield say("kit.stop.word", word=self.texts.word(kit.word.text))
        if kit.faults:
            yield self._stop("faults", kit.faults)
        if kit.unlisted:
            yield self._stop("unlisted", kit.unlisted)
        if kit.papers_missing:
            yield self._stop("papers", kit.papers_missing)
        if kit.gates:
            yield say("kit.stop.gates", gates=", ".join(map(self.texts.word, kit.gates)))
        if kit.preliminary:
            yield say("kit.stop.preliminary")
        if kit.invented:
            yield say("kit.stop.invented")

    def forbidden_by(self) -> Iterator[tuple[str, str, int]]:
        """Each rule that forbids it, what it says at the first place, and at how many more."""
        by_rule: dict[str, list[Finding]] = {}
        for found in self.kit.option.verdict.of_word(Word.FORBIDDEN):
            by_rule.setdefault(found.rule.id, []).append(found)
        for rule, (first, *others) in by_rule.items():
            text = fill(first.rule.message, first.rule, first.judgement, self.texts)
            yield rule, text, len(others)

    def _stop(self, name: str, lines: tuple[Line, ...]) -> str:
        names = ", ".join(dict.fromkeys(map(self.what, lines)))
        return self.say(f"kit.stop.{name}", n=len(lines), names=names)

    # --- words and figures -------------------------------------------------------------

    @property
    def _clamp(self) -> Clamp:
        shape = self.base.part(self.kit.option.core.clamp).shape
        assert isinstance(shape, Clamp)
        return shape

    def filled(self, text: str) -> str:
        """A text of the base with the clamp of this kit in its holes."""
        if "{" not in text:
            return text
        clamp = self._clamp
        order = ", ".join(map(self.texts.word, clamp.screw_order))
        known = {
            "clamp": handles(self.kit.option.core.clamp),
            "torque": self.texts.shown(shown_torque(clamp.torque)),
            "tip": self.texts.word(clamp.set_screw.tip),
            "order": order,
        }
        return HOLE.sub(lambda m: known[m.group(1)], text)

    def decimal(self, value: Decimal | float, places: int = 2) -> str:
        """A number with so many decimals, in the language."""
        return self.texts.shown(plain(float(value), f".{places}f"))

    def length(self, length: int) -> str:
        """A length in metres, without a tail of zeros."""
        return f"{self.texts.shown(f'{Decimal(length) / METRE:f}')} m"

    def kilograms(self, grams: int | None) -> str:
        """A mass; a dot where none is known."""
        if grams is None:
            return "?"
        return self.decimal(Decimal(grams) / 1_000)

    def money(self, price: Price | None) -> str:
        """A price; empty where there is none."""
        if price is None:
            return "?"
        return f"{self.texts.shown(f'{price.amount:.2f}')} {price.currency}"

    def pressure(self, pascal: float) -> str:
        """A weight in kN/m2."""
        return self.decimal(pascal / 1_000, 3)

    def limit(self, thousandths: int) -> str:
        """A figure of a paper in kN/m2, as it is stated."""
        return self.texts.shown(units.show(thousandths, "pressure").removesuffix(" kPa"))
