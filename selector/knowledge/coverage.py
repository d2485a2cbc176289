"""`rules/coverage.yaml`: by which rules or functions each rule of the trade is carried."""

from typing import Any

from pydantic import Field, model_validator

from selector.errors import Problem
from selector.knowledge.schema import Shape, Words, check
from selector.knowledge.yaml_reader import Document
from selector.model.coverage import Coverage

FILE = "rules/coverage.yaml"


class RowShape(Shape):
    """One row: rules, or an outcome of a rule with its case, or a function with its test."""

    files: Words = ()
    emergent: str | None = None
    case: str | None = None
    built_in: str | None = Field(default=None, alias="built in")
    test: str | None = None
    note: str | None = None

    @model_validator(mode="after")
    def _says_how(self) -> "RowShape":
        if not self.files and self.emergent is None and self.built_in is None:
            raise ValueError("give `files`, `emergent` or `built in`")
        for one, other in (("emergent", "case"), ("built_in", "test")):
            if (getattr(self, one) is None) != (getattr(self, other) is None):
                first = one.replace("_", " ")
                raise ValueError(f"`{first}` and `{other}` stand together")
        return self


def read_coverage(document: Document | None, out: list[Problem]) -> tuple[Coverage, ...]:
    """Rows of the file in its order, none without a file; every problem goes to `out`."""
    if document is None:
        return ()
    if not isinstance(document.data, dict):
        text, remedy = (
            "expected `ID: {...}` for each rule of the trade",
            "such as PI-1: {files: []}",
        )
        out.append(Problem(document.file, 1, text, remedy))
        return ()
    rows = [_row(document, trade, data, out) for trade, data in document.data.items()]
    return tuple(row for row in rows if row is not None)


def _row(document: Document, trade: str, data: Any, out: list[Problem]) -> Coverage | None:
    shape = check(RowShape, data, document, (trade,), out)
    if shape is None:
        return None
    return Coverage(
        trade=trade,
        files=shape.files,
        emergent=shape.emergent,
        case=shape.case,
        built_in=shape.built_in,
        test=shape.test,
        file=document.file,
        line=document.line(trade),
    )
