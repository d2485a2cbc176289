"""The windows between the clips as data: schema clips/1, lengths in mm, forces in kN."""

from collections.abc import Iterable
from typing import Any

from selector.explanation.clips.telling import ClipTelling
from selector.layout.clip_windows import FAR, Window
from selector.layout.least_change import Change, Limit, Line, Miss, Task

SCHEMA = "clips/1"
MM, KN = 1_000, 1_000_000


def clips_data(telling: ClipTelling, version: str) -> dict[str, Any]:
    """Everything on the page, and all windows."""
    answer, case = telling.answer, telling.answer.case
    task, found, change = case.task, answer.found, answer.change
    lines = () if found is None else found.lines
    return {
        "schema": SCHEMA,
        "seamwright": version,
        "base": telling.base.digest,
        "job": case.job,
        "as_of": case.as_of,
        "array": case.array,
        "plane": case.plane,
        "stack": case.stack,
        "clamp": case.clamp,
        "demo": list(case.invented),
        "word": answer.word.text,
        "early": answer.early,
        "text": telling.say(f"clips.word.{telling.kind}"),
        "clips": case.ground,
        "unit": "mm",
        "mark": [_line(telling, x, answer.lines) for x in answer.lines],
        "moved_first": None if not answer.lines or change is None else _change(telling, change),
        "lines": [_line(telling, x, lines) for x in lines],
        "shifts": [] if found is None else _windows(found.shifts),
        "row_shifts": [] if found is None else [_windows(one) for one in found.row_shifts],
        "changes": [] if found is None else [_change(telling, c) for c in found.changes],
        "roomier": _roomier(telling),
        "drawn": [
            {"rail": d.id, "at": _mm(d.height), "miss": _miss(telling, d.miss)}
            for d in answer.drawn
        ],
        "open": [
            {
                "word": one.word.text,
                "kind": one.kind,
                "about": one.about,
                "given": one.given,
                "allowed": one.allowed,
                "text": telling.missing(one),
            }
            for one in case.opens
        ],
        "unmarked": list(case.unmarked),
        "marks_seen": case.seen,
        "pattern": case.pattern,
        "task": None if task is None else _task(task),
        "share_lacks": list(case.lacking),
    }


def _mm(value: int | None) -> float | None:
    return None if value is None or abs(value) >= FAR // 2 else value / MM


def _windows(windows: Iterable[Window]) -> list[list[float | None]]:
    return [[_mm(w.low), _mm(w.high)] for w in windows]


def _line(telling: ClipTelling, line: Line, lines: tuple[Line, ...]) -> dict[str, Any]:
    below, above = telling.limits(lines, line)
    return {
        "row": line.row,
        "line": line.line,
        "zone": _windows(line.zone),
        "windows": _windows(line.windows),
        "after_share": None if line.borne is None else _windows(line.borne),
        "at": _mm(line.height) if line.miss is None else None,
        "ends": {"below": _limit(below), "above": _limit(above)} if line.window else None,
        "miss": _miss(telling, line.miss),
    }


def _limit(limit: Limit) -> dict[str, Any]:
    """A mark on a seam; both empty where it is the clamping zone."""
    return {"seam": limit.seam or None, "mark": _mm(limit.mark)}


def _miss(telling: ClipTelling, miss: Miss | None) -> dict[str, Any] | None:
    if miss is None:
        return None
    share = miss.cause == "share"
    return {
        "cause": miss.cause,
        "at": _mm(miss.height),
        "short": miss.short / (KN if share else MM),
        "unit": "kN" if share else "mm",
        "seam": miss.seam or None,
        "mark": _mm(miss.mark),
        "text": telling.miss(miss),
    }


def _change(telling: ClipTelling, change: Change) -> dict[str, Any]:
    return {
        "kind": change.kind,
        "effort": change.effort,
        "by": [_mm(x) for x in change.by],
        "seams": list(change.seams),
        "lines": change.lines,
        "ranges": _windows(change.ranges),
        "set": [
            {"row": x.row, "line": x.line, "at": _mm(x.height), "windows": _windows(x.left)}
            for x in change.set
        ],
        "text": telling.change(change),
    }


def _roomier(telling: ClipTelling) -> dict[str, Any] | None:
    found = telling.answer.found
    roomier = None if found is None else found.roomier
    return None if roomier is None else _change(telling, roomier)


def _task(task: Task) -> dict[str, Any]:
    pull = task.pull
    return {
        "distance": _mm(task.reach.distance),
        "setting_out": _mm(task.reach.slack),
        "widest_bay": _mm(task.reach.widest),
        "rail_lines": task.lines,
        "rows_from_eave": [_mm(y) for y in task.block.rows],
        "module": _mm(task.block.length),
        "gap": _mm(task.block.gap),
        "room": [_mm(x) for x in task.room],
        "seams": {s.id: [_mm(sum(m) // 2) for m in s.marks] for s in task.seams},
        "between": {s.id: [_mm(sum(m) // 2) for m in s.marks] for s in task.between},
        "share": None
        if pull is None
        else {
            "force_kn": pull.force / KN,
            "spare_kn": pull.spare / KN,
            "factor": float(pull.factor),
        },
    }
