"""The chain from module to board as lines and as data: each link with its ratio, weakest first."""

from dataclasses import dataclass
from typing import Any

from selector.explanation.loads.telling import LoadsTelling
from selector.explanation.why.sheet import Sheet
from selector.facts.actions.model import Ends, Open
from selector.facts.links.clip_sums import ClipSums
from selector.facts.links.couple import Couple
from selector.facts.links.model import Link
from selector.inference.links import CLIP, most_used
from selector.model.quantity import shown_share
from selector.model.truth import Word

BY_SET = ("clamp_together", "fixed_clips")  # of several sets one counts, and it is named
BAR = 20  # letters of a link that is used up
# Units as they are shown: a factor and a name.
SHOWN = {"N": (1e-3, "kN"), "Nm": (1e-3, "kNm"), "m": (1e3, "mm")}


@dataclass(frozen=True)
class Chain:
    """The links of one stack, and in which words."""

    stack: str
    links: tuple[Link, ...]
    telling: LoadsTelling
    clips: ClipSums | None = None
    couple: Couple | Open | None = None  # of an elevated array

    def name(self, link: Link) -> str:
        """What the link is; its joint, where it is one."""
        text = self.telling.say(f"links.name.{link.name}")
        return f"{text}, {link.place}" if link.place else text

    def ratio(self, link: Link) -> str:
        """How much of it is used; empty where nobody knows."""
        return "" if link.ratio is None else self.share(link.ratio)

    def sides(self, link: Link) -> str:
        """What it gets and what it may take."""
        if link.demand is None or link.capacity is None or not link.unit:
            return ""
        size, unit = SHOWN.get(link.unit, (1.0, link.unit))
        both = (Ends(e.low * size, e.high * size) for e in (link.demand, link.capacity))
        demand, capacity = (self.telling.ends(e, unit, ".2f") for e in both)
        return self.telling.say("links.sides", demand=demand, capacity=capacity)

    def waits(self, one: Open) -> str:
        """What a link waits for; a load above a table is said with both figures."""
        if one.kind == "outside":
            shown = self.telling.shown
            holes = {"given": shown(one.given), "allowed": shown(one.allowed)}
            return self.telling.say("links.outside", **holes)
        return self.telling.missing(one)

    def word(self, link: Link) -> str:
        """The word of the link alone, where it is no yes; empty else."""
        return "" if link.word.is_yes else self.telling.texts.word(link.word.text)

    @property
    def weakest(self) -> str:
        """The link that is used most, and how many nobody knows yet."""
        worst = None if self.clips is None else self.clips.worst
        own = Ends(0.0, 0.0) if worst is None or worst.ratio is None else worst.ratio
        say, found = self.telling.say, most_used(self.links, own.high)
        unknown = sum(link.ratio is None for link in self.links)
        first = say("links.none")
        if found is not None:
            holes = {"name": self.name(found), "ratio": self.ratio(found)}
            above = found.name == CLIP and found.ratio is not None and own.high > found.ratio.high
            first = say("links.weakest", **holes)
            if above:
                first = say("links.weakest_by_sum", **holes, own=self.share(own))
        return f"{first}; {say('links.unknown', n=unknown)}" if unknown else first

    def share(self, used: Ends) -> str:
        """How much of a capacity is used, both ends."""
        low, high = (self.telling.shown(shown_share(x)) for x in used)
        return low if low == high else self.telling.say("loads.interval", low=low, high=high)


def chain_lines(sheet: Sheet, chain: Chain) -> None:
    """The section of the page: the weakest link, then all from module to board."""
    say = chain.telling.say
    sheet.head(say("links.head", stack=chain.stack))
    sheet.add("", chain.weakest)
    sheet.lines.append("")
    for link in chain.links:
        bar = _bar(link)
        ratio = chain.ratio(link) or chain.word(link)
        sheet.lines.append(f"{bar}  {ratio}".rstrip())
        sides = chain.sides(link)
        text = chain.name(link) + (f": {sides}" if sides else "")
        sheet.add("", text, 2)
        if link.name in BY_SET and link.how.startswith("worked out") and link.ratio is not None:
            sheet.add("", chain.telling.shown(link.how), 4)
        for one in link.opens[:1]:
            sheet.add("", chain.waits(one), 4)
    sheet.lines.append("")
    sheet.add("", say("links.scope"))


def chain_data(chain: Chain) -> list[dict[str, Any]]:
    """The links as data, in the order of the chain."""
    return [
        {
            "link": link.name,
            "place": link.place,
            "demand": None if link.demand is None else list(link.demand),
            "capacity": None if link.capacity is None else list(link.capacity),
            "unit": link.unit,
            "ratio": None if link.ratio is None else list(link.ratio),
            "word": link.word.text,
            "clause": link.clause,
            "how": link.how,
            "inputs": list(link.inputs),
            "status": link.status,
            "missing": [one.about for one in link.opens],
        }
        for link in chain.links
    ]


def _bar(link: Link) -> str:
    """How much of the link is used: full at 1, broken beyond, dots where nobody knows."""
    if link.ratio is None:
        return "[" + "?".center(BAR, ".") + "]"
    used = round(min(1.0, link.ratio.high) * BAR)
    end = "]" if link.word < Word.FORBIDDEN else ">"
    return "[" + "#" * used + " " * (BAR - used) + end
