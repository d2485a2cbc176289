"""Clips under all clamps of all rows: those that carry most, by both methods, and what is open."""

from typing import Any

from selector.explanation.links.chain import Chain
from selector.explanation.loads.telling import KILO, LoadsTelling
from selector.explanation.why.sheet import Sheet
from selector.facts.actions.model import Ends, Open
from selector.facts.links.clip_figures import least_n
from selector.facts.links.clip_sums import METRE, ClipLoad, ClipSums

MOST = 5  # clips that are told; the data hold all
COLUMNS = (7, 5, 8, 13, 13, 9, 13)
OWN_COLUMNS = (7, 5, 8, 10, 14, 13)
NAMED = 6  # seams that are named one by one


def clip_lines(sheet: Sheet, chain: Chain) -> None:
    """The section of the page; nothing where no clip sum was worked out."""
    sums, telling, say = chain.clips, chain.telling, chain.telling.say
    if sums is None:
        return
    sheet.head(say("links.clips.head"))
    other = "hand" if sums.method == "influence" else "influence"
    methods = {
        "method": say(f"links.clips.by.{sums.method}"),
        "other": say(f"links.clips.by.{other}"),
    }
    if sums.clips:
        sheet.add("", say("links.clips.what", n=len(sums.clips), **methods))
        titles = ("seam", "clip", "height", "gets", "beside", "takes", "used")
        rows = [tuple(say(f"links.clips.{title}") for title in titles)]
        sheet.rows([*rows, *(_row(chain, one) for one in _most_used(sums))], COLUMNS)
    _own(sheet, telling, sums)
    _paper(sheet, chain, sums)
    for one, seams in _opens(sums):
        mark = telling.texts.word(one.word.text).ljust(12)
        sheet.add(mark, _open(telling, one, seams))


def _own(sheet: Sheet, telling: LoadsTelling, sums: ClipSums) -> None:
    """What the sheet itself takes of a gross record, at the clips above; nothing without one."""
    say, own = telling.say, sums.own
    shown = [one for one in _most_used(sums) if one.suction_n is not None and one.gross_n]
    if own is None or not shown:
        return
    inner = telling.shown(f"{own.inner:g}")
    sheet.add("", say("links.clips.own", inner=inner, status=telling.texts.word(own.status)))
    titles = ("seam", "clip", "height", "gross", "suction", "spare")
    rows = [tuple(say(f"links.clips.{title}") for title in titles)]
    for one in shown:
        height = telling.metres((one.at[0] + one.at[1]) / 2 / METRE)
        gross = telling.bare_kn(Ends(one.gross_n or 0.0, one.gross_n or 0.0))
        both = (telling.bare_kn(f) for f in (one.suction_n, one.spare_n) if f is not None)
        rows.append((one.seam, str(one.mark), height, gross, *both))
    sheet.rows(rows, OWN_COLUMNS)


def _paper(sheet: Sheet, chain: Chain, sums: ClipSums) -> None:
    """Says where the figure that counts is milder than this sum: a paper has stated it."""
    telling, worst = chain.telling, sums.worst
    counts = next((link.demand for link in chain.links if link.name == "clip"), None)
    found = None if worst is None else worst.demand_n
    if counts is None or found is None or found.high <= counts.high * KILO:
        return
    least = least_n(sums)
    name, end = "above_paper", found.high
    if least > counts.high * KILO:
        name, end = "below_paper", least
    paper, own = (telling.kn(Ends(x, x)) for x in (counts.high * KILO, end))
    sheet.add("! ", telling.say(f"links.clips.{name}", paper=paper, sum=own))


def clips_data(telling: LoadsTelling, sums: ClipSums) -> dict[str, Any]:
    """Every clip with a demand, in N, seam by seam from the eave."""
    return {
        "method": sums.method,
        "word": sums.word.text,
        "open": [
            {
                "word": one.word.text,
                "kind": one.kind,
                "seams": seams,
                "text": _open(telling, one, seams),
            }
            for one, seams in _opens(sums)
        ],
        "clips": [
            {
                "seam": one.seam,
                "clip": one.mark,
                "height_m": [one.at[0] / METRE, one.at[1] / METRE],
                "influence": list(one.influence_n),
                "hand": None if one.hand_n is None else list(one.hand_n),
                "spare": None if one.spare_n is None else list(one.spare_n),
                "gross": one.gross_n,
                "suction": None if one.suction_n is None else list(one.suction_n),
                "word": one.word.text,
            }
            for one in sums.clips
        ],
    }


def _most_used(sums: ClipSums) -> list[ClipLoad]:
    """Those with the largest ratio first; where none is known, with the largest demand."""

    def used(one: ClipLoad) -> tuple[float, float]:
        return one.ratio.high if one.ratio else 0.0, one.influence_n.high

    return sorted(sums.clips, key=used, reverse=True)[:MOST]


def _row(chain: Chain, one: ClipLoad) -> tuple[str, ...]:
    telling = chain.telling
    beside = one.hand_n if one.method == "influence" else one.influence_n
    nothing = telling.say("links.clips.nothing")
    height = telling.metres((one.at[0] + one.at[1]) / 2 / METRE)
    forces = (
        nothing if f is None else telling.bare_kn(f) for f in (one.demand_n, beside, one.spare_n)
    )
    used = nothing if one.ratio is None else chain.share(one.ratio)
    return (one.seam, str(one.mark), height, *forces, used)


def _opens(sums: ClipSums) -> list[tuple[Open, list[str]]]:
    """What is open, each kind once with its seams, the strongest word first."""
    seams: dict[tuple[str, str], tuple[Open, list[str]]] = {}
    for one in [*sums.opens, *(o for clip in sums.clips for o in clip.opens)]:
        _, names = seams.setdefault((one.kind, one.about), (one, []))
        if one.given not in names:
            names.append(one.given)
    return sorted(seams.values(), key=lambda found: -found[0].word)


def _open(telling: LoadsTelling, one: Open, seams: list[str]) -> str:
    if one.kind == "missing":
        return telling.missing(one)
    names = ", ".join(seams[:NAMED])
    if len(seams) > NAMED:
        names = telling.say("links.clips.and_more", names=names, n=len(seams) - NAMED)
    return telling.say(f"links.clips.open.{one.kind}", seams=names)
