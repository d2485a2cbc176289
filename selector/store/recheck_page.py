"""The page of `recheck`: words that changed, loosenings first, and how many of each there are."""

from dataclasses import dataclass
from typing import Any

from selector.explanation.texts import Texts
from selector.explanation.why.sheet import Sheet
from selector.model.truth import Word
from selector.store.recheck import Report
from selector.store.rows import NO_JOB, Row
from selector.store.shown import SHORT, about

LISTED = 20


@dataclass(frozen=True)
class Told:
    """A report and what it was made of."""

    report: Report
    base: str
    against: str  # digest of the base before, or `store`, or empty
    went_on: int
    out: str
    most: int = LISTED


def recheck_page(told: Told, texts: Texts, width: int) -> list[str]:
    """Every line."""
    sheet, say, report = Sheet(width), texts.say, told.report
    jobs = say("store.same_jobs", n=report.total)
    sheet.add("", say("store.recheck.title", jobs=jobs, digest=told.base[:SHORT]))
    kind = "store" if told.against == "store" else "base" if told.against else "none"
    sheet.add("", say(f"store.recheck.before.{kind}", digest=told.against[:SHORT]))
    if told.went_on:
        sheet.add("", say("store.recheck.went_on", n=told.went_on))
    if report.changes.get(NO_JOB):
        sheet.add("", say("store.recheck.no_job", n=report.changes[NO_JOB]))
    if told.against or report.listed:
        sheet.head(say("store.recheck.head"))
        _listed(sheet, told, texts)
    if report.moves:
        sheet.head(say("store.recheck.moves"))
        for (before, now), n in report.moves.items():
            words = {"before": texts.word(before), "now": texts.word(now)}
            sheet.add("  ", say("store.recheck.move", n=n, **words))
    sheet.head(say("store.recheck.words"))
    for word in Word:
        if word.text in report.words:
            n = report.words[word.text]
            sheet.add("  ", say("store.recheck.count", word=texts.word(word.text), n=n))
    if report.changes.get("fault"):
        sheet.add("  ", say("store.recheck.faults", n=report.changes["fault"]))
    if report.changes.get("milder"):
        sheet.lines.append("")
        sheet.add("! ", say("store.recheck.four_eyes"))
    return sheet.lines


def _listed(sheet: Sheet, told: Told, texts: Texts) -> None:
    say, report = texts.say, told.report
    if not report.changed:
        sheet.add("", say("store.recheck.none"))
    shown = report.listed[: told.most]
    for row in shown:
        _row(sheet, row, texts)
    more = report.changed + report.changes.get("fault", 0) - len(shown)
    if more:
        sheet.add("", say("store.recheck.more", n=more))


def _row(sheet: Sheet, row: Row, texts: Texts) -> None:
    say, name = texts.say, row["name"]
    if row["change"] == "fault":
        sheet.add("  ", say("store.recheck.fault", name=name, fault=row["fault"]))
        return
    words = {"now": texts.word(row["word"]), "before": texts.word(row["before"])}
    asked = f"{name}, {about(row['asked'], texts)}"
    kind = "milder" if row["change"] == "milder" else "stricter"
    sheet.add("  ", say(f"store.recheck.{kind}", name=asked, **words))
    now, before = set(row["rules"]), set(row["rules_before"] or ())
    if kind == "milder" and before - now:
        sheet.add("     ", say("store.recheck.no_longer", rules=", ".join(sorted(before - now))))
    if kind == "stricter" and row["rules_before"] is not None and now - before:
        sheet.add("     ", say("store.recheck.new", rules=", ".join(sorted(now - before))))


def recheck_data(told: Told, version: str) -> dict[str, Any]:
    """The report as data, schema `recheck/1`."""
    report = told.report
    return {
        "schema": "recheck/1",
        "seamwright": version,
        "base": told.base,
        "against": told.against or None,
        "out": told.out or None,
        "jobs": report.total,
        "went_on": told.went_on,
        "words": report.words,
        "changes": report.changes,
        "moves": [{"before": b, "now": n, "jobs": c} for (b, n), c in report.moves.items()],
        "listed": list(report.listed),
        "exit": report.exit,
    }
