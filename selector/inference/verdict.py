"""From judged subjects to one word: the verdict table, aspects, what is missing, what is open."""

from collections.abc import Iterable
from dataclasses import dataclass

from selector.inference.judge import Judgement
from selector.model.fact import Atom, Fact
from selector.model.rule import Need, Rule
from selector.model.truth import ASPECTS, NO, Word

WEAK = ("from memory", "judgement")


@dataclass(frozen=True)
class Finding:
    """A rule that fires or may fire on a subject."""

    rule: Rule
    judgement: Judgement

    @property
    def surely(self) -> bool:
        """Whether it fires for every filling of the unknowns."""
        return self.judgement.fires(self.rule).surely

    @property
    def open(self) -> list[tuple[Atom, bool]]:
        """Atoms that would decide it, each with the side on which it does not fire."""
        return self.judgement.open_sides(f"rule:{self.rule.id}", False)


@dataclass(frozen=True)
class Missing:
    """A proof that is not surely there."""

    need: Need
    judgement: Judgement

    @property
    def lost(self) -> bool:
        """Whether no filling of the unknowns can bring it."""
        return self.judgement.proven(self.need.name) == NO

    @property
    def open(self) -> list[tuple[Atom, bool]]:
        """Atoms that would bring it, each with the side that does."""
        return self.judgement.open_sides(f"need:{self.need.name}", True)


@dataclass(frozen=True)
class Verdict:
    """The word of a group of subjects, and everything behind it."""

    word: Word
    may_become: Word | None
    aspects: dict[str, Word]
    findings: tuple[Finding, ...]  # rules with a word, strongest first
    missing: tuple[Missing, ...]
    duties: tuple[Finding, ...]  # standing duties
    gates: dict[str, tuple[Finding, ...]]  # gate -> rules that keep it open; empty: closed
    confirm: tuple[Fact, ...]  # figures from memory that a proof of `holds` rests on
    withheld: str

    def of_word(self, word: Word) -> list[Finding]:
        """Findings that surely give a word."""
        return [f for f in self.findings if f.surely and f.rule.word == word]

    @property
    def conditions(self) -> list[Finding]:
        """Conditions that come with a yes."""
        return [f for f in self.findings if f.rule.word == Word.CONDITIONAL]


def table(surely: Word, possibly: Word, proven: bool) -> Word:
    """The verdict table: the strongest sure word, and never a yes while something is open."""
    if surely >= Word.ENGINEER:
        return surely
    if possibly >= Word.OBSERVE or not proven:
        return Word.OBSERVE
    return possibly


def verdict(judgements: Iterable[Judgement]) -> Verdict:
    """Verdict of subjects that belong to one request; the strongest word counts."""
    judged = list(judgements)
    findings: list[Finding] = []
    duties: list[Finding] = []
    gates: dict[str, tuple[Finding, ...]] = {}
    for judgement in judged:
        for rule in judgement.program.rules:
            if rule.gate is not None:
                gates.setdefault(rule.gate, ())
            if not judgement.fires(rule).possibly:
                continue
            finding = Finding(rule, judgement)
            if rule.gate is not None:
                gates[rule.gate] = (*gates[rule.gate], finding)
            elif rule.word is not None:
                findings.append(finding)
            elif rule.duty == "standing":
                duties.append(finding)
    missing = [
        Missing(need, j) for j in judged for need in j.needs if not j.proven(need.name).surely
    ]
    withheld = "; ".join(f"{j.subject.id}: {j.withheld}" for j in judged if j.withheld)
    surely = max((j.word(True) for j in judged), default=Word.ALLOWED)
    possibly = max((j.word(False) for j in judged), default=Word.ALLOWED)
    if withheld:
        surely = max(surely, Word.ENGINEER)
    word = table(surely, possibly, not missing)
    confirm = _from_memory(judged) if word.is_yes else ()
    if confirm:
        word = Word.CONDITIONAL
    return Verdict(
        word=word,
        may_become=possibly if possibly > word and word >= Word.OBSERVE else None,
        aspects={a: _aspect(a, findings, missing) for a in ASPECTS},
        findings=tuple(sorted(findings, key=_strongest_first)),
        missing=tuple(missing),
        duties=tuple(sorted(_once(duties), key=lambda f: f.rule.id)),
        gates=gates,
        confirm=confirm,
        withheld=withheld,
    )


def _aspect(aspect: str, findings: list[Finding], missing: list[Missing]) -> Word:
    here = [f for f in findings if f.rule.aspect == aspect]
    words = [f.rule.word or Word.ALLOWED for f in here]
    sure = [w for f, w in zip(here, words, strict=True) if f.surely]
    proven = not any(m.need.aspect == aspect for m in missing)
    return table(max(sure, default=Word.ALLOWED), max(words, default=Word.ALLOWED), proven)


def _strongest_first(finding: Finding) -> tuple[int, bool, str, str]:
    word = finding.rule.word or Word.ALLOWED
    return -word, not finding.surely, finding.rule.id, finding.judgement.subject.id


def _once(findings: list[Finding]) -> list[Finding]:
    return list({f.rule.id: f for f in findings}.values())


def _from_memory(judged: list[Judgement]) -> tuple[Fact, ...]:
    """Weak figures without which some proof would not stand, or some rule would say no."""
    found: set[Fact] = set()
    for judgement in judged:
        heads = [(f"need:{need.name}", True) for need in judgement.needs]
        heads += [(f"rule:{r.id}", False) for r in judgement.program.rules if r.kind == "require"]
        for head, positive in heads:
            weak = [
                frozenset(f for f in reason if f.status in WEAK)
                for reason in judgement.reasons(head, positive)
            ]
            if weak and all(weak):
                found |= min(weak, key=lambda w: (len(w), sorted(w)))
    return tuple(sorted(found))
