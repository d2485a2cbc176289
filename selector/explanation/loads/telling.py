"""How figures, winds and what is missing are said."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from selector.explanation.texts import Texts
from selector.facts.actions.model import Ends, Loads, Open, Row
from selector.knowledge.base import Base

KILO = 1000.0


@dataclass(frozen=True)
class LoadsTelling:
    """The loads of one array, and in which words."""

    loads: Loads
    base: Base
    texts: Texts

    def say(self, name: str, /, **holes: object) -> str:
        """Text of an id with its holes filled."""
        return self.texts.say(name, **holes)

    def shown(self, text: str) -> str:
        """A text of the calculation in this language."""
        return self.texts.shown(text)

    def clause(self, text: str) -> str:
        """A clause: its words in this language, its numbers as they are."""
        whole = self.texts.word(text)
        if whole != text:
            return whole
        return re.sub(r"[a-z]+", lambda m: self.texts.word(m.group()), text)

    def source(self, text: str) -> str:
        """A paper, or how something was seen, in the person's own words; a source by its id."""
        ours = ("catalogue", *self.base.vocabulary.words["paper"])
        if text.startswith(tuple(f"{name} " for name in ours)):
            return self.shown(text)
        return self.texts.seen(text)

    # --- figures -------------------------------------------------------------------------

    def ends(self, ends: Ends, unit: str, form: str) -> str:
        """Lowest to highest with the unit; one value where both are shown alike."""
        low, high = (self.shown(plain(x, form)) for x in ends)
        value = low if low == high else self.say("loads.interval", low=low, high=high)
        return self.say("loads.unit", value=value, unit=unit) if unit else value

    def kpa(self, ends: Ends) -> str:
        """A pressure in kPa, which is kN/m2."""
        return self.ends(Ends(*(x / KILO for x in ends)), "kPa", ".3f")

    def kn(self, force_n: Ends) -> str:
        """A force in kN."""
        return self.ends(Ends(*(x / KILO for x in force_n)), "kN", ".2f")

    def bare_kn(self, force_n: Ends) -> str:
        """A force in kN without its unit, for columns."""
        return self.ends(Ends(*(x / KILO for x in force_n)), "", ".2f")

    def bare_kpa(self, ends: Ends) -> str:
        """A pressure in kPa without its unit, for columns."""
        return self.ends(Ends(*(x / KILO for x in ends)), "", ".3f")

    def value(self, row: Row) -> str:
        """What a row holds: words, a pressure in kPa, or four digits."""
        if isinstance(row.value, str):
            return self.shown(row.value)
        if row.unit == "Pa":
            return self.kpa(row.value)
        return self.ends(row.value, self.shown(row.unit), ".4g")

    def metres(self, value: float) -> str:
        """A length in metres without its unit."""
        return self.shown(plain(value, ".2f"))

    # --- what is missing -----------------------------------------------------------------

    def missing(self, one: Open) -> str:
        """What is missing or outside, and how to get it."""
        say, shown = self.say, self.shown
        if one.kind in ("trial", "engineer"):
            clause = self.clause(one.clause)
            holes = {"about": shown(one.about), "given": one.given, "clause": clause}
            return say(f"loads.open.{one.kind}", **holes)
        if one.kind == "outside":
            return say(
                "loads.open.outside",
                about=shown(one.about),
                given=shown(one.given),
                clause=self.clause(one.clause),
                allowed=shown(one.allowed),
            )
        ask = self.base.vocabulary.ask(one.about)
        if one.kind == "disagree":
            paths = ", ".join((one.about, *one.also))
            holes = {"given": shown(one.given), "allowed": shown(one.allowed), "paths": paths}
            return say(f"loads.open.disagree.{one.clause}", **holes)
        kind = one.kind
        if kind == "missing" and one.given != "not asked":
            kind = "missing_why"
        elif kind == "missing" and not ask.how:
            kind = "missing_bare"
        return say(
            f"loads.open.{kind}",
            ask=ask.ask,
            how=ask.how,
            path=one.about,
            given=shown(one.given),
            allowed=shown(one.allowed),
            what=shown(one.clause),
        )

    def topics(self, names: Iterable[str]) -> str:
        """Topics by their names."""
        return ", ".join(self.say(f"loads.topic.{name}") for name in names)

    @property
    def worst_wind(self) -> str:
        """The wind that lifts the array most; the first one where none does."""
        lift = self.loads.lift.get("fixing")
        if lift is not None and lift.wind:
            return lift.wind
        plan = self.loads.plan
        return next(iter(plan.zones)) if plan is not None else ""


def plain(value: float, form: str) -> str:
    """A number without exponent; no negative zero."""
    text = f"{value:{form}}"
    if "e" in text:
        text = f"{float(text):f}".rstrip("0").rstrip(".")
    return text.removeprefix("-") if float(text) == 0 else text
