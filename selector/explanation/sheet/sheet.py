"""The whole sheet of a case, in the order in which a crew needs it."""

from selector.explanation.sheet import built, told
from selector.explanation.sheet.blocks import RoofSheet
from selector.explanation.sheet.case import Case

ORDER = (
    told.verdict,
    told.observed,
    told.stack,
    told.forbidden,
    built.plan,
    built.section,
    built.torque,
    built.kit,
    built.checks,
    built.cautions,
    built.versions,
    built.signatures,
    built.log,
)


def sheet_of(case: Case) -> RoofSheet:
    """Every section of the sheet; none of them is left out, each says why where it is empty."""
    say = case.say
    state = say("sheet.released" if case.released else "sheet.not_released")
    banner = [f"{case.texts.word(case.word.text).upper()} · {state}"]
    if case.invented:
        banner.append(say("sheet.banner_demo", names=", ".join(case.invented)))
    names = {"job": case.job.id, "array": case.array.id, "as_of": case.job.as_of}
    banner.append(say("sheet.banner", **names))
    return RoofSheet(
        language=case.base.language,
        title=say("sheet.title", **names),
        banner=tuple(banner),
        foot=say("answer.foot", version=case.version, digest=case.base.digest[:12]),
        sections=tuple(part(case) for part in ORDER),
    )
