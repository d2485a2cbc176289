"""Listed torques of bolts that make no sense are noted, with their place and what to do."""

from dataclasses import replace

import pytest

from selector.errors import InputError
from selector.knowledge import schema
from selector.knowledge.base import Base
from selector.knowledge.documents import read_documents
from selector.knowledge.loader import build
from selector.knowledge.locate import home
from selector.knowledge.torques import bears, bolt_sense
from selector.knowledge.yaml_reader import read_string
from selector.maintenance.checks.torque_check import check_torques

NAME = "kb/catalogues/demo/bolt-sets.yaml"


def with_bolt(base: Base, **figures: object) -> Base:
    """The base with another bolt in a bolt set of the demo."""
    catalogue = base.catalogues["demo"]
    part = catalogue.parts["demo/bolt-1"]
    assert isinstance(part.shape, schema.BoltSet)
    assert part.shape.bolt is not None
    bolt = part.shape.bolt.model_copy(update=figures)
    other = replace(part, shape=part.shape.model_copy(update={"bolt": bolt}))
    parts = {**catalogue.parts, part.id: other}
    return replace(base, catalogues={**base.catalogues, "demo": replace(catalogue, parts=parts)})


def test_the_shipped_torques_make_sense(base: Base) -> None:
    assert check_torques(base) == []


# M8 of class 70, lubricated 0.10 to 0.20: 90 % at 15.2 to 24.1 Nm by a printed table, breaks at 32
@pytest.mark.parametrize(
    ("torque", "word"),
    [
        (2_000, "too low"),
        (18_000, "may be above 90 %"),
        (26_000, "above 90 %"),
        (32_000, "breaks"),
    ],
)
def test_a_torque_without_sense_is_noted(base: Base, torque: int, word: str) -> None:
    (note,) = check_torques(with_bolt(base, torque=torque))
    assert (note.file, note.line) == (NAME, 1)
    assert f"{torque / 1000:g} Nm of `bolt-1`, M8 of class 70: {word};" in note.text
    assert "it reaches 90 % at 15.2 to 24" in note.text
    assert note.remedy


def test_a_finish_that_nobody_named_counts_as_any(base: Base) -> None:
    (note,) = check_torques(with_bolt(base, torque=26_000, finish=None))
    assert "may be above 90 %" in note.text
    assert "name the `finish`" in note.remedy


def test_what_a_torque_gives_is_shown_by_friction(base: Base) -> None:
    part = base.part("demo/bolt-1")
    assert isinstance(part.shape, schema.BoltSet)
    assert part.shape.bolt is not None
    force, full = bears(bolt_sense(base, part.shape.bolt))
    # by hand: 14 Nm over 1.130 mm at friction 0.10 and over 2.060 mm at 0.20
    assert force == "6.8 to 12.4 kN"
    assert full.startswith("15.2 to 24")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("thread: M8", "thread: M7", "`M7` is no thread"),
        ('strength: "70"', 'strength: "75"', "`75` is no property class"),
        ("finish: stainless-lubricated", "finish: stainless-lubed", "`stainless-lubed` is no fin"),
        ("torque: 14 Nm", "torque: 14", "with its unit, given `14`"),
    ],
)
def test_a_bolt_of_nothing_is_a_fault(old: str, new: str, said: str) -> None:
    documents = read_documents(home())[1]
    text = (home().kb.parent / NAME).read_text(encoding="utf-8")
    assert old in text
    changed = {**documents, NAME: read_string(text.replace(old, new, 1), NAME)}
    with pytest.raises(InputError) as caught:
        build("copy", changed)
    (problem,) = caught.value.problems
    assert said in str(problem)
    assert problem.file == NAME
