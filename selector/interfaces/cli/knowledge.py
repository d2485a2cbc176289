"""The commands of the knowledge owner."""

from pathlib import Path

from selector.explanation.dumped import dumped
from selector.explanation.texts import Texts
from selector.interfaces.cli.screen import in_language, to_screen
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.maintenance.checks.base_check import Report, check_base

SCHEMA = "check/1"


def check(*, as_json: bool, kb: Path | None, lang: str | None) -> int:
    """Check the base; 0 sound, 2 not."""
    base = in_language(load_base(kb), lang)
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
        print(dumped(data))
        return
    say = Texts.of(base).say
    for problem in report.problems:
        print(say("check.error", problem=problem))
    for note in report.notes:
        print(say("check.note", problem=note))
    counts = ", ".join(say(f"check.count.{what}", n=n) for what, n in report.counts.items())
    sound = "check.not_sound" if code else "check.sound"
    print(say(sound, counts=counts, digest=base.digest[:12]))


def _row(problem: object) -> dict[str, object]:
    return {k: getattr(problem, k) for k in ("file", "line", "text", "remedy")}
