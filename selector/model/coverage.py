"""How one rule of the trade is carried by the base."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Coverage:
    """One row: rules by id, an outcome that follows from a rule, or a function."""

    trade: str
    files: tuple[str, ...]
    emergent: str | None  # a rule; `case` is the case of it that shows the outcome
    case: str | None
    built_in: str | None  # part.module.function; `test` proves it
    test: str | None
    file: str
    line: int

    @property
    def rules(self) -> tuple[str, ...]:
        """Every rule that this row names."""
        return self.files if self.emergent is None else (*self.files, self.emergent)
