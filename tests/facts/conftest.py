"""One subject of an example, with places of its text changed, as its readers see it."""

from collections.abc import Callable

import pytest

from selector.facts.actions.reached import with_reached
from selector.facts.view import Binding, View
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.stack import ClampPlace, Core
from tests.conftest import ROOT

Sees = Callable[..., View]


@pytest.fixture
def sees(base: Base) -> Sees:
    """`sees(example, {old: new}, stack=..., place=...)`; each old text must be there once."""

    def view(
        example: str,
        changes: dict[str, str] | None = None,
        stack: str | None = None,
        place: ClampPlace | None = None,
        core: Core | None = None,
    ) -> View:
        text = (ROOT / "examples" / example / "job.yaml").read_text(encoding="utf-8")
        for old, new in (changes or {}).items():
            assert text.count(old) == 1, f"{text.count(old)} times in the job: {old}"
            text = text.replace(old, new)
        job = with_reached(base, job_of(read_string(text, "job.yaml"), base.vocabulary))
        array = next(iter(job.arrays.values()))
        plan = job.stacks[stack] if stack else None
        slots = plan.slots if plan else {}
        if plan is not None and core is None:
            core = Core(
                clamp=slots["clamp"] or "",
                insert=slots["insert"],
                inlay=slots["inlay"],
                adapters=plan.adapters,
                bolts=slots["bolts"],
                rail=slots["rail"],
                frame=slots["frame"],
                cross=slots["cross"],
                upper_rail=slots["upper_rail"],
            )
        clamp = base.part(core.clamp) if core else None
        rail = base.part(core.rail) if core and core.rail else None
        binding = Binding(
            plane=job.planes[array.plane],
            array=array,
            clamp=clamp,
            rail=rail,
            core=core,
            plan=plan,
            place=place,
        )
        return View(base, job, binding)

    return view
