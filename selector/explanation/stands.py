"""What an answer still waits for: the crew's verify-on-roof list."""

from dataclasses import dataclass

from selector.explanation.texts import Texts
from selector.inference.verdict import Verdict
from selector.knowledge.base import Vocabulary
from selector.model.fact import Atom
from selector.model.rule import Ask
from selector.model.truth import Word


@dataclass(frozen=True)
class Look:
    """One thing to look at or to get, with the limits it must meet."""

    ask: Ask
    limits: tuple[str, ...]


def stands_if(verdict: Verdict, vocabulary: Vocabulary, texts: Texts) -> list[Look]:
    """Open observations by effort; empty where nothing is open."""
    limits: dict[str, set[str]] = {}
    atoms = [x for m in verdict.missing for x in m.open]
    atoms += [x for f in verdict.findings if not f.surely for x in f.open]
    for atom, side in atoms:
        for path in atom.asks:
            limits.setdefault(path, set())
            if atom.limit and len(atom.asks) == 1 and _answers(atom, path, vocabulary):
                limits[path].add(_limit(atom, side, texts))
    for finding in verdict.findings:
        if finding.surely and finding.rule.word == Word.OBSERVE:
            for condition in finding.rule.require:
                path = str(condition.left)
                if condition.operator == "covered by":
                    path = f"{condition.left} {condition.right}"
                for asked in finding.judgement.view.read(path).open_paths:
                    limits.setdefault(asked, set())
    looks = [Look(vocabulary.ask(p), tuple(sorted(found))) for p, found in limits.items()]
    return sorted(looks, key=lambda look: (look.ask.effort, look.ask.path))


def _answers(atom: Atom, path: str, vocabulary: Vocabulary) -> bool:
    """Whether the limit is one of what is asked for: of a choice, words that it can be given.

    A figure has figures as limits: of itself, or of what plane or site make of it, not a stack.
    """
    quantity = vocabulary.quantities.get(path)
    if quantity is None or quantity.stacked:
        return True
    if not quantity.words:
        same_role = atom.text.partition(".")[0] == quantity.path.role
        return same_role and any(letter.isdigit() for letter in atom.limit)
    rest = atom.limit
    for word in sorted(quantity.words, key=len, reverse=True):  # a word may hold another
        rest = rest.replace(word, "")
    return not rest.replace(" or ", "")


def _limit(atom: Atom, side: bool, texts: Texts) -> str:
    """Which values help: `within` a range, `at most`, `at least`, a word, or not that word."""
    limit = texts.shown(atom.limit, atom.asks[0])
    if " at least " in atom.text:
        name = "stands_if.at_least" if side else "stands_if.below"
    elif " at most " in atom.text:
        name = "stands_if.at_most" if side else "stands_if.above"
    elif side:
        return limit
    else:
        name = "stands_if.outside" if " within " in atom.text else "stands_if.not"
    return texts.say(name, limit=limit)


def nobody_can(verdict: Verdict) -> list[tuple[str, str]]:
    """Proofs that no observation brings, with who can: text and person."""
    lost = {(m.need.text, m.need.lifted) for m in verdict.missing if m.lost}
    return sorted(lost)
