"""A substitution as plain data, schema `swap/1`."""

from typing import Any

from selector.explanation.as_json import answer_data, exit_code, released
from selector.explanation.swap.telling import SwapTelling
from selector.explanation.swap.van import VanTelling
from selector.inference.reach import Side

SCHEMA = "swap/1"


def swap_data(told: SwapTelling, version: str, van: VanTelling | None = None) -> dict[str, Any]:
    """The whole answer; `answer` is that of the changed stack, as `judge` would give it."""
    swapped = told.swapped
    answer = answer_data(swapped.answer, told.base, told.job, version)
    return {
        "schema": SCHEMA,
        "seamwright": version,
        "base": told.base.digest,
        "job": told.job.id,
        "as_of": told.job.as_of,
        "stack": swapped.stack,
        "word": told.word.text,
        "exit": exit_code(swapped.answer),
        "demo": list(swapped.answer.invented),
        "released": released(swapped.answer),
        "before": swapped.before.verdict.word.text,
        "set": [{"path": path, "from": old, "to": new} for path, old, new in told.sets],
        "moved": [{"slot": slot, "from": a, "to": b} for slot, a, b in swapped.moved],
        "why": [{"title": title, "text": text} for title, text in told.reasons()],
        "conditions": _groups(told.conditions()),
        "own": _groups(told.own()),
        "new": [f.rule.id for f in swapped.fresh] if told.word.is_yes else [],
        "accepted": [f.rule.id for f in swapped.met],
        "follows": told.follows(),
        "brings": list(swapped.brings),
        "leaves": list(swapped.leaves),
        "void": list(swapped.void),
        "cannot": [{"text": text, "who": who} for text, who in told.cannot()],
        "way_out": told.ways_out(),
        "reach": [
            {"rail": r.rail, "at": r.at, "up": _side(r.up), "down": _side(r.down)}
            for r in told.reaches
        ],
        "anchor": told.say("swap.anchor"),
        "van": None if van is None else van.data(),
        "answer": answer,
    }


def _groups(groups: list[tuple[str, list[str]]]) -> list[dict[str, Any]]:
    return [{"group": name, "texts": texts, "text": "; ".join(texts)} for name, texts in groups]


def _side(side: Side) -> dict[str, Any]:
    """How far this way, in micrometres, and what says no beyond."""
    word = None if side.word is None else side.word.text
    return {"by": side.by, "rules": list(side.rules), "word": word}
