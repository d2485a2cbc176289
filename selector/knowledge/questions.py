"""Question files of `kb/questions/`: one observation of the trade each."""

from typing import Literal

from selector.errors import Problem, near
from selector.knowledge.quantities import QuantityShape
from selector.knowledge.schema import Shape, check
from selector.knowledge.yaml_reader import Document

FOLDER = "kb/questions/"
Group = Literal[
    "seam and sheet", "clips, deck, movement", "building and site", "array and parts at hand"
]


class QuestionShape(Shape):
    """The closed set of keys of a question file."""

    observation: str
    title: str
    group: Group
    quantities: tuple[QuantityShape, ...] = ()


Sheet = tuple[Document, QuestionShape]


def question_sheets(documents: dict[str, Document], out: list[Problem]) -> list[Sheet]:
    """Question files by name with their checked shapes; the faults of the others go to `out`."""
    found: list[Sheet] = []
    for name in sorted(documents):
        if name.startswith(FOLDER) and name.endswith(".yaml"):
            document = documents[name]
            shape = check(QuestionShape, document.data, document, (), out)
            if shape is not None:
                found.append((document, shape))
    return found


def observations_are_known(sheets: list[Sheet], known: tuple[str, ...], out: list[Problem]) -> None:
    """Every observation has one question, and no question asks for another thing."""
    asked: dict[str, str] = {}
    for document, shape in sheets:
        text = ""
        if shape.observation not in known:
            text = f"no observation `{shape.observation}`"
            remedy = near(shape.observation, known)
        elif shape.observation in asked:
            text = f"`{shape.observation}` is asked for twice"
            remedy = f"the other is {asked[shape.observation]}"
        if text:
            out.append(Problem(document.file, document.line("observation"), text, remedy))
        asked.setdefault(shape.observation, document.file)
