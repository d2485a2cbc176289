"""What a change moves, in the words of somebody who would do it."""

from selector.explanation.narrate import handles
from selector.explanation.texts import Texts

Move = tuple[str, str | None, str | None]
# Moves with a sentence of their own; any other one puts a part into a slot or takes it out.
OWN = (
    *("line", "seam", "cut", "tilt", "paper", "record", "pattern", "lines", "rows", "array"),
    *("orientation", "tightened", "improvised", "beside_clamps"),
)


def move_text(move: Move, texts: Texts) -> str:
    """One move as something to do."""
    slot, old, new = move
    kind, _, rest = slot.partition(" ")
    before, after = (_said(p, texts) for p in (old, new))
    if kind in OWN:
        return texts.say(f"moves.{kind}", rest=rest, old=before, new=after)
    several = any(part and ", " in part for part in (old, new))
    name = texts.word("adapter") if slot == "adapters" and not several else slot_name(slot, texts)
    if old is None:
        return texts.say("moves.add", slot=name, new=after)
    if new is None:
        return texts.say("moves.leave_out", slot=name, old=before)
    return texts.say("moves.swap", slot=name, old=before, new=after)


def slot_name(slot: str, texts: Texts) -> str:
    """What a slot or a move is called."""
    kind, _, rest = slot.partition(" ")
    if kind in OWN:
        return texts.say(f"moves.name.{kind}", rest=rest).strip()
    return texts.word(slot.replace("_", " "))


def _said(part: str | None, texts: Texts) -> str:
    return handles(texts.shown(part)) if part else texts.say("moves.none")
