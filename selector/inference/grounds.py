"""All minimal reasons of a verdict's word, over every rule that gives it."""

from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from selector.inference.verdict import Finding, Verdict
from selector.model.fact import MOST_REASONS, Fact, Reason, absorb
from selector.model.truth import NO

MOST_CURES = 4  # beyond so many facts nobody asks for the fewest


@dataclass(frozen=True)
class Ground:
    """One minimal set of facts, and every rule that gives the word by it."""

    facts: Reason
    findings: tuple[Finding, ...]
    spare: Reason = frozenset()  # facts without which the word stands too (`spare.py`)

    @property
    def needed(self) -> Reason:
        """The facts without which the word does not stand."""
        return self.facts - self.spare

    @property
    def ordered(self) -> tuple[Fact, ...]:
        """The facts, those of the job before those of the base."""
        return tuple(sorted(self.facts, key=lambda f: (not f.seen, f.path, f)))

    @property
    def kind(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Equal for sets that say the same at another place."""
        rules = tuple(sorted({f.rule.id for f in self.findings}))
        return rules, tuple(sorted(f.path for f in self.facts))


@dataclass(frozen=True)
class Grounds:
    """Every minimal set of facts that gives a word; no set holds another one."""

    each: tuple[Ground, ...]
    more: bool = False  # there are more than are kept

    @cached_property
    def folded(self) -> tuple[tuple[Ground, ...], ...]:
        """Sets that say the same at several places, together."""
        found: dict[object, list[Ground]] = {}
        for ground in self.each:
            found.setdefault(ground.kind, []).append(ground)
        return tuple(map(tuple, found.values()))

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Every rule that gives the word, on each of its subjects."""
        found = {id(f): f for g in self.each for f in g.findings}
        return tuple(found.values())

    @cached_property
    def apart(self) -> tuple[tuple[int, ...], ...]:
        """Numbers of folded sets, from 1, that hang together by a fact; others are independent."""
        groups: list[tuple[set[int], set[Fact]]] = []
        for number, grounds in enumerate(self.folded, 1):
            facts = {f for g in grounds for f in g.needed}
            touching = [g for g in groups if g[1] & facts]
            groups = [g for g in groups if not g[1] & facts]
            numbers = {number}.union(*(g[0] for g in touching))
            groups.append((numbers, facts.union(*(g[1] for g in touching))))
        return tuple(sorted(tuple(sorted(numbers)) for numbers, _ in groups))

    @cached_property
    def fewest(self) -> int:
        """How many facts must change at least before no set is left; 0 where there is none."""
        facts = sorted({f for g in self.each for f in g.needed})
        for size in range(MOST_CURES):
            for cured in combinations(facts, size):
                if all(g.needed.intersection(cured) for g in self.each):
                    return size
        return MOST_CURES


def grounds(verdict: Verdict) -> Grounds:
    """All minimal sets of facts for the word, with absorption over all rules that give it."""
    found: dict[Reason, list[Finding]] = {}
    cut = False
    for judged in {id(f.judgement): f.judgement for f in verdict.findings}.values():
        here = [
            f for f in verdict.findings if f.judgement is judged and f.rule.word == verdict.word
        ]
        reasons = judged.reasons(f"word:{verdict.word.text}")
        cut = cut or len(reasons) >= MOST_REASONS
        for reason in reasons:
            found.setdefault(reason, []).extend(_by(reason, here))
    kept = absorb(found)
    least = {r for r in found if not any(other < r for other in found)}
    order = {id(f): i for i, f in enumerate(verdict.findings)}
    each = [Ground(r, tuple(found[r])) for r in kept]
    each.sort(key=lambda g: (min(order[id(f)] for f in g.findings), len(g.facts), sorted(g.facts)))
    return Grounds(tuple(each), cut or len(least) > len(kept))


def _by(reason: Reason, findings: list[Finding]) -> list[Finding]:
    """Rules that give their word by these facts; where none does in every case, one each case."""
    own = [
        f
        for f in findings
        if f.surely and any(r <= reason for r in f.judgement.reasons(f"rule:{f.rule.id}"))
    ]
    return own or [f for f in findings if _fires_somewhere(f)]


def _fires_somewhere(finding: Finding) -> bool:
    """Whether a rule surely fires for some word of what is tried word by word."""
    head = f"rule:{finding.rule.id}"
    return any(w.heads.get(head, NO).surely for w in finding.judgement.worlds)
