"""The order of stacks: lexicographic, printed, never a number with weights."""

from selector.inference.verdict import Verdict
from selector.model.stack import Core

Rank = tuple[int, int, int, int, str]


def rank(verdict: Verdict, core: Core) -> Rank:
    """Word; how many observations are still open; conditions; parts; name."""
    sides = [s for m in verdict.missing for s in m.open]
    sides += [s for f in verdict.findings if not f.surely for s in f.open]
    still_open = {path for atom, _ in sides for path in atom.asks}
    conditions = len({f.rule.id for f in verdict.conditions})
    return (verdict.word, len(still_open), conditions, len(core.parts), core.id)
