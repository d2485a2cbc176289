"""Which method a catalogue wants for the clips' share, where it says so and where it does not."""

from selector.knowledge.base import Base


def test_the_closed_world_of_the_cases_keeps_the_rule_it_was_written_with(base: Base) -> None:
    assert base.catalogues["cases"].clip_share == "hand"


def test_a_catalogue_that_says_nothing_takes_the_influence_line(base: Base) -> None:
    assert base.catalogues["demo"].clip_share == "influence"
