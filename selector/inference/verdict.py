"""From judged subjects to one word: the verdict table, aspects, what is missing, what is open."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial

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


@dataclass(frozen=True)
class _Share:
    """What one judged subject brings into every verdict it belongs to."""

    findings: tuple[Finding, ...]
    duties: tuple[Finding, ...]
    gates: tuple[tuple[str, Finding | None], ...]
    missing: tuple[Missing, ...]
    surely: Word
    possibly: Word


def verdict(judgements: Iterable[Judgement]) -> Verdict:
    """Verdict of subjects that belong to one request; the strongest word counts."""
    judged = list(judgements)
    shares = [j.once("share", partial(_share, j)) for j in judged]
    findings = [f for s in shares for f in s.findings]
    missing = [m for s in shares for m in s.missing]
    gates: dict[str, tuple[Finding, ...]] = {}
    for gate, opened in (g for s in shares for g in s.gates):
        gates[gate] = gates.get(gate, ()) + ((opened,) if opened else ())
    withheld = "; ".join(f"{j.subject.id}: {j.withheld}" for j in judged if j.withheld)
    surely = max((s.surely for s in shares), default=Word.ALLOWED)
    possibly = max((s.possibly for s in shares), default=Word.ALLOWED)
    if withheld:
        surely = max(surely, Word.ENGINEER)
    word = table(surely, possibly, not missing)
    weak: set[Fact] = set()
    for j in judged if word.is_yes else ():
        weak |= j.once("weak", partial(_from_memory, j))
    if weak:
        word = Word.CONDITIONAL
    return Verdict(
        word=word,
        may_become=possibly if possibly > word and word >= Word.OBSERVE else None,
        aspects={a: _aspect(a, findings, missing) for a in ASPECTS},
        findings=tuple(sorted(findings, key=_strongest_first)),
        missing=tuple(missing),
        duties=tuple(sorted(_once(f for s in shares for f in s.duties), key=lambda f: f.rule.id)),
        gates=gates,
        confirm=tuple(sorted(weak)),
        withheld=withheld,
    )


def _share(judgement: Judgement) -> _Share:
    findings: list[Finding] = []
    duties: list[Finding] = []
    gates: list[tuple[str, Finding | None]] = []
    for rule in judgement.program.rules:
        may_fire = judgement.fires(rule).possibly
        finding = Finding(rule, judgement)
        if rule.gate is not None:
            gates.append((rule.gate, finding if may_fire else None))
        elif may_fire and rule.word is not None:
            findings.append(finding)
        elif may_fire and rule.duty == "standing":
            duties.append(finding)
    missing = [Missing(n, judgement) for n in judgement.needs]
    return _Share(
        findings=tuple(findings),
        duties=tuple(duties),
        gates=tuple(gates),
        missing=tuple(m for m in missing if not judgement.proven(m.need.name).surely),
        surely=judgement.word(True),
        possibly=judgement.word(False),
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


def _once(findings: Iterable[Finding]) -> list[Finding]:
    return list({f.rule.id: f for f in findings}.values())


def _from_memory(judgement: Judgement) -> frozenset[Fact]:
    """Weak figures without which some proof would not stand, or some rule would say no."""
    found: set[Fact] = set()
    heads = [(f"need:{need.name}", True) for need in judgement.needs]
    heads += [(f"rule:{r.id}", False) for r in judgement.program.rules if r.kind == "require"]
    for head, positive in heads:
        weak = [
            frozenset(f for f in reason if f.status in WEAK)
            for reason in judgement.reasons(head, positive)
        ]
        if weak and all(weak):
            found |= min(weak, key=lambda w: (len(w), sorted(w)))
    return frozenset(found)
