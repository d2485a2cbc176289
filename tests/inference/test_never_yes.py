"""One change to a good job at a time: what must take its yes away does, for every stack."""

import pytest

from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.truth import Word
from tests.conftest import ROOT

MILL = (ROOT / "examples" / "mill-house" / "job.yaml").read_text(encoding="utf-8")
PARALLEL = "tilt: parallel"

CHANGES = [
    # what is changed, by what, and the mildest word that may come of it
    ("as_of: 2031-03-14", "as_of: 2036-03-14", Word.ENGINEER),  # every record has run out
    ("dated: 2031-03-05\n", "dated: 2031-03-05\n    until: 2031-03-10\n", Word.OBSERVE),
    ("- uplift per clamp\n", "", Word.OBSERVE),  # the calculation does not cover it
    ("- array a1\n", "- array a2\n", Word.OBSERVE),
    ("uplift_per_clamp:        {is: 0.42", "uplift_per_clamp:        {is: 1.42", Word.ENGINEER),
    ("clip_share:              {is: 0.26", "clip_share:              {is: 0.36", Word.FORBIDDEN),
    ("slide_per_fixed_clip:    {is: 0.30", "slide_per_fixed_clip:    {is: 0.90", Word.ENGINEER),
    ("net_uplift:              {is: 0.90", "net_uplift:              {is: 2.90", Word.FORBIDDEN),
    ("up_to: 0.25 kN/m2", "up_to: 0.05 kN/m2", Word.ENGINEER),
    ("kind: engineer's statement", "kind: letter", Word.OBSERVE),
    ("sea_distance:       {is: 240 km", "sea_distance:       {is: 300 m", Word.OBSERVE),
    ("salted_road:        {is: none", "salted_road:        {is: present", Word.OBSERVE),
    ("harsh_air:          {is: none", "harsh_air:          {is: present", Word.ENGINEER),
    ("run_off_from_above: {is: none", "run_off_from_above: {is: copper", Word.FORBIDDEN),
    ("brittle:            {is: none", "brittle:            {is: suspected", Word.FORBIDDEN),
    ("branch: {is: fold or joint", "branch: {is: screws through the sheet", Word.FORBIDDEN),
    (
        "{is: double-lock, how: photo of one seam end, photo: p1, by: cs}",
        "{is: round, how: photo of one seam end, photo: p1, by: cs}",
        Word.OBSERVE,
    ),
    ("parallel: {is: parallel", "parallel: {is: fanning", Word.ENGINEER),
    ("places: [24.8 mm, 25.1 mm, 25.3 mm]", "places: [24.8 mm, 25.1 mm]", Word.OBSERVE),
    ("places: [24.8 mm, 25.1 mm, 25.3 mm]", "places: [31.8 mm, 32.1 mm, 33.3 mm]", Word.FORBIDDEN),
    ("places: [6.0 mm, 6.2 mm, 6.1 mm]", "places: [6.0 mm, 9.2 mm, 6.1 mm]", Word.FORBIDDEN),
    ("made:     {is: by hand", "made:     {unknown: not sure", Word.OBSERVE),
    ("damage:   {is: none", "damage:   {unknown: not asked", Word.OBSERVE),
    (
        "metal:     {is: steel, how: cut edge of the offcut",
        "metal:     {one_of: [steel, zinc], how: by colour",
        Word.OBSERVE,
    ),
    (
        "metal:     {is: steel, how: cut edge of the offcut, paper: offcut}",
        "metal:     {is: steel, how: colour, paper: p1}",
        Word.OBSERVE,
    ),
    (
        "metal:     {is: steel, how: cut edge of the offcut, paper: offcut}",
        "metal:     {is: steel, how: colour, paper: offcut}",
        Word.OBSERVE,
    ),
    *(
        (
            "metal:     {is: steel, how: cut edge of the offcut, paper: offcut}",
            f"metal:     {{is: steel, how: {way}, by: tk}}",
            Word.OBSERVE,
        )
        for way in (
            *("eyes", "by eye", "it looks like steel", "photo", "patina", "seen", "x", "magnet"),
            *("the owner says so", "photo of the cut edge", "by the colour of a cut edge"),
            *("no cut edge in reach", "offcut not at hand", "without an offcut"),
        )
    ),
    ("metal:     {is: steel", "metal:     {is: lead", Word.OBSERVE),
    ("coating:   {is: [paint, zinc]", "coating:   {is: [none]", Word.ENGINEER),
    ("{is: 0.65 mm, tool: micrometer", "{is: 0.95 mm, tool: micrometer", Word.ENGINEER),
    ("nails:   {is: sound", "nails:   {is: rusted or plain steel", Word.ENGINEER),
    ("kind:      {is: boards", "kind:      {is: rigid insulation", Word.ENGINEER),
    ("kind:      {is: boards", "kind:      {one_of: [boards, OSB]", Word.OBSERVE),
    ("thickness: {is: 26 mm", "thickness: {is: 18 mm", Word.ENGINEER),
    ("sound:     {is: dry and sound", "sound:     {is: wet or rotten", Word.ENGINEER),
    (PARALLEL, "tilt: 12 deg", Word.ENGINEER),
    ("zones: [field]", "zones: [field, corner]", Word.OBSERVE),
    ("crosses: [s03, s04, s05, s06, s07]", "crosses: [s03, s04, s05, s06, s08]", Word.OBSERVE),
    ("clamps: every seam\n    stated", "clamps: every second seam\n    stated", None),
    ("building:           {is: existing", "building:           {is: new", Word.ENGINEER),
]


def changed(old: str, new: str) -> str:
    assert old in MILL, old
    return MILL.replace(old, new, 1)


@pytest.mark.parametrize(("old", "new", "mildest"), CHANGES)
def test_no_stack_stays_a_yes(
    base: Base, judge: Judge, old: str, new: str, mildest: Word | None
) -> None:
    job = job_of(read_string(changed(old, new), "job.yaml"), base.vocabulary)
    desk = Desk(base, job, judge)
    answer, planned = desk.choose("a1"), desk.stack("planned")
    if mildest is None:  # another spacing: what is drawn and what was worked out differ
        assert planned.word >= Word.OBSERVE
        return
    assert answer.word >= mildest
    assert planned.word >= mildest
    assert not any(option.verdict.word.is_yes for option in answer.options)


@pytest.mark.parametrize(("array", "stack"), [("1.42", "0.30"), ("0.30", "1.42")])
def test_of_two_stated_figures_the_stricter_counts(
    base: Base, judge: Judge, array: str, stack: str
) -> None:
    own = f"{{is: {stack} kN, paper: calc, covers: [array a1]}}"
    text = changed("{is: 0.42", f"{{is: {array}").replace(
        "    layout:\n", f"    stated:\n      uplift_per_clamp: {own}\n    layout:\n", 1
    )
    desk = Desk(base, job_of(read_string(text, "job.yaml"), base.vocabulary), judge)
    assert desk.stack("planned").word == Word.FORBIDDEN


def test_the_job_itself_is_a_yes(base: Base, judge: Judge) -> None:
    desk = Desk(base, job_of(read_string(MILL, "job.yaml"), base.vocabulary), judge)
    assert desk.choose("a1").word == desk.stack("planned").word == Word.CONDITIONAL
