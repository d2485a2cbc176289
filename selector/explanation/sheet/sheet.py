"""The whole sheet of a case, in the order in which a crew needs it."""

from selector.explanation.sheet import built, told
from selector.explanation.sheet.blocks import RoofSheet
from selector.explanation.sheet.case import Case
from selector.explanation.sheet.head import head_of

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
    return RoofSheet(head_of(case, "sheet.title"), tuple(part(case) for part in ORDER))
