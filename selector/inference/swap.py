"""A substitution: a stack as it was meant and as somebody would change it, both judged.

The changed stack is judged whole, like any other. *Conditional* becomes *allowed* only where each
of its conditions was one of an original that somebody accepted, with the same figures; where clamps
or modules lie elsewhere than in that original, nothing was accepted for the new places. A standing
duty that says another figure than before, such as another torque, is a condition too.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from selector.inference.answer import Answer, Desk, Option
from selector.inference.changes import changes, settings
from selector.inference.moves import Move
from selector.inference.verdict import Finding
from selector.inference.worked import with_worked
from selector.model.fact import Fact
from selector.model.job import StackPlan
from selector.model.truth import Word

_HOLE = re.compile(r"\{(\w+)\.([^{}]+)\}")  # a value in a message; a bare letter is a name


@dataclass(frozen=True)
class Swapped:
    """The word of a change as it was asked for, and what comes with it.

    `answer` is that of the changed stack; its `changes` are ways out of a refusal. `fresh` are
    conditions that nobody accepted yet, `met` those that were accepted with the original;
    `confirm` are figures from memory that nobody looked up for the original either. `own` are those
    of `fresh` and `confirm` that the original has too, word for word, and nobody accepted there.
    """

    stack: str
    before: Option
    answer: Answer
    word: Word
    moved: tuple[Move, ...]
    fresh: tuple[Finding, ...]
    met: tuple[Finding, ...]
    confirm: tuple[Fact, ...]
    own: tuple[Finding | Fact, ...]
    brings: tuple[str, ...]  # kit lines that come with the new parts
    leaves: tuple[str, ...]  # kit lines that nothing asks for any more
    void: tuple[str, ...]  # figures to be worked out anew

    @property
    def option(self) -> Option:
        """The changed stack."""
        return self.answer.options[0]


def swapped(
    desk: Desk, other: Desk, stack: str, *, void: tuple[str, ...] = (), places_moved: bool = False
) -> Swapped:
    """The change from the stack of one desk to that of the same name on the other."""
    desk = with_worked(desk, stack)
    other = with_worked(other, stack, before=desk)
    before = desk.planned(desk.job.stacks[stack])
    answer = replace(other.stack(stack), changes=changes(other, stack))
    return change_of(desk, before, other, answer, stack, void, places_moved)


def change_of(
    desk: Desk,
    before: Option,
    other: Desk,
    answer: Answer,
    stack: str,
    void: tuple[str, ...] = (),
    places_moved: bool = False,
) -> Swapped:
    """The change, where both stacks are judged already."""
    [option] = answer.options
    old, plan = desk.job.stacks[stack], other.job.stacks[stack]
    taken = accepted_of(old)
    accepted = set() if places_moved else taken
    named = {f.rule.id: f for f in option.verdict.conditions}
    known = _figures((*before.verdict.conditions, *before.verdict.duties))
    met = tuple(
        f for k, f in sorted(named.items()) if k in accepted and _figures([f])[k] == known.get(k)
    )
    fresh = tuple(f for _, f in sorted(named.items()) if f not in met)
    fresh += tuple(f for f in option.verdict.duties if _says_otherwise(f, known))
    confirm = tuple(
        f
        for f in option.verdict.confirm
        if _number(f) not in accepted or not _is_same(f, before.verdict.confirm)
    )
    had = _figures(before.verdict.conditions)
    own: tuple[Finding | Fact, ...] = tuple(
        f
        for f in fresh
        if f.rule.id not in taken and _figures([f])[f.rule.id] == had.get(f.rule.id)
    )
    own += tuple(
        f
        for f in confirm
        if _number(f) not in taken and _shown(f) in map(_shown, before.verdict.confirm)
    )
    word = answer.word
    if word == Word.CONDITIONAL and not fresh and not confirm:
        word = Word.ALLOWED
    here, there = settings(desk, old, before), settings(other, plan, option)
    moved = tuple((k, here[k], there[k]) for k in here if here[k] != there[k])
    lines, now = _lines(desk, before), _lines(other, option)
    return Swapped(
        stack=stack,
        before=before,
        answer=replace(answer, kind="swap", word=word),
        word=word,
        moved=moved,
        fresh=fresh,
        met=met,
        confirm=confirm,
        own=own,
        brings=tuple(line for line in now if line not in lines),
        leaves=tuple(line for line in lines if line not in now),
        void=void,
    )


def accepted_of(plan: StackPlan) -> set[str]:
    """Rules and numbers that were accepted: first word of each entry, before paper or date."""
    return {entry.partition(",")[0].strip() for entry in plan.accepted}


def _figures(findings: Iterable[Finding]) -> dict[str, tuple[str, ...]]:
    """What the messages of rules say besides names: values of all that they read, by rule."""
    found: dict[str, set[str]] = {}
    for finding in findings:
        view = finding.judgement.view
        values = found.setdefault(finding.rule.id, set())
        for letter, name in _HOLE.findall(finding.rule.message):
            role = finding.rule.roles.get(letter, letter)
            path = f"{role}.{name.removesuffix('.fact')}"
            values.add(f"{path}: {view.read(path).value}")
    return {rule: tuple(sorted(values)) for rule, values in found.items()}


def _says_otherwise(duty: Finding, known: dict[str, tuple[str, ...]]) -> bool:
    """Whether a standing duty has other figures than it had, or none stood there before."""
    return _figures([duty])[duty.rule.id] != known.get(duty.rule.id)


def _is_same(fact: Fact, facts: Iterable[Fact]) -> bool:
    """Whether it is the figure that stood behind the original; a number of the trade has one."""
    return fact.path.startswith("trade.") or _shown(fact) in map(_shown, facts)


def _shown(fact: Fact) -> tuple[str, str]:
    """A figure by its name and its value."""
    return fact.path, fact.shown


def _number(fact: Fact) -> str:
    """Name of a figure as `accepted` gives it: that of a number of the trade, else its path."""
    return fact.path.removeprefix("trade.")


def _lines(desk: Desk, option: Option) -> tuple[str, ...]:
    """Kit lines that the parts of a stack bring along."""
    parts = [desk.part(part).shape for part in option.core.parts]
    return tuple(dict.fromkeys(line for p in parts for line in getattr(p, "brings", ())))
