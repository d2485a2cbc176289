"""Rule files and their case files to rules and cases."""

from pathlib import Path as FilePath
from typing import Any, Literal

from pydantic import model_validator

from selector.errors import Problem, near
from selector.knowledge import conditions
from selector.knowledge.base import Vocabulary
from selector.knowledge.schema import Count, Date, Shape, Words, check
from selector.knowledge.yaml_reader import Document
from selector.model.rule import KINDS, ROLES, SUBJECTS, Case, Condition, Group, Rule
from selector.model.truth import ASPECTS, Word

MOST_CLAUSES = 16


def _rename(data: Any, old: str, new: str) -> Any:
    if not isinstance(data, dict) or old not in data:
        return data
    return {new if k == old else k: v for k, v in data.items()}


class RuleShape(Shape):
    """The closed set of keys of a rule file."""

    id: str
    title: str
    trade: Words
    status: Literal["draft", "trial", "active", "retired"]
    kind: str
    subject: str
    aspect: str | None = None
    roles: dict[str, str]
    when: tuple[Any, ...] = ()
    require: tuple[str, ...] = ()
    otherwise: Literal["observe", "engineer", "forbidden"] | None = None
    then: str | None = None
    duty: Literal["standing", "condition"] | None = None
    proves: Words = ()
    places: Count = 1
    excepts: Words = ()
    gate: Literal["roofer", "lightning", "fire", "access"] | None = None
    lifted: str | None = None
    ask: dict[Literal["first", "better", "how"], str] = {}
    never_default: Words = ()
    moves: Words = ()
    message: str
    why: str
    who_is_hurt: str
    help: str
    source: str
    basis: Literal["published", "common practice", "from memory", "judgement"]
    since: Date
    reviewed: Date

    @model_validator(mode="before")
    @classmethod
    def _except_is_a_python_word(cls, data: Any) -> Any:
        return _rename(data, "except", "excepts")

    @model_validator(mode="after")
    def _keys_fit_the_kind(self) -> "RuleShape":
        wanted = {
            "classify": {"then"},
            "forbid": set(),
            "engineer": set(),
            "require": {"require", "otherwise"},
            "support": {"proves"},
            "duty": {"duty"},
        }.get(self.kind)
        if wanted is None:
            raise ValueError(f"no kind `{self.kind}`; {near(self.kind, KINDS)}")
        keys = ("then", "require", "otherwise", "proves", "duty")
        given = {k for k in keys if getattr(self, k) not in (None, ())}
        optional = {"proves"} if self.kind == "require" else set()
        if given - optional != wanted - optional:
            need = ", ".join(sorted(wanted)) or "none of " + ", ".join(keys)
            raise ValueError(f"a rule of kind {self.kind} has {need}; given {sorted(given)}")
        word = self.otherwise or ("engineer" if self.kind == "engineer" else None)
        if word in ("observe", "engineer") and self.lifted is None and self.gate is None:
            raise ValueError(f"`{word}` must name who can lift it: add `lifted`")
        return self


def read_rule(document: Document, vocabulary: Vocabulary, out: list[Problem]) -> Rule | None:
    """Rule of a file, or None with its problems in `out`."""
    shape = check(RuleShape, document.data, document, (), out)
    if shape is None:
        return None
    before = len(out)

    def fault(key: tuple[object, ...], text: str, remedy: str = "") -> None:
        out.append(Problem(document.file, document.line(*key), text, remedy))

    if FilePath(document.file).stem != shape.id:
        fault(("id",), f"id `{shape.id}` is not the file's name")
    if shape.subject not in SUBJECTS:
        fault(("subject",), f"no subject `{shape.subject}`", near(shape.subject, SUBJECTS))
        return None
    if shape.aspect is not None and shape.aspect not in ASPECTS:
        fault(("aspect",), f"no aspect `{shape.aspect}`", near(shape.aspect, ASPECTS))
    allowed = (*ROLES[shape.subject], "trade")
    for letter, role in shape.roles.items():
        if role not in allowed:
            fault(("roles", letter), f"{shape.subject} has no role `{role}`", near(role, allowed))
    needs = {n.name: n for n in vocabulary.needs}
    for name in shape.proves:
        need = needs.get(name)
        if need is None:
            fault(("proves",), f"no need `{name}`", near(name, needs))
        elif need.subject != shape.subject:
            fault(("proves",), f"need `{name}` belongs to {need.subject}")

    first = _full_path(shape.ask.get("first", ""), shape.roles)
    if first and first not in vocabulary.asks:
        fault(("ask",), f"nobody can be asked for `{first}`", near(first, vocabulary.asks))

    def condition(
        key: tuple[object, ...], text: object, places: int = shape.places
    ) -> Condition | None:
        try:
            return conditions.parse(text, shape.roles, places)
        except ValueError as error:
            fault(key, str(error))
            return None

    when = _groups(shape, condition, fault)
    require = tuple(c for i, t in enumerate(shape.require) if (c := condition(("require", i), t)))
    then = None if shape.then is None else condition(("then",), shape.then, 1)
    if then is not None:
        _then_derives(then, vocabulary, fault)
    _known_only_where_it_asks(shape, [*(c for g in when for c in g), *require], fault)
    clauses = max(1, len(require))
    for group in when:
        clauses *= len(group)
    if clauses > MOST_CLAUSES:
        fault(("when",), f"{clauses} clauses; a rule has {MOST_CLAUSES} at most", "split it")
    if len(out) > before:
        return None
    return Rule(
        id=shape.id,
        title=shape.title,
        kind=shape.kind,
        subject=shape.subject,
        aspect=shape.aspect,
        roles=shape.roles,
        when=when,
        message=shape.message,
        why=shape.why,
        help=shape.help,
        who_is_hurt=shape.who_is_hurt,
        trade=shape.trade,
        source=shape.source,
        basis=shape.basis,
        status=shape.status,
        since=shape.since,
        reviewed=shape.reviewed,
        file=document.file,
        line=document.line("id"),
        require=require,
        then=then,
        otherwise=None if shape.otherwise is None else Word.of(shape.otherwise),
        duty=shape.duty,
        proves=shape.proves,
        excepts=shape.excepts,
        gate=shape.gate,
        lifted=shape.lifted,
        moves=shape.moves,
        never_default=shape.never_default,
        first=first,
    )


def _then_derives(then: Condition, vocabulary: Vocabulary, fault: Any) -> None:
    quantity = vocabulary.quantities.get(str(then.left))
    if quantity is None or not quantity.derived or then.operator != "is" or then.negated:
        fault(("then",), "`then` must be `PATH is WORD` on a derived quantity")
    elif then.right not in quantity.words:
        remedy = near(str(then.right), quantity.words)
        fault(("then",), f"`{then.right}` is no word of `{then.left}`", remedy)


def _known_only_where_it_asks(shape: RuleShape, found: list[Condition], fault: Any) -> None:
    for c in found:
        if c.operator == "known" and shape.otherwise != "observe":
            text = f"`{c.left} known` stands in a rule that does not end in observe"
            fault(("require",), text, "only asking may rest on whether something is known")


def _full_path(text: str, roles: dict[str, str]) -> str:
    """`p.clips.marks` with the letter's role in its place."""
    letter, dot, name = text.partition(".")
    return f"{roles.get(letter, letter)}{dot}{name}"


def _groups(shape: RuleShape, condition: Any, fault: Any) -> tuple[Group, ...]:
    groups: list[Group] = []
    for i, item in enumerate(shape.when):
        if isinstance(item, dict):
            if set(item) != {"any"} or not isinstance(item["any"], list) or not item["any"]:
                fault(("when", i), "a group is `any: [condition, ...]`")
                continue
            texts = item["any"]
            found = [condition(("when", i, "any", j), t) for j, t in enumerate(texts)]
        else:
            found = [condition(("when", i), item)]
        groups.append(tuple(c for c in found if c is not None))
    return tuple(groups)


class CaseShape(Shape):
    """One case of a rule."""

    name: str
    given: dict[str, Any]
    expect: Literal["fires", "silent", "asks", "not applicable"]
    with_: dict[str, str] = {}
    reasons: tuple[Words, ...] | None = None
    asks: Words | None = None

    @model_validator(mode="before")
    @classmethod
    def _with_is_a_python_word(cls, data: Any) -> Any:
        return _rename(data, "with", "with_")


class CaseFileShape(Shape):
    """The cases beside a rule, and what the rule gives when it fires, said a second time."""

    gives: Words | None = None
    with_: dict[str, str] = {}
    cases: tuple[Any, ...]

    @model_validator(mode="before")
    @classmethod
    def _with_is_a_python_word(cls, data: Any) -> Any:
        return _rename(data, "with", "with_")


def read_case_file(document: Document, out: list[Problem]) -> list[Case]:
    """Cases of a file."""
    file = check(CaseFileShape, document.data, document, (), out)
    if file is None:
        return []
    rule = FilePath(document.file).name.removesuffix(".cases.yaml")
    cases: list[Case] = []
    for i, data in enumerate(file.cases):
        shape = check(CaseShape, data, document, ("cases", i), out)
        if shape is not None:
            cases.append(
                Case(
                    rule=rule,
                    name=shape.name,
                    given=dict(shape.given),
                    parts={**file.with_, **shape.with_},
                    expect=shape.expect,
                    file=document.file,
                    line=document.line("cases", i),
                    reasons=shape.reasons,
                    asks=shape.asks,
                    gives=file.gives,
                )
            )
    return cases
