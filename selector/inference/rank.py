"""The order of stacks: lexicographic, printed, never a number with weights."""

from selector.inference.verdict import Verdict
from selector.model.stack import Core

Rank = tuple[int, int, int, int, str]


def rank(verdict: Verdict, core: Core) -> Rank:
    """Word; what is still open by effort; conditions; parts; name."""
    efforts = {path: 1 for item in (*verdict.missing, *verdict.findings) for path in _paths(item)}
    conditions = len({f.rule.id for f in verdict.conditions})
    return (verdict.word, len(efforts), conditions, len(core.parts), core.id)


def _paths(item: object) -> list[str]:
    return [a for atom in getattr(item, "open", []) for a in atom.asks]
