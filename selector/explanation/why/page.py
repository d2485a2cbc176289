"""The whole explanation as lines of text, in the order of the voice it is told in."""

from collections.abc import Callable

from selector.explanation.at_odds import at_odds
from selector.explanation.console import CAUTIONS
from selector.explanation.why import beside, reasons, remedies
from selector.explanation.why.picture_text import picture
from selector.explanation.why.sheet import WIDTH, Sheet
from selector.explanation.why.short import short
from selector.explanation.why.telling import Telling

Section = Callable[[Sheet, Telling], None]
SECTIONS: dict[str, Section] = {
    "reasons": reasons.reasons,
    "waits": reasons.waits,
    "changes": remedies.changes,
    "not a reason": remedies.not_a_reason,
    "looks": remedies.looks,
    "nearest": beside.nearest,
    "contrast": beside.contrast,
    "picture": picture,
}
ORDER = {
    "roofer": tuple(SECTIONS),
    "sales": (
        *("nearest", "changes", "looks", "waits"),
        *("reasons", "not a reason", "contrast", "picture"),
    ),
    "owner": (
        *("reasons", "waits", "changes", "looks"),
        *("not a reason", "contrast", "nearest", "picture"),
    ),
    "engineer": (
        *("reasons", "waits", "looks", "not a reason"),
        *("changes", "nearest", "contrast", "picture"),
    ),
}


def page(telling: Telling, version: str, width: int = WIDTH) -> list[str]:
    """Every line of the explanation."""
    sheet = Sheet(width)
    _head(sheet, telling)
    _look_again(sheet, telling)
    if telling.why.word.is_yes:
        beside.contrast(sheet, telling)
        picture(sheet, telling)
    else:
        for name in ORDER[telling.voice]:
            SECTIONS[name](sheet, telling)
    sheet.lines.append("")
    for caution in CAUTIONS:
        sheet.add("! ", telling.say(caution))
    digest = telling.base.digest[:12]
    sheet.add("", telling.say("answer.foot", version=version, digest=digest))
    return sheet.lines


def _head(sheet: Sheet, telling: Telling) -> None:
    why, say = telling.why, telling.say
    job, word = telling.job, telling.word(why.word.text)
    name = why.option.name
    sheet.add("", say(f"why.head.{why.word.text}", stack=name, job=job.id, as_of=job.as_of))
    if why.answer.invented:
        sheet.add("", say("answer.demo", names=", ".join(why.answer.invented)))
    sheet.add("", say("why.told_for", who=say(f"why.voice.{telling.voice}")))
    sheet.lines.append("")
    if why.word.is_yes:
        sheet.add("", say("why.yes", word=word.upper()))
    else:
        meaning = say(f"word.{why.word.text}.means")
        sheet.add("", say("answer.word", word=word.upper(), meaning=meaning))
    core = why.option.core.id + (
        f" + {_short(why.option.module_clamp)}" if why.option.module_clamp else ""
    )
    sheet.add("", say("why.stack", name=name, core=core))
    if telling.taken:
        sheet.add("", say(f"why.taken.{telling.taken}"))
    if why.option.verdict.withheld:
        sheet.add("", say("why.withheld"))
    if not why.word.is_yes:
        short(sheet, telling)


def _look_again(sheet: Sheet, telling: Telling) -> None:
    """What was seen and excludes each other comes before all that follows from it."""
    found = list(at_odds(telling.why.answer, telling.job, telling.base, telling.texts))
    if found:
        sheet.head(telling.say("contradictory.head"))
    for mark, line in found:
        sheet.add(mark, line)


def _short(part_id: str | None) -> str:
    return (part_id or "").partition("/")[2]
