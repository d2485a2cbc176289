"""Papers of a job: what they cover, and the topics that only some kinds of paper settle."""

from selector.facts.view import View, reads
from selector.model.fact import Fact, Reading
from selector.model.job import Paper
from selector.model.quantity import Filled

ENGINEER = Paper.STATES_RESERVE
# topic of a rule -> word under `covers`, and the kinds of paper that count; none: every kind
TOPICS: dict[str, tuple[str, tuple[str, ...]]] = {
    "roofer_consent": ("roofer consent", ()),
    "roof_life": ("remaining life", ()),
    "lightning": ("lightning", ()),
    "fire": ("fire", ()),
    "access": ("safe access", ()),
    "washing": ("washing plan", ()),
    "snow_from_above": ("snow from a higher roof", ENGINEER),
}
OF_THE_ROOF = "papers of the roof system"  # this kind tells of the roof, whatever it covers


def valid_papers(view: View) -> list[Paper]:
    """Papers of the job that have not run out."""
    job = view.job
    if job is None:
        return []
    return [p for p in job.papers.values() if p.counts_on(job.as_of)]


def on_paper(view: View, path: str, found: list[Paper], missing: str) -> Reading:
    """The first of these papers, or the fact that there is none."""
    if view.job is None:
        return view.unknown(path, "not asked")
    if not found:
        fact = Fact(path, "papers", missing, view.job.file, "", "measured")
        return view.known(path, Filled(None), fact)
    paper = found[0]
    fact = Fact(path, paper.id, paper.title, f"{view.job.file}:{paper.line}", "paper")
    return view.known(path, Filled(paper.title), fact)


def _topic(topic: str, text: str, kinds: tuple[str, ...]) -> None:
    path = f"site.papers.{topic}"

    @reads(path, "filled")
    def paper_on(view: View) -> Reading:
        found = [
            p for p in valid_papers(view) if text in p.covers and (not kinds or p.kind in kinds)
        ]
        return on_paper(view, path, found, f"no paper on {text}")


for _name, (_text, _kinds) in TOPICS.items():
    _topic(_name, _text, _kinds)


@reads("site.papers.roof", "filled")
def papers_of_the_roof(view: View) -> Reading:
    """A paper that tells of the roof itself: its system, its invoice, its drawing."""
    found = [
        p
        for p in valid_papers(view)
        if p.kind == OF_THE_ROOF or {"roof", "sheet data"} & {*p.covers}
    ]
    return on_paper(view, "site.papers.roof", found, "no papers of the roof")


def _calculated(name: str, wanted: tuple[str, ...], missing: str) -> None:
    path = f"array.{name}"

    @reads(path, "filled")
    def calculated(view: View) -> Reading:
        array = view.binding.array
        if array is None:
            return view.unknown(path, "not asked")
        all_wanted = {f"array {array.id}", *wanted}
        found = [
            p
            for p in valid_papers(view)
            if p.kind in Paper.STATES_FIGURES and all_wanted <= set(p.covers)
        ]
        return on_paper(view, path, found, missing)


_calculated("loads_calculated", (), "no engineer has calculated this array")
_calculated(
    "rows_calculated",
    ("elevated", "drift snow", "wind from behind"),
    "no calculation of this array with drift snow and wind from behind",
)
_calculated(
    "rear_calculated",
    ("elevated", "front and rear clamps"),
    "no calculation that tells front and rear clamps apart",
)


@reads("plane.looked_inside", "filled")
def looked_inside(view: View) -> Reading:
    """What stands for papers of a roof: a look at the deck, an opened clip, its nails."""
    path = "plane.looked_inside"
    plane = view.binding.plane
    if plane is None:
        return view.unknown(path, "not asked")
    for name in ("plane.deck.kind", "plane.clips.nails", "plane.clips.kind"):
        reading, sighted = view.read(name), view.sighted(name)
        if reading.because and sighted is not None:
            seen = view.seen(sighted, plane.id)
            return Reading(Filled(seen.seen or seen.shown), reading.because, path, plane.id)
    fact = Fact(path, plane.id, "nobody looked inside", "", "")
    asks = ("plane.deck.kind",)
    return Reading(Filled(None), (frozenset({fact}),), path, plane.id, asks)
