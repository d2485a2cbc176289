"""A paper's share of the clips beside the sum of all clamps that the layout itself gives.

The paper counts, since whoever signed it may know more of the roof. Where every place that marks
and clamps may lie at gives more than it says, by both methods, one of the two is wrong.
"""

from selector import units
from selector.facts.parts import word
from selector.facts.view import View, reads
from selector.model.fact import Fact, Reading
from selector.model.job import Stated
from selector.model.quantity import Text, Unknown

PATH, BOTH = "stack.clip_paper", "stack.clip_sum"
SHARE = "clip_share"


def _milder(view: View) -> tuple[str, str, Fact] | None:
    """How much milder the paper is, both figures in words, and the paper; None where it is not."""
    stated, plan = view.stated(SHARE), view.binding.plan
    own = None if plan is None else plan.worked.get(SHARE)
    if isinstance(stated, Unknown) or not isinstance(stated[0], Stated) or own is None:
        return None
    paper = stated[0].value
    if own.value <= paper:
        return None
    low = own.value if own.least is None else own.least
    found = "surely" if low > paper else "perhaps"
    shown = [units.show(value, own.dimension) for value in (paper, low, own.value)]
    return found, f"paper {shown[0]}, own sum {shown[1]} to {shown[2]}", stated[1]


@reads(PATH, "choice")
def clip_paper(view: View) -> Reading:
    """Whether a paper's share lies below the own sum: surely, perhaps, or no."""
    found = _milder(view)
    if found is None:
        fact = Fact(PATH, "stack", "no paper says less than the sum of the clamps")
        return view.known(PATH, word("no"), fact)
    fact = Fact(PATH, "stack", found[1], "", "worked out from the layout", "statics")
    return view.known(PATH, word(found[0]), found[2], fact)


@reads(BOTH, "text")
def clip_sum(view: View) -> Reading:
    """Both figures in words."""
    found = _milder(view)
    text = "no sum beside it" if found is None else found[1]
    return view.known(BOTH, Text(text), Fact(BOTH, "stack", text))
