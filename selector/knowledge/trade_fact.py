"""What every fact of the trade has."""

from selector.knowledge.figures import Shape, Status


class TradeFact(Shape):
    """One fact; `source` and `status` speak of the fact, not of the advice beside it."""

    id: str
    source: str
    status: Status
