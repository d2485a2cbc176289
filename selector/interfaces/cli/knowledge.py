"""The commands of the knowledge owner."""

import json
from pathlib import Path

from selector.interfaces.cli.screen import to_screen
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.maintenance.checks.base_check import Report, check_base

SCHEMA = "check/1"


def check(*, as_json: bool, kb: Path | None) -> int:
    """Check the base; 0 sound, 2 not."""
    base = load_base(kb)
    report = check_base(base)
    with to_screen():
        _say(base, report, as_json=as_json)
    return 2 if report.problems else 0


def _say(base: Base, report: Report, *, as_json: bool) -> None:
    code = 2 if report.problems else 0
    if as_json:
        data = {
            "schema": SCHEMA,
            "base": base.digest,
            "sound": code == 0,
            "counts": report.counts,
            "problems": [_row(p) for p in report.problems],
            "notes": [_row(p) for p in report.notes],
        }
        print(json.dumps(data, indent=1, ensure_ascii=False))
        return
    for problem in report.problems:
        print(f"error: {problem}")
    for note in report.notes:
        print(f"note: {note}")
    counts = ", ".join(f"{n} {what}" for what, n in report.counts.items())
    print(f"{'NOT SOUND' if code else 'sound'}: {counts}; base {base.digest[:12]}")


def _row(problem: object) -> dict[str, object]:
    return {k: getattr(problem, k) for k in ("file", "line", "text", "remedy")}
