"""The whole explanation of a named stack as data: reasons, changes, second looks, contrast."""

from dataclasses import dataclass, replace

from selector.inference.answer import Answer, Change, Desk, Option
from selector.inference.bystanders import bystanders
from selector.inference.changes import MOST, milder, settings, smallest
from selector.inference.column import Column, column
from selector.inference.contrast import Contrast, contrast
from selector.inference.flip import flips_of
from selector.inference.grounds import Grounds, grounds
from selector.inference.second_look import SecondLook, second_looks
from selector.inference.spare import without_spare
from selector.model.truth import Word


@dataclass(frozen=True)
class Nearest:
    """The stack with the fewest changes that is a yes, or at least milder, slot by slot."""

    change: Change
    rows: tuple[tuple[str, str | None, str | None], ...]  # what, this stack, the nearest one


@dataclass(frozen=True)
class Why:
    """Why a stack has its word; for a yes there is nothing but the answer and the column."""

    answer: Answer
    grounds: Grounds
    looks: tuple[SecondLook, ...]
    nearest: Nearest | None
    column: Column
    contrast: Contrast | None = None

    @property
    def option(self) -> Option:
        """The stack."""
        return self.answer.options[0]

    @property
    def word(self) -> Word:
        """Its word."""
        return self.answer.word


def why(desk: Desk, stack_id: str, against: tuple[Desk, str] | None = None) -> Why:
    """Explain a named stack; `against` is another desk with a stack to hold beside it."""
    plan = desk.job.stacks[stack_id]
    answer = desk.stack(stack_id)
    [option] = answer.options
    found = milder(desk, stack_id)
    answer = replace(
        answer,
        changes=tuple(smallest(found))[:MOST],
        flips=flips_of(desk.judge, option.verdict),
        bystanders=bystanders(option.judgements, option.verdict),
    )
    refused = answer.word >= Word.ENGINEER
    reasons = grounds(option.verdict) if not answer.word.is_yes else Grounds(())
    if refused:
        reasons = without_spare(desk, plan, reasons, answer.word)
    array = desk.job.arrays[plan.array]
    return Why(
        answer=answer,
        grounds=reasons,
        looks=second_looks(desk, plan, option, reasons) if refused else (),
        nearest=_nearest(desk, stack_id, option, found),
        column=column(desk, option, array, reasons.findings),
        contrast=contrast(desk, plan, reasons, *against) if against is not None else None,
    )


def _nearest(desk: Desk, stack_id: str, option: Option, found: list[Change]) -> Nearest | None:
    """Of all milder stacks the first that is a yes; else the first; none that waits for a paper."""
    found = [c for c in found if not c.who]
    first = next((c for c in found if c.option.verdict.word.is_yes), next(iter(found), None))
    if first is None:
        return None
    moved = {slot: after for slot, _, after in first.moved}
    before = settings(desk, desk.job.stacks[stack_id], option)
    extra = {slot: old for slot, old, _ in first.moved if slot not in before}
    rows = [(k, v, moved.get(k, v)) for k, v in (before | extra).items()]
    return Nearest(first, tuple(r for r in rows if r[1] or r[2]))
