"""Whether one more answer would surely take a judged subject away; nothing is judged anew."""

from selector.facts.view import View
from selector.inference import plain
from selector.inference.judge import Judgement, World
from selector.model.fact import TRIVIAL, Reading
from selector.model.quantity import Candidates, Measured
from selector.model.rule import Condition, Path
from selector.model.truth import OPEN, Word

Answer = Candidates | Measured


def dies(judgement: Judgement, path: str, answer: Answer) -> bool:
    """Whether the subject would surely be the engineer's or forbidden with this answer.

    What the answer would derive is not followed, so a yes to this question is sure and a no is not.
    """
    return bool(judgement.once(("dies", path, answer), lambda: _dies(judgement, path, answer)))


def _dies(judgement: Judgement, path: str, answer: Answer) -> bool:
    strong = [
        r for r in judgement.program.rules if r.gate is None and (r.word or 0) >= Word.ENGINEER
    ]
    if not any(judgement.fires(r) == OPEN for r in strong):
        return False
    worlds = judgement.worlds
    if isinstance(answer, Candidates) and path in worlds[0].words:
        mine = [w for w in worlds if w.words[path] in answer.left]
        return bool(mine) and all(_strong_in(w) for w in mine)
    read = [c for c in judgement.program.conditions.values() if path in _paths(c)]
    return bool(read) and all(_dies_in(judgement, w, path, answer, read) for w in worlds)


def _strong_in(world: World) -> bool:
    heads = (world.heads.get(f"word:{w.text}") for w in (Word.ENGINEER, Word.FORBIDDEN))
    return any(bits is not None and bits.surely for bits in heads)


def _dies_in(
    judgement: Judgement, world: World, path: str, answer: Answer, read: list[Condition]
) -> bool:
    if _strong_in(world):
        return True
    old = judgement.view
    given = {**(old.given or {}), path: Reading(answer, TRIVIAL, path)}
    view = View(old.base, old.job, old.binding, old.derived, given, world.words)
    pairs: dict[str, plain.Pair] = {text: atom.bits for text, atom in world.atoms.items()}
    pairs |= {c.text: plain.compare(c, view) for c in read}
    other = plain.Plain(judgement.program.rules, pairs)
    return any(other.word(w.text)[0] for w in (Word.ENGINEER, Word.FORBIDDEN))


def _paths(condition: Condition) -> set[str]:
    return {str(p) for p in (condition.left, condition.right) if isinstance(p, Path)}
