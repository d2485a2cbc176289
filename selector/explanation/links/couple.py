"""An elevated array: what its front and rear lines get, laid out for the engineer."""

from typing import Any

from selector.explanation.links.chain import Chain
from selector.explanation.loads.telling import LoadsTelling
from selector.explanation.why.sheet import Sheet
from selector.facts.actions.model import Ends, Open
from selector.facts.links.couple import CoupleRow

COLUMNS = (32, 14, 14, 14)


def couple_lines(sheet: Sheet, chain: Chain) -> None:
    """The section of the page; nothing where the modules lie parallel to the roof."""
    found, telling, say = chain.couple, chain.telling, chain.telling.say
    if found is None:
        return
    sheet.head(say("links.couple.head"))
    if isinstance(found, Open):
        mark = telling.texts.word(found.word.text).ljust(12)
        sheet.add(mark, say(f"links.couple.{found.kind}"))
        return
    tilt = telling.shown(f"{found.tilt_deg:g} deg")
    apart = telling.shown(f"{found.apart_m * 1000:.0f} mm")
    sheet.add("", say("links.couple.what", tilt=tilt, apart=apart))
    titles = ("place", "front", "rear", "down")
    rows = [tuple(say(f"links.couple.{title}") for title in titles)]
    rows += [_row(telling, row) for row in found.rows]
    sheet.rows(rows, COLUMNS)
    higher = telling.kn(Ends(found.higher_n, found.higher_n))
    sheet.add("", say("links.couple.higher", force=higher))


def couple_data(chain: Chain) -> dict[str, Any] | None:
    """As data, forces in N."""
    found = chain.couple
    if found is None:
        return None
    if isinstance(found, Open):
        return {"word": found.word.text, "missing": found.about}
    return {
        "word": "engineer",
        "tilt_deg": found.tilt_deg,
        "apart_m": found.apart_m,
        "for_each_kpa": [_data(row) for row in found.rows if row.at is not None],
        "weight": [_data(row) for row in found.rows if row.at is None],
        "rear_for_0.1_m_higher": found.higher_n,
    }


def _data(row: CoupleRow) -> dict[str, Any]:
    forces = {"front": row.front_n, "rear": row.rear_n, "down_slope": row.down_slope_n}
    return {"at": row.at, **{name: list(ends) for name, ends in forces.items()}}


def _row(telling: LoadsTelling, row: CoupleRow) -> tuple[str, ...]:
    name = telling.say("links.couple.weight")
    if row.at is not None:
        name = telling.say("links.couple.at", share=telling.shown(f"{row.at:g}"))
    return (name, *(telling.bare_kn(e) for e in (row.front_n, row.rear_n, row.down_slope_n)))
