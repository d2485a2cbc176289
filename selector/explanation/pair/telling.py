"""How a pair of metals, its place, its air and its reasons are said."""

from dataclasses import dataclass

from selector.explanation.narrate import evidence, fill, name_key, smallest
from selector.explanation.texts import Texts
from selector.facts.lifetime import LossIn
from selector.inference.pair import FAR_AWAY, WATER, Instead, Paired, Site
from selector.inference.verdict import Finding
from selector.knowledge.base import Base
from selector.knowledge.schema import MetalWords
from selector.model.contact import ABOVE, Contact, Side
from selector.model.job import Observed
from selector.model.quantity import Candidates
from selector.model.truth import Word

UNKNOWN, NONE = "unknown", "none"
MOST_REASONS = 2
SMALL = 10.0  # below it a figure keeps one decimal


@dataclass(frozen=True)
class PairTelling:
    """Words of a pair in the language of the base."""

    base: Base
    texts: Texts

    def say(self, name: str, /, **holes: object) -> str:
        """Text of an id with its holes filled."""
        return self.texts.say(name, **holes)

    def word(self, word: Word) -> str:
        """A verdict word."""
        return self.texts.word(word.text)

    def metal(self, made_of: Side | MetalWords) -> str:
        """A metal with its coats and its grade, such as `steel (paint on zinc), Z275`."""
        metal = self.texts.word(made_of.metal or UNKNOWN)
        coats = [self.texts.word(c) for c in made_of.coating if c != "none"]
        if coats:
            metal = self.say("pair.metal.coated", metal=metal, coats=self._on(coats))
        grade = "" if made_of.grade == UNKNOWN else self.texts.word(made_of.grade)
        return self.say("pair.metal.grade", metal=metal, grade=grade) if grade else metal

    def _on(self, coats: list[str]) -> str:
        return f" {self.texts.word('on')} ".join(coats)

    def place(self, contact: Contact) -> str:
        """Both metals at their place in one line."""
        upper, lower = self.metal(contact.upper), self.metal(contact.lower)
        name = contact.place.replace(" ", "_")
        return self.say(f"pair.place.{name}", upper=upper, lower=lower)

    def side(self, side: Side) -> str:
        """One side with its role and what its area counts as."""
        role, area = self.texts.word(side.role), self.say(f"pair.area.{side.size}")
        name = "pair.side.pointed" if side.point else "pair.side.plain"
        point = self.texts.word(side.point) if side.point else ""
        return self.say(name, metal=self.metal(side), role=role, area=area, point=point)

    def between(self, contact: Contact) -> str:
        """What lies between and what bridges it; empty for water, which goes round it."""
        if contact.place == ABOVE:
            return ""
        isolation = self.say(f"pair.isolation.{contact.isolation.replace(' ', '_')}")
        if contact.isolation == "none":
            return isolation
        bridge = self.texts.word(contact.bridge)
        name = "no_bridge" if contact.bridge == "none" else "bridge"
        return isolation + "; " + self.say(f"pair.isolation.{name}", bridge=bridge)

    def rain(self, contact: Contact) -> str:
        """Whether rain rinses it."""
        return self.say(f"pair.rain.{'washed' if contact.washed else 'kept_off'}")

    def air(self, site: Site) -> str:
        """What is known of the air; what is not there is named too."""
        there, absent = [], []
        for path, observed in sorted(site.items()):
            if path == WATER or (f"{path}_of" in site and not _is(observed, NONE)):
                continue  # what is of a kind is told by its kind
            name = self.texts.word(name_key(path))
            if _is(observed, NONE):
                absent += [] if path.endswith("_of") else [name]
            elif _is(observed, "present"):
                there.append(name)
            elif path.endswith("_of"):
                there.append(self.texts.shown(str(observed.value), path))
            elif observed.sightings[0].seen == FAR_AWAY:
                there.append(self.say("pair.air.far", name=name))
            else:
                value = self.texts.shown(str(observed.value), path)
                there.append(self.say("pair.air.value", name=name, value=value))
        if not there and not absent:
            return self.say("pair.air.unknown")
        none = self.say("pair.air.none", names=", ".join(absent)) if absent else ""
        return "; ".join(filter(None, [", ".join(there), none]))

    # --- findings ----------------------------------------------------------------------

    def message(self, finding: Finding) -> str:
        """What a rule says of this pair."""
        return fill(finding.rule.message, finding.rule, finding.judgement, self.texts)

    def help(self, finding: Finding) -> str:
        """What to do about it."""
        return fill(finding.rule.help, finding.rule, finding.judgement, self.texts)

    def because(self, finding: Finding) -> list[tuple[str, str]]:
        """Facts of the smallest reasons, each behind its mark."""
        lines = []
        reasons = smallest(finding.judgement.reasons(f"rule:{finding.rule.id}"), MOST_REASONS)
        for i, reason in enumerate(reasons):
            for j, fact in enumerate(sorted(reason)):
                mark = "and" if j else "or" if i else "because"
                cited = []
                if fact.seen in self.base.sources:
                    cited = [self.source(fact.seen, fact.status)]
                elif fact.seen == FAR_AWAY:
                    cited = [self.texts.shown(FAR_AWAY)]
                place = [f"[{fact.origin}]"] if fact.origin else []
                text = "  ".join([evidence(fact, self.texts), *cited, *place])
                lines.append((self.say(f"finding.{mark}"), text))
        return lines

    def source(self, source: str, status: str) -> str:
        """A source by its title, with what it is worth."""
        title = self.base.sources[source].title
        return self.say("pair.source", title=title, status=self.texts.word(status))

    def hurt(self, finding: Finding) -> str:
        """Who is hurt where it is built all the same."""
        return finding.rule.who_is_hurt

    def sufferer(self, paired: Paired) -> str:
        """The metal that is eaten, as the base reads it."""
        if paired.sufferer == NONE:
            return self.say("pair.sufferer.neither")
        return self.texts.shown(paired.sufferer, "contact.sufferer")

    def drags(self, changed: Instead) -> list[str]:
        """What a change brings with it: conditions, duties and figures to confirm."""
        found = changed.paired
        lines = [self.message(f) for f in found.findings if f.rule.word == Word.CONDITIONAL]
        lines += [self.message(f) for f in found.verdict.duties]
        if changed.kind == "inlay":
            lines.append(self.say("pair.instead.inlay_drags"))
        return list(dict.fromkeys(lines))

    # --- losses ------------------------------------------------------------------------

    def um(self, value: float) -> str:
        """A thickness in um, rounded as far as such figures are worth anything."""
        return self.texts.shown(f"{_figure(value)} um")

    def loss(self, one: LossIn) -> tuple[str, ...]:
        """Cells of one class: its name, the first year, the years after, the coating."""
        first, after = (self._span(r, "um") for r in (one.first_year_um, one.after_years_um))
        years = "" if one.coat_years is None else self._span(one.coat_years, "a")
        return (one.name, first, after, years)

    def _span(self, ends: tuple[float, float], unit: str) -> str:
        low, high = map(_figure, ends)
        return self.texts.shown(f"{low} to {high} {unit}")


def _is(observed: Observed, word: str) -> bool:
    value = observed.value
    return isinstance(value, Candidates) and value.left == frozenset({word})


def _figure(value: float) -> str:
    return f"{value:.1f}" if value < SMALL else f"{value:.0f}"
