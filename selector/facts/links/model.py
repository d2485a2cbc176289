"""One link of the chain from module to board, with both sides of its check."""

from dataclasses import dataclass

from selector.engineering.check import ratio
from selector.facts.actions.model import Ends, Open
from selector.model.truth import Word


@dataclass(frozen=True)
class Link:
    """A link at its worst place; demand and capacity in `unit`, None where nobody knows them.

    `name` is an id of the texts, `place` says where it is worst, `inputs` what it rests on.
    """

    name: str
    place: str
    demand: Ends | None
    capacity: Ends | None
    unit: str
    clause: str
    how: str
    inputs: tuple[str, ...]
    status: str
    opens: tuple[Open, ...] = ()
    used: Ends | None = None  # where more than this demand uses it, such as another direction

    @property
    def ratio(self) -> Ends | None:
        """Demand over capacity, lowest and highest."""
        if self.used is not None:
            return self.used
        if self.demand is None or self.capacity is None:
            return None
        low, high = self.demand.low, self.demand.high
        return Ends(ratio(low, self.capacity.high), ratio(high, self.capacity.low))

    @property
    def word(self) -> Word:
        """What the link alone allows: surely inside, surely passed, or open."""
        opened = max((one.word for one in self.opens), default=Word.ALLOWED)
        found = self.ratio
        if found is None:
            return max(opened, Word.OBSERVE)
        if found.low > 1:
            return Word.FORBIDDEN
        return opened if found.high <= 1 else max(opened, Word.OBSERVE)
