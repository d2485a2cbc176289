"""Whether one more answer would surely take a judged subject away; nothing is judged anew."""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from selector.facts.view import View
from selector.inference import plain
from selector.inference.judge import Judgement, World
from selector.model.fact import TRIVIAL, Reading
from selector.model.quantity import Candidates, Measured
from selector.model.rule import Condition, Rule
from selector.model.truth import OPEN, Word

Answer = Candidates | Measured
Told = Mapping[str, Answer]  # what is answered, and what surely follows from it


def told(judgements: Sequence[Judgement], path: str, answer: Answer) -> Told:
    """An answer with what rules of the first of these subjects surely derive from it.

    Deriving subjects, job and plane, come first; what a reader works out is not among it.
    """
    known: dict[str, Answer] = {path: answer}
    for judgement in judgements:
        if any(r.then is not None for r in judgement.program.rules):
            known |= _derived(judgement, dict(known))
    return known


def dies(judgement: Judgement, known: Told) -> bool:
    """Whether the subject would surely be the engineer's or forbidden, if this is so.

    A yes to this question is sure, a no is not.
    """
    if not _threats(judgement):
        return False
    return bool(judgement.once(("dies", *known.items()), lambda: _dies(judgement, known)))


def _derived(judgement: Judgement, known: Told) -> Told:
    """Words of derived quantities that are sure in each world, if this is so."""

    def found() -> Told:
        deriving = [r for r in judgement.program.rules if r.then is not None]
        turned, read = _turned(judgement, deriving, known)
        if not turned:
            return {}
        sure: list[dict[str, Answer]] = []
        for _, then in _worlds(judgement, known, read):
            heads = [r.then for r in turned if r.then and then.fires(r)[0]]
            sure.append({str(h.left): Candidates(frozenset({str(h.right)})) for h in heads})
        return {k: v for k, v in sure[0].items() if all(w.get(k) == v for w in sure)}

    return judgement.once(("derives", *known.items()), found)


def _threats(judgement: Judgement) -> list[Rule]:
    """Rules that may still take the subject away."""

    def found() -> list[Rule]:
        strong = [
            r for r in judgement.program.rules if r.gate is None and (r.word or 0) >= Word.ENGINEER
        ]
        return [r for r in strong if judgement.fires(r) == OPEN]

    return judgement.once("threats", found)


def _dies(judgement: Judgement, known: Told) -> bool:
    worlds = judgement.worlds
    for path, answer in known.items():
        if isinstance(answer, Candidates) and path in worlds[0].words:
            mine = [w for w in worlds if w.words[path] in answer.left]
            return bool(mine) and all(_strong_in(w) for w in mine)
    turned, read = _turned(judgement, _threats(judgement), known)
    return bool(turned) and all(
        _strong_in(world) or any(then.fires(r)[0] for r in turned)
        for world, then in _worlds(judgement, known, read)
    )


def _strong_in(world: World) -> bool:
    heads = (world.heads.get(f"word:{w.text}") for w in (Word.ENGINEER, Word.FORBIDDEN))
    return any(bits is not None and bits.surely for bits in heads)


def _turned(
    judgement: Judgement, rules: list[Rule], known: Told
) -> tuple[list[Rule], list[Condition]]:
    """Rules that this may turn, and their conditions that read it or what is worked out from it."""
    program = judgement.program
    looks = judgement.once("looks", lambda: _looks(judgement))
    every = [by.get(path, []) for path in known for by in (program.reading, looks)]
    read = {c.text: c for some in every for c in some}
    turned = [r for r in rules if not read.keys().isdisjoint(program.rests[f"rule:{r.id}"])]
    rested = {text for r in turned for text in program.rests[f"rule:{r.id}"]}
    return turned, [c for text, c in read.items() if text in rested]


def _looks(judgement: Judgement) -> dict[str, list[Condition]]:
    """Conditions by the paths that were looked at to judge them."""
    memos = [v.memo for v in (judgement.view, judgement.view.ground) if v is not None]
    found: dict[str, list[Condition]] = {}
    for text, condition in judgement.program.conditions.items():
        for what in {w for m in memos for w in m.looked_at(("twice", text))}:
            found.setdefault(what.partition(" ")[2], []).append(condition)
    return found


def _worlds(
    judgement: Judgement, known: Told, read: list[Condition]
) -> Iterator[tuple[World, plain.Plain]]:
    """Each world with the plain path over it, if this is so; alike worlds share theirs."""
    old = judgement.view
    given = {path: Reading(answer, TRIVIAL, path) for path, answer in known.items()}
    view = View(old.base, old.job, old.binding, old.derived, {**(old.given or {}), **given})
    paths: dict[tuple[object, ...], plain.Plain] = {}
    for world in judgement.worlds:
        here = view.in_world(world.words)
        now = {c.text: here.once(c.text, partial(plain.compare, c, here)) for c in read}
        key = (id(world.heads), *now.values())
        if key not in paths:
            pairs = {t: atom.bits for t, atom in world.atoms.items()} | now
            paths[key] = plain.Plain(judgement.program.rules, pairs)
        yield world, paths[key]
