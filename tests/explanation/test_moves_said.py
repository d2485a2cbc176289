"""A change is said as something to do, in each language, and no English is left in German."""

import re

import pytest

from selector.explanation.language import speaking
from selector.explanation.moves import OWN, Move, move_text, slot_name
from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.knowledge.trade import MOVES

# One of each kind, as inference words them; names of parts, lines and seams stay as they are.
EACH: dict[str, Move] = {
    "clamp": ("clamp", "demo/dl-1", "demo/dl-3"),
    "insert": ("insert", None, "demo/rd-1-insert"),
    "inlay": ("inlay", "demo/in-1", None),
    "adapters": ("adapters", None, "demo/ad-3"),
    "bolts": ("bolts", "demo/bolt-1", None),
    "rail": ("rail", "demo/rail-u", None),
    "frame": ("frame", "demo/tf-1", None),
    "cross": ("cross", None, "demo/cr-1"),
    "upper_rail": ("upper_rail", None, "demo/rail-u"),
    "module_clamp": ("module_clamp", "demo/mc-1", "demo/mc-2"),
    "torque": ("torque", "18 Nm", "as listed"),
    "screw_tip": ("screw_tip", "cup", "as delivered"),
    "tightened": ("tightened", "in the wrong order", "loosened and set again"),
    "improvised": ("improvised fit", "STRIP", None),
    "bonding_wire": ("bonding_wire", "bare copper", "tinned copper"),
    "beside_clamps": ("beside_clamps", "old", None),
    "line": ("line LOW", "1650 mm", "1.7 m"),
    "seam": ("seam s03", "clamps on LOW, HIGH", "left out"),
    "cut": ("cut", "in one piece", "gap at 3.44 m from the left of the row"),
    "pattern": ("pattern", "every second seam", "every seam"),
    "lines": ("lines", "2", "3"),
    "rows": ("rows", "2", "1"),
    "array": ("array", "4 m above the eave", "3.84 m above the eave"),
    "orientation": ("orientation", "landscape", "portrait"),
    "tilt": ("tilt", "10 deg", "parallel to the roof"),
    "module": ("module", "demo/module-p35", "demo/module-n32"),
    "paper": ("paper", None, "engineer's statement that covers snow from a higher roof"),
    "record": ("record", None, "test of dl-1 on double-lock, zinc 0.7 mm +-0.01 mm"),
}
PULLED: Move = ("record", None, "test of hand-folded clip in boards, 24 mm")
JOINED: Move = ("record", None, "test of rd-1 + bolt-1 + rail-s")
SAME = {"in", "an", "mm", "parallel"}  # words of both languages


def test_every_move_that_has_an_effort_has_its_words() -> None:
    assert set(EACH) == set(MOVES)
    assert set(OWN) <= set(MOVES)


@pytest.mark.parametrize("move", [*EACH.values(), PULLED, JOINED], ids=lambda m: m[2] or m[1])
def test_german_is_german(base: Base, move: Move) -> None:
    english, german = Texts.of(base), Texts.of(speaking(base, "de"))
    said, own = move_text(move, english), move_text(move, german)
    assert said != own
    names = set(re.findall(r"[a-z0-9]+", " ".join(p.partition("/")[2] for p in move if p)))
    names |= set(re.findall(r"[a-z0-9]+", "dl-1 s03 rd-1 bolt-1 rail-s"))
    english_words = set(re.findall(r"[a-z]{2,}", said)) - names - SAME
    assert english_words & set(re.findall(r"[a-z]{2,}", own)) == set()
    assert slot_name(move[0], german) != slot_name(move[0], english) or move[0] == "adapters"


def test_a_change_reads_as_something_to_do(base: Base) -> None:
    texts = Texts.of(base)
    assert move_text(EACH["clamp"], texts) == "clamp: dl-3 instead of dl-1"
    assert move_text(EACH["insert"], texts) == "add insert rd-1-insert"
    assert move_text(EACH["adapters"], texts) == "add adapter ad-3"
    assert move_text(EACH["bolts"], texts) == "leave out bolts bolt-1"
    assert move_text(EACH["seam"], texts) == "leave out seam s03 (clamps on LOW, HIGH)"
