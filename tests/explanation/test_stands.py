"""What has still to be looked at names limits of that very thing."""

from selector.explanation.stands import stands_if
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from tests.conftest import ROOT

MILL = (ROOT / "examples" / "mill-house" / "job.yaml").read_text(encoding="utf-8")


def limits(base: Base, judge: Judge, gone: str) -> dict[str, tuple[str, ...]]:
    (line,) = (one for one in MILL.splitlines(keepends=True) if one.strip().startswith(gone))
    job = job_of(read_string(MILL.replace(line, ""), "job.yaml"), base.vocabulary)
    option = Desk(base, job, judge).stack("planned").options[0]
    looks = stands_if(option.verdict, base.vocabulary, Texts.of(base))
    return {look.ask.path: look.limits for look in looks}


def test_a_distance_has_distances_as_limits(base: Base, judge: Judge) -> None:
    # not the words of the salt, the pairing or the grade that follow from it
    assert limits(base, judge, "sea_distance:")["site.sea_distance"] == (
        "above 10 km",
        "above 1000 m",
    )


def test_a_height_has_the_window_of_the_clamp(base: Base, judge: Judge) -> None:
    assert limits(base, judge, "height:   {places")["plane.seam.height"] == ("22 to 30 mm",)
