"""All that the two paths saw where they disagree, as plain data to be sent in."""

from typing import Any

from selector.inference import plain
from selector.inference.judge import Judgement, both_paths


def disagreement(judgement: Judgement) -> dict[str, Any]:
    """One withheld subject: the difference, and every world with the bits of both paths."""
    program = judgement.program
    found: list[dict[str, Any]] = []
    for world in judgement.worlds:
        view = judgement.view.in_world(world.words)
        compared = {text: plain.compare(c, view) for text, c in program.conditions.items()}
        other = plain.Plain(program.rules, compared)
        heads = both_paths(program, world.heads, other)
        found.append(
            {
                "words": world.words,
                "conditions": {
                    text: {"engine": list(atom.bits), "plain": list(compared[text])}
                    for text, atom in sorted(world.atoms.items())
                },
                "heads": {h: {"engine": list(a), "plain": list(b)} for h, a, b in heads},
            }
        )
    subject = {"kind": judgement.subject.kind, "id": judgement.subject.id}
    return {"subject": subject, "difference": judgement.withheld, "worlds": found}
