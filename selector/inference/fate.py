"""Whether one more answer would surely take a judged subject away; nothing is judged anew."""

from functools import partial

from selector.facts.view import View
from selector.inference import plain
from selector.inference.judge import Judgement, World
from selector.model.fact import TRIVIAL, Reading
from selector.model.quantity import Candidates, Measured
from selector.model.rule import Condition, Rule
from selector.model.truth import OPEN, Word

Answer = Candidates | Measured


def dies(judgement: Judgement, path: str, answer: Answer) -> bool:
    """Whether the subject would surely be the engineer's or forbidden with this answer.

    What the answer would derive is not followed, so a yes to this question is sure and a no is not.
    """
    if not _threats(judgement):
        return False
    return bool(judgement.once(("dies", path, answer), lambda: _dies(judgement, path, answer)))


def _threats(judgement: Judgement) -> list[Rule]:
    """Rules that may still take the subject away."""

    def found() -> list[Rule]:
        strong = [
            r for r in judgement.program.rules if r.gate is None and (r.word or 0) >= Word.ENGINEER
        ]
        return [r for r in strong if judgement.fires(r) == OPEN]

    return judgement.once("threats", found)


def _dies(judgement: Judgement, path: str, answer: Answer) -> bool:
    worlds = judgement.worlds
    if isinstance(answer, Candidates) and path in worlds[0].words:
        mine = [w for w in worlds if w.words[path] in answer.left]
        return bool(mine) and all(_strong_in(w) for w in mine)
    program = judgement.program
    read = program.reading.get(path, [])
    texts = {c.text for c in read}
    turned = [r for r in _threats(judgement) if not texts.isdisjoint(program.rests[f"rule:{r.id}"])]
    return bool(turned) and _dies_everywhere(judgement, path, answer, read, turned)


def _strong_in(world: World) -> bool:
    heads = (world.heads.get(f"word:{w.text}") for w in (Word.ENGINEER, Word.FORBIDDEN))
    return any(bits is not None and bits.surely for bits in heads)


def _dies_everywhere(
    judgement: Judgement, path: str, answer: Answer, read: list[Condition], turned: list[Rule]
) -> bool:
    """Whether a turned rule, if no other, would surely fire in each world."""
    old = judgement.view
    given = {**(old.given or {}), path: Reading(answer, TRIVIAL, path)}
    view = View(old.base, old.job, old.binding, old.derived, given)
    fires: dict[tuple[object, ...], bool] = {}
    for world in judgement.worlds:
        if _strong_in(world):
            continue
        here = view.in_world(world.words)
        now = {c.text: here.once(c.text, partial(plain.compare, c, here)) for c in read}
        key = (id(world.heads), *now.values())
        if key not in fires:
            pairs = {t: atom.bits for t, atom in world.atoms.items()} | now
            other = plain.Plain(judgement.program.rules, pairs)
            fires[key] = any(other.fires(r)[0] for r in turned)
        if not fires[key]:
            return False
    return True
