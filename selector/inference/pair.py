"""Two plain metals, judged as a contact of a stack is: alone, and by the same rules."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from selector.facts.view import Binding
from selector.inference.judge import Judge, Judgement, Subject
from selector.inference.verdict import Finding, Verdict, verdict
from selector.knowledge.schema import MetalWords
from selector.model.contact import ABOVE, BETWEEN, ON_SHEET, Contact, Side
from selector.model.fact import Reading
from selector.model.job import Job, Observed, Request
from selector.model.truth import Word

ROLES = {ON_SHEET: ("part", "sheet"), BETWEEN: ("part", "part"), ABOVE: ("flashing", "sheet")}
RUSTS = ("steel", ("none",))  # bare steel is nobody's cure
FAR_AWAY = "not named: far away"  # how a distance was seen that nobody named
WATER = "site.run_off_from_above"  # not of the air: a place of its own, above
Site = dict[str, Observed]


@dataclass(frozen=True)
class Air:
    """What is known of the site, judged once for all that stands in it."""

    site: Site
    job: Job
    derived: dict[str, Reading]
    verdict: Verdict  # of what metals mind in it


@dataclass(frozen=True)
class Paired:
    """A contact in its air, judged."""

    contact: Contact
    air: Air
    judgement: Judgement
    verdict: Verdict  # of the contact
    word: Word

    @property
    def sufferer(self) -> str:
        """The family that is eaten, as the base reads it."""
        return str(self.judgement.view.read("contact.sufferer").value)

    @property
    def findings(self) -> list[Finding]:
        """Rules with a word that fire or may fire, of the contact and of its air."""
        found = [*self.verdict.findings, *self.air.verdict.findings]
        once = {(f.rule.id, f.surely): f for f in reversed(found)}  # the order asked comes first
        strongest = sorted(once.values(), key=lambda f: f.rule.id)
        return sorted(strongest, key=lambda f: (-(f.rule.word or Word.ALLOWED), not f.surely))

    @property
    def deciding(self) -> list[Finding]:
        """Rules that surely give the word."""
        return [f for f in self.findings if f.surely and f.rule.word == self.word]


@dataclass(frozen=True)
class Turned:
    """The same metals at another place or the other way round, with the word there."""

    contact: Contact
    word: Word


@dataclass(frozen=True)
class Instead:
    """One thing changed, and the word that comes of it."""

    kind: str  # inlay | upper | lower
    metal: MetalWords | None
    paired: Paired


@dataclass(frozen=True)
class Matrix:
    """Every metal of a list as the upper side of every other, in one air."""

    place: str
    metals: tuple[MetalWords, ...]
    air: Air
    cells: tuple[tuple[Paired, ...], ...]  # row: upper side, column: lower side


def of_metal(role: str, metal: MetalWords) -> Side:
    """A plain metal as one side of a contact."""
    return Side(role, metal.metal, metal.coating, metal.grade)


def touching(place: str, upper: MetalWords, lower: MetalWords) -> Contact:
    """Two plain metals at a place, each in the role that it usually has there."""
    first, second = ROLES[place]
    return Contact(place, of_metal(first, upper), of_metal(second, lower))


def air_of_site(judge: Judge, site: Site) -> Air:
    """The site judged alone, with nothing in its verdict but what metals mind."""
    job = _job(site)
    judged = judge.judge(Subject("job", "air", Binding()), job)
    whole = verdict([judged])
    mine = tuple(f for f in whole.findings if f.rule.aspect == "joins")
    word = whole.aspects["joins"]
    found = replace(whole, word=word, findings=mine, missing=(), confirm=())
    return Air(site, job, judge.derived(judged), found)


def judge_pair(judge: Judge, contact: Contact, air: Air) -> Paired:
    """One contact in one air; of two parts neither is the upper one, so both orders count."""
    orders = [contact]
    if contact.place == BETWEEN:
        orders.append(replace(contact, upper=contact.lower, lower=contact.upper))
    judged = [_judged(judge, one, air) for one in orders]
    found = verdict(judged)
    return Paired(contact, air, judged[0], found, max(found.word, air.verdict.word))


def _judged(judge: Judge, contact: Contact, air: Air) -> Judgement:
    subject = Subject("contact", contact.id, Binding(contact=contact))
    return judge.judge(subject, air.job, air.derived)


def _job(site: Site) -> Job:
    """A job that says nothing but what is known of the air."""
    return Job(
        id="pair",
        file="",
        as_of="",
        catalogues=(),
        request=Request("judge"),
        people={},
        papers={},
        site=site,
        planes={},
        arrays={},
        stacks={},
        chosen=None,
        raw={},
    )


def elsewhere(judge: Judge, paired: Paired) -> Iterator[Turned]:
    """The words of the same metals at the other places, and the other way round."""
    upper, lower = (_words(side) for side in (paired.contact.upper, paired.contact.lower))
    for place in ROLES:
        for first, second in dict.fromkeys(((upper, lower), (lower, upper))):
            contact = touching(place, first, second)
            here = place == paired.contact.place and first == upper
            symmetric = place == BETWEEN and first != upper
            if not (here or symmetric):
                yield Turned(contact, judge_pair(judge, contact, paired.air).word)


def instead(judge: Judge, paired: Paired, metals: Iterable[MetalWords]) -> list[Instead]:
    """Single changes after which the word is a yes: an inlay between, or one metal of a list."""
    contact = paired.contact
    tried: list[tuple[str, MetalWords | None, Contact]] = []
    if contact.place != ABOVE and contact.isolation != "listed":
        tried.append(("inlay", None, replace(contact, isolation="listed", bridge="none")))
    listed = [metal for metal in metals if (metal.metal, metal.coating) != RUSTS]
    for metal in listed:
        if _words(contact.upper) != metal:
            tried.append(("upper", metal, replace(contact, upper=_made_of(contact.upper, metal))))
    for metal in listed if contact.place != ON_SHEET else ():  # the roof stays as it is
        if _words(contact.lower) != metal:
            tried.append(("lower", metal, replace(contact, lower=_made_of(contact.lower, metal))))
    judged = (Instead(kind, metal, judge_pair(judge, c, paired.air)) for kind, metal, c in tried)
    return sorted((i for i in judged if i.paired.word.is_yes), key=lambda i: i.paired.word)


def matrix(judge: Judge, place: str, metals: Iterable[MetalWords], air: Air) -> Matrix:
    """All pairs of a list of metals."""
    listed = tuple(metals)
    cells = tuple(
        tuple(judge_pair(judge, touching(place, upper, lower), air) for lower in listed)
        for upper in listed
    )
    return Matrix(place, listed, air, cells)


def _made_of(side: Side, metal: MetalWords) -> Side:
    return replace(side, metal=metal.metal, coating=metal.coating, grade=metal.grade)


def _words(side: Side) -> MetalWords:
    return MetalWords(metal=side.metal or "", coating=side.coating, grade=side.grade)
