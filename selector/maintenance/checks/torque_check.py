"""Torques of bolts in catalogues that make no sense for their thread and property class."""

from selector import units
from selector.errors import Problem
from selector.knowledge.base import Base
from selector.knowledge.torques import bears, bolt_sense, bolts

# Word -> what to do; a plausible torque is not spoken of.
REMEDY = {
    "too low": "it is hardly pulled: look the torque up, or say how its thread is lubricated",
    "may be above 90 %": "name the `finish`, or look the torque up",
    "above 90 %": "look the torque up; a bolt of a higher class, or a larger one",
    "breaks": "look the torque up; at this one such a bolt may break",
}


def check_torques(base: Base) -> list[Problem]:
    """A note for each listed torque that is not plausible by friction, thread and class."""
    notes = []
    for part, bolt in bolts(base):
        sense = bolt_sense(base, bolt)
        if sense.word in REMEDY:
            given, (_, full) = units.show(bolt.torque, "torque"), bears(sense)
            what = f"{bolt.thread} of class {bolt.strength}"
            text = f"torque {given} of `{part.handle}`, {what}: {sense.word}"
            text += f"; it reaches 90 % at {full}, by its friction"
            line = part.lines.get("bolt", part.line)
            notes.append(Problem(part.file, line, text, REMEDY[sense.word]))
    return notes
