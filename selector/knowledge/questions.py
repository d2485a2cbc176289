"""Question files of `kb/questions/`: one observation of the trade each, and the eight drawings."""

from pathlib import Path as FilePath
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from selector import units
from selector.errors import Problem, near
from selector.knowledge import conditions
from selector.knowledge.base import Vocabulary
from selector.knowledge.faults import Faults
from selector.knowledge.quantities import ON_THE_PHONE, Asked, Effort, QuantityShape, Who
from selector.knowledge.schema import Shape, Status, Words, check, number
from selector.knowledge.yaml_reader import Document
from selector.model import question as model
from selector.model.quantity import Window
from selector.model.rule import Condition, Group, Limit, Quantity

FOLDER = "kb/questions/"
GUARD_ROLES = {"p": "plane", "s": "site"}
GUARD_OPERATORS = ("is", "is one of", "within", "at most", "at least")
WHOLE = units.parse("100 %", "share")


def _rate(value: int) -> int:
    if value > WHOLE:
        raise ValueError(f"a rate is 0 to 100 %, given {units.show(value, 'share')}")
    return value


def _yes(value: object) -> object:
    if value == "yes":
        return {}
    if not isinstance(value, dict):
        shown = units.shorten(value)
        raise ValueError(f"write `yes`, or `only_when` or `only_for` below it, given `{shown}`")
    return value


Rate = Annotated[int, BeforeValidator(number("share")), AfterValidator(_rate)]


class EffortShape(Shape):
    """Effort from the desk and on the roof; without `phone` it is never asked from the desk."""

    phone: Effort | None = None
    roof: Effort


class DontKnowShape(Shape):
    """How often nobody can say."""

    phone: Rate | None = None
    roof: Rate
    status: Status


class NeverSkipShape(Shape):
    """Where the question is never skipped; `yes` is everywhere."""

    only_when: tuple[Any, ...] = ()
    only_for: Literal["substitution", "sign-off"] | None = None


class QuestionShape(Shape):
    """The closed set of keys of a question file."""

    observation: str
    title: str
    group: Literal[
        "seam and sheet", "clips, deck, movement", "building and site", "array and parts at hand"
    ]
    ask: str
    why: str
    look: Annotated[tuple[str, ...], Field(min_length=1)]
    who: Who
    effort: EffortShape
    dont_know: DontKnowShape
    quantities: tuple[QuantityShape, ...] = ()
    answers: Words = ()
    asked_when: tuple[Any, ...] = ()
    stop: bool = False
    caution: str = ""
    never_skip: Annotated[NeverSkipShape | None, BeforeValidator(_yes)] = None

    @model_validator(mode="after")
    def _is_whole(self) -> "QuestionShape":
        if not self.quantities and not self.answers:
            raise ValueError(
                "a question has `quantities`, or `answers` that name its place in a job"
            )
        if self.stop and not self.caution:
            raise ValueError("a question that can end the work says a `caution`")
        if (self.effort.phone is None) != (self.dont_know.phone is None):
            raise ValueError("`effort` and `dont_know` have both a `phone` or neither")
        if self.effort.phone is None and self.who in ON_THE_PHONE:
            raise ValueError(f"`{self.who}` is asked from the desk, and `effort` has no `phone`")
        return self

    @property
    def asked(self) -> Asked:
        """What rows without a wording of their own take from their question."""
        desk = self.effort.phone or self.effort.roof
        return Asked(self.observation, self.ask, self.look[0], self.who, desk, self.effort.roof)


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


def read_questions(
    documents: dict[str, Document],
    sheets: list[Sheet],
    vocabulary: Vocabulary,
    out: list[Problem],
) -> dict[str, model.Question]:
    """Questions by observation; every fault goes to `out`."""
    return _Reader(documents, out, vocabulary).questions(sheets)


class _Reader(Faults):
    """One pass over the question files."""

    def __init__(
        self, documents: dict[str, Document], problems: list[Problem], vocabulary: Vocabulary
    ):
        super().__init__(documents, problems)
        self.vocabulary = vocabulary

    def questions(self, sheets: list[Sheet]) -> dict[str, model.Question]:
        known = self.vocabulary.words["observation"]
        found: dict[str, model.Question] = {}
        for document, shape in sheets:
            name = shape.observation
            self.known(document, ("observation",), name, known, "observation")
            if name in found:
                other = found[name].origin
                text = f"`{name}` is asked for twice"
                self.fault(document, ("observation",), text, f"the other is {other}")
            found[name] = self.question(document, shape)
        for name in known:
            if name not in found:
                text = f"no question asks for `{name}`"
                self.problems.append(Problem(FOLDER, 0, text, "add its file"))
        return found

    def question(self, document: Document, shape: QuestionShape) -> model.Question:
        never = None
        if shape.never_skip is not None:
            at = ("never_skip", "only_when")
            when = self.groups(document, at, shape.never_skip.only_when)
            never = model.NeverSkip(when, shape.never_skip.only_for)
        for i, row in enumerate(shape.quantities):
            if row.dimension not in ("choice", "count") and row.unit is None:
                text = f"`{row.path}` does not say in which unit one answers"
                self.fault(document, ("quantities", i), text, "add `unit`")
        rates = shape.dont_know
        return model.Question(
            observation=shape.observation,
            name=FilePath(document.file).stem,
            title=shape.title,
            group=shape.group,
            ask=shape.ask,
            why=shape.why,
            look=shape.look,
            who=shape.who,
            effort=model.Effort(shape.effort.phone, shape.effort.roof),
            dont_know=model.DontKnow(rates.phone, rates.roof, rates.status),
            quantities=tuple(q.path for q in shape.quantities),
            answers=shape.answers,
            asked_when=self.groups(document, ("asked_when",), shape.asked_when),
            stop=shape.stop,
            caution=shape.caution,
            never_skip=never,
            origin=f"{document.file}:{document.line('observation')}",
        )

    # --- guards ------------------------------------------------------------------------

    def groups(
        self, document: Document, at: tuple[object, ...], items: tuple[Any, ...]
    ) -> tuple[Group, ...]:
        """Conditions that must all be possible; `any: [...]` holds alternatives."""
        groups: list[Group] = []
        for i, item in enumerate(items):
            texts: Any = [item]
            here = (*at, i)
            if isinstance(item, dict):
                texts = item.get("any") if set(item) == {"any"} else None
                if not isinstance(texts, list) or not texts:
                    self.fault(document, here, "a group is `any: [condition, ...]`")
                    continue
            found = [self.guard(document, here, text) for text in texts]
            groups.append(tuple(c for c in found if c is not None))
        return tuple(groups)

    def guard(self, document: Document, at: tuple[object, ...], text: object) -> Condition | None:
        """One condition over quantities, or None with its fault."""
        try:
            condition = conditions.parse(text, GUARD_ROLES)
        except ValueError as error:
            self.fault(document, at, str(error))
            return None
        quantity = self.vocabulary.quantities.get(str(condition.left))
        if quantity is None:
            remedy = near(str(condition.left), self.vocabulary.quantities)
            self.fault(document, at, f"no quantity `{condition.left}`", remedy)
            return None
        fault, remedy = _misfit(condition, quantity)
        if fault:
            self.fault(document, at, fault, remedy)
        return condition


def _misfit(condition: Condition, quantity: Quantity) -> tuple[str, str]:
    """What is wrong with a guard on this quantity, and the remedy; empty where it fits."""
    path, right = condition.left, condition.right
    if condition.operator not in GUARD_OPERATORS:
        return f"`{condition.operator}` cannot guard a question", near(
            condition.operator, GUARD_OPERATORS
        )
    if isinstance(right, Limit | Window):
        if right.dimension != quantity.dimension:
            return f"`{path}` is a {quantity.dimension}, not {right.dimension}", ""
        return "", ""
    words = [right] if isinstance(right, str) else list(right or ())
    for word in words:
        if word not in quantity.words:
            return f"`{word}` is no word of `{path}`", near(str(word), quantity.words)
    return "", ""
