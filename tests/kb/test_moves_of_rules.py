"""What rules name as a cure: tried by the program, looked at, or only said; nothing between."""

from selector.inference.moves import TRIED
from selector.knowledge.base import Base

# Parts exchanged, put in or taken out: every stack that the graph finds is tried.
PARTS = {
    *("change clamp", "change rail", "change adapter", "change module clamp", "module clamp"),
    *("add insert", "add inlay", "add adapter", "listed inlay", "listed adapter"),
    *("a stack with rails", "stainless stack", "parts of grade A4", "frame"),
    *("add a layer", "take one layer away"),
}
# The work of the crew set right: screws, order, what was made on site, wire, the clamps beside.
SET_RIGHT = {
    *("listed torque", "original screws", "set again", "one generation a row"),
    "tinned or aluminium conductor",
}
# Drawn anew: `inference/redraw.py`.
DRAWN = {
    *("shift along the seam", "leave out this seam", "other bay", "next bay", "shift the rail"),
    *("shift a line", "cut the rail", "other cut"),
}
# Got, as if it were there: `inference/to_get.py`.
GOT = {"engineer's calculation", "engineer's statement", "test", "pull test"}
# Looked at again, no change: second looks, and what a stack waits for.
LOOKS = {
    *("look again", "measure again", "walk the roof", "find the clips", "find the fixed zone"),
    *("find the papers", "open one clip", "measure at the edge", "reconfirm"),
}
# Said in the help of the rule and not tried, with the reason.
SAID = {
    "engineer": "somebody decides in writing; what he decides is his",
    "specialist": "somebody decides in writing",
    "roofer": "the roof is repaired; what it is then nobody has seen",
    "repair the deck": "the roof is repaired; what it is then nobody has seen",
    "divert the water": "work above the array that no job describes",
    "other plane": "another roof, which the job may not know",
    "other place": "a place where the seam is sound; nobody has said where it is not",
    "leave the zone free": "where a zone ends is drawn by whoever plans the array",
    "leave the edge free": "where a zone ends is drawn by whoever plans the array",
    "mid-bay": "the share of the clips is the engineer's figure, and so is where it is met",
    "one layer": "asks for another orientation or frame, planned anew",
    "shift the clamp": "where a collar lies is not drawn, only how far the nearest clamp is",
    "shift the modules": "other seams are crossed then, which nobody has named",
}


def test_every_move_that_a_rule_names_has_its_way(base: Base) -> None:
    named = {move for rule in base.rules for move in rule.moves}
    tried = set().union(*(names for names, _ in TRIED))
    ways = [PARTS, SET_RIGHT, DRAWN, GOT, tried, LOOKS, set(SAID)]
    assert named == set().union(*ways)
    assert sum(map(len, ways)) == len(named)  # each in one list


def test_what_is_only_said_is_said(base: Base) -> None:
    """A rule none of whose moves is tried still says what to do."""
    for rule in base.rules:
        if rule.moves and set(rule.moves) <= LOOKS | set(SAID):
            assert rule.help
            assert rule.lifted or rule.word is not None
