"""One job judged again: its row for the report, and what the row says of the word before."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from selector.errors import INTERNAL, InputError
from selector.explanation.as_json import exit_code
from selector.inference.answer import Answer
from selector.inference.judge import Judge
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string, read_text
from selector.model.truth import Word
from selector.store.answering import asked_of, brief
from selector.store.differs import answer_in
from selector.store.tasks import Task

Row = dict[str, Any]
REMEMBERED = 20_000  # results of subjects that a worker keeps for jobs that are alike
BAD_INPUT = 2
JOB = "seamwright: job/"
NO_JOB = "no job"
# What became of a word; the report lists them in this order.
CHANGES = ("milder", "stricter", "same", "first", "fault", NO_JOB)


@dataclass(frozen=True)
class Bench:
    """One base, or two to compare, with a judge that remembers alike subjects."""

    bases: tuple[Base, ...]  # the one that counts, then the one before
    judges: tuple[Judge, ...]

    @classmethod
    def of(cls, bases: tuple[Base, ...]) -> "Bench":
        """A judge for each base; equal rules share one memory."""
        judges = tuple(map(Judge, bases))
        for other in judges[1:]:
            other.share(judges[0])
        return cls(bases, judges)

    def row(self, task: Task) -> Row:
        """Row of one job; what is wrong with it stands in the row and stops no other job."""
        row: Row = {"name": task.name, "state": task.state}
        try:
            return row | self._judged(task)
        except InputError as error:
            fault = str(error.problems[0])
            return row | _nothing("fault", BAD_INPUT, fault)
        except Exception as error:
            fault = f"internal error: {type(error).__name__}: {error}"
            return row | _nothing("fault", INTERNAL, fault)
        finally:
            for judge in self.judges:
                judge.forget(REMEMBERED)

    def _judged(self, task: Task) -> Row:
        text = task.text or read_text(Path(task.path), task.file)
        if task.path and not any(line.startswith(JOB) for line in text.splitlines()):
            return _nothing(NO_JOB, 0, "")
        found: list[tuple[Answer, str]] = []
        asked = task.asked
        for base, judge in zip(self.bases, self.judges, strict=True):
            job = job_of(read_string(text, task.file), base.vocabulary)
            asked = asked or asked_of(job)
            found.append((brief(base, job, asked, judge), job.id))
        (now, name), *before = found
        row: Row = {"job": name, "asked": asked, "word": now.word.text, "exit": exit_code(now)}
        row["rules"] = rules_of(now)
        if before:
            row |= {"before": before[0][0].word.text, "rules_before": rules_of(before[0][0])}
        else:
            row |= {"before": task.before or None, "rules_before": None}
        return row | {"change": change(row["before"], row["word"]), "fault": ""}


def _nothing(kind: str, code: int, fault: str) -> Row:
    empty: Row = dict.fromkeys(("job", "asked", "word"))
    empty |= {"exit": code, "rules": [], "before": None, "rules_before": None}
    return empty | {"change": kind, "fault": fault}


def change(before: str | None, now: str) -> str:
    """What became of a word."""
    if before is None:
        return "first"
    one, two = Word.of(before), Word.of(now)
    return "milder" if two < one else "stricter" if two > one else "same"


def rules_of(answer: Answer) -> list[str]:
    """Rules that give the word of the best stack, or of what is refused where none is left."""
    found = answer.options[:1] or answer.refusals
    rules = {
        f.rule.id
        for each in found
        for f in each.verdict.findings
        if f.rule.word == answer.word or not f.surely
    }
    return sorted(rules)


def rules_of_data(data: dict[str, Any]) -> list[str]:
    """The same of an answer that was kept."""
    data = answer_in(data)
    found = data["stacks"][:1] or data["refused"]
    return sorted(
        {
            f["rule"]
            for each in found
            for f in each["findings"]
            if f["word"] == data["word"] or not f["surely"]
        }
    )
