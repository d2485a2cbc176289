"""Profiles that take only the clamp of their owner, and what the owner's papers settle."""

from selector.facts.papers import OF_THE_ROOF, valid_papers
from selector.facts.parts import word
from selector.facts.split import looks_at
from selector.facts.view import View, reads
from selector.knowledge import schema
from selector.model.fact import Fact, Reading
from selector.model.job import Paper
from selector.model.quantity import Filled

PAPER = "site.papers.owner"  # what is asked for where the owner's document is missing


def owners_papers(view: View, covers: str) -> list[Paper]:
    """Papers of the roof system that cover these words."""
    return [p for p in valid_papers(view) if p.kind == OF_THE_ROOF and covers in p.covers]


def paper_fact(view: View, paper: Paper, path: str) -> Fact:
    """A paper of the owner as a fact with its place."""
    assert view.job is not None
    return Fact(path, paper.id, paper.title, f"{view.job.file}:{paper.line}", "paper")


@reads("clamp.named_by_owner", "choice")
def named_by_owner(view: View) -> Reading:
    """Whether the owner of this roof's profile takes this clamp only, or another one only."""
    path = "clamp.named_by_owner"
    clamp = view.binding.clamp
    if clamp is None or view.job is None:
        return view.unknown(path, "not asked", "", (PAPER,))
    for profile in (
        p for n in view.job.catalogues for p in view.base.catalogues[n].slot("profile")
    ):
        found = owners_papers(view, f"profile {profile.handle}")
        if not found or not isinstance(profile.shape, schema.Profile):
            continue
        only = profile.shape.takes_only
        if only is None:
            return view.known(path, word("any clamp"), paper_fact(view, found[0], path))
        same = clamp.catalogue == profile.catalogue and clamp.handle == only
        text = f"{profile.handle} takes {only} only"
        listed = view.part_fact(profile, path, text, "takes_only")
        value = word("this clamp" if same else "another clamp")
        return view.known(path, value, listed, paper_fact(view, found[0], PAPER))
    shapes = view.words("plane.seam.shape")
    if shapes is None or "asymmetric" in shapes:
        return view.unknown(path, "not asked", clamp.id, (PAPER,))
    fact = Fact(path, "papers", "no paper of an owner names this profile", view.job.file)
    return view.known(path, word("any clamp"), fact)


def leaves_loads_to_owner(view: View) -> bool:
    """Whether every good record of this clamp leaves its figures to the owner's document."""
    clamp = view.binding.clamp
    if clamp is None:
        return False
    own = [r.shape for r in view.base.catalogues[clamp.catalogue].of_clamp(clamp.handle)]
    left = [
        s.uplift == s.slide_down == schema.OWNERS
        for s in own
        if isinstance(s, schema.ClampRecord) and s.outcome == "good"
    ]
    return bool(left) and all(left)


@reads("stack.owners_document", "filled")
def owners_document(view: View) -> Reading:
    """The owner's paper that holds the loads of this array, where the records leave them to it."""
    path = "stack.owners_document"
    clamp, array = view.binding.clamp, view.binding.array
    if clamp is None or array is None or view.job is None:
        return view.unknown(path, "not asked")
    papers = owners_papers(view, f"clamp {clamp.handle}") if leaves_loads_to_owner(view) else []
    found = [p for p in papers if f"array {array.id}" in p.covers]
    if not found:
        missing = f"no owner's document holds {clamp.handle} with the loads of array {array.id}"
        fact = Fact(path, "papers", missing, view.job.file, "", "measured")
        return view.known(path, Filled(None), fact)
    return view.known(path, Filled(found[0].title), paper_fact(view, found[0], path))


looks_at("clamp.named_by_owner", "plane.seam.shape")
