"""Which measurement or second look would make a refused stack milder, each judged again."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from selector.inference.answer import Desk, Option
from selector.inference.flip import Flip, flips, key_of
from selector.inference.grounds import Grounds
from selector.inference.in_worlds import giving
from selector.inference.verdict import Finding, Verdict, verdict
from selector.knowledge.base import Vocabulary
from selector.model.fact import Fact, Reading
from selector.model.job import Job, Observed, Sighting, StackPlan
from selector.model.quantity import Candidates, Measured, Place, Ratio, Value
from selector.model.rule import Ask
from selector.model.truth import Word

MARKED = "low sun and tape"  # how clip marks are read


@dataclass(frozen=True)
class SecondLook:
    """A figure or a word of a reason, what it would have to be, and the word of the stack then."""

    path: str
    now: str
    instead: tuple[str, ...]  # words; empty for a figure
    flip: Flip | None  # how far the figure misses its limit
    rules: tuple[str, ...]  # rules that fall silent by it
    word: Word
    ask: Ask
    tools: dict[str, int]  # tool -> tolerance, the finest first


def second_looks(
    desk: Desk, plan: StackPlan, option: Option, reasons: Grounds
) -> tuple[SecondLook, ...]:
    """Figures at their limit and other words of what was seen; those that turn a rule off."""
    findings = option.verdict.of_word(option.verdict.word)
    found = [*_figures(desk, plan, option, findings)]
    facts = {f.path: f for g in reasons.each for f in g.facts}
    for path in sorted(facts):
        found += _words(desk, plan, option, facts[path])
    return tuple(found)


# --- figures -----------------------------------------------------------------------------


def _figures(
    desk: Desk, plan: StackPlan, option: Option, findings: list[Finding]
) -> Iterator[SecondLook]:
    """One a path and limit: the largest miss counts, since every place has to meet the limit."""
    missed: dict[tuple[str, str], list[tuple[Finding, Flip]]] = {}
    for finding in findings:
        for flip in flips(desk.judge, finding):
            missed.setdefault((flip.path, flip.limit), []).append((finding, flip))
    for (path, _), pairs in missed.items():
        finding, flip = max(pairs, key=lambda p: abs(p[1].by))
        read = finding.judgement.view.read(path)
        quantity = desk.base.vocabulary.quantities.get(path)
        observed = path in _observed(desk.job, plan)
        if observed and isinstance(read.value, Measured):
            word = _with(desk, plan, path, _moved(read.value, flip)).word
        else:
            word = _word_by(desk, option, path, [f for f, _ in pairs], [p for _, p in pairs])
        rules = tuple(sorted({f.rule.id for f, _ in pairs}))
        ask = desk.base.vocabulary.ask(read.open_paths[0])
        tools = _tools(desk.base.vocabulary, path if quantity else ask.path)
        yield SecondLook(path, str(read.value), (), flip, rules, word, ask, tools)


def _word_by(
    desk: Desk, option: Option, path: str, findings: list[Finding], each: list[Flip]
) -> Word:
    """Word of the stack where a derived figure meets its limit in each of its subjects."""
    again = {}
    for finding, flip in zip(findings, each, strict=True):
        old = finding.judgement
        before = old.view.read(path)
        given = {**(old.view.given or {}), path: replace(before, value=_met(before, flip))}
        again[id(old)] = desk.judge.judge(old.subject, old.view.job, old.view.derived, given)
    return verdict([again.get(id(j), j) for j in option.judgements]).word


def _met(before: Reading, flip: Flip) -> Value:
    if isinstance(before.value, Measured):
        return _moved(before.value, flip)
    return Ratio(0, 1)


def _moved(value: Measured, flip: Flip) -> Measured:
    """Every place moved by what the worst one misses."""
    by = int(flip.by)
    return Measured(value.dimension, tuple(Place(p.low - by, p.high - by) for p in value.places))


def _tools(vocabulary: Vocabulary, path: str) -> dict[str, int]:
    """What can measure a path, with its tolerance, the finest first."""
    if path == "plane.clips.marks":
        return {MARKED: vocabulary.mark_tolerance}
    quantity = vocabulary.quantities.get(path)
    tools = quantity.tools if quantity is not None else {}
    return dict(sorted(tools.items(), key=lambda t: (t[1], t[0])))


# --- words -------------------------------------------------------------------------------


def _words(desk: Desk, plan: StackPlan, option: Option, fact: Fact) -> Iterator[SecondLook]:
    """Other words of something that was seen, by the word that the stack gets with them.

    One that is a fault of its own is no way on: it only gives way to another refusal.
    """
    quantity = desk.base.vocabulary.quantities.get(fact.path)
    seen = _observed(desk.job, plan).get(fact.path)
    if quantity is None or seen is None or not isinstance(seen.value, Candidates):
        return
    by_word: dict[Word, list[str]] = {}
    for other in quantity.words:
        if other not in seen.value.left:
            found = _with(desk, plan, fact.path, Candidates(frozenset({other})))
            if found.word < option.verdict.word and not _is_a_fault(found, option.verdict):
                by_word.setdefault(found.word, []).append(other)
    ask = desk.base.vocabulary.ask(fact.path)
    for word in sorted(by_word):
        instead = tuple(sorted(by_word[word]))
        yield SecondLook(fact.path, fact.shown, instead, None, (), word, ask, {})


def _is_a_fault(found: Verdict, before: Verdict) -> bool:
    """Whether what stops the stack then rests on a rule that did not hold before."""
    if found.word < Word.ENGINEER:
        return False
    held = {(key_of(f), sure) for f in before.findings for sure in {f.surely, False}}
    return any((key_of(f), f.surely) not in held for f in giving(found))


def _observed(job: Job, plan: StackPlan) -> dict[str, Observed]:
    """What was seen of the plane of a plan and of its site."""
    return {**job.site, **job.planes[job.arrays[plan.array].plane].observed}


def with_seen(job: Job, plane_id: str, path: str, seen: Observed | None) -> Job:
    """A job with another observation of a path, or with none."""

    def put(old: dict[str, Observed]) -> dict[str, Observed]:
        kept = {k: v for k, v in old.items() if k != path}
        return kept if seen is None else {**kept, path: seen}

    if path.startswith("site."):
        return replace(job, site=put(job.site))
    plane = job.planes[plane_id]
    other = replace(plane, observed=put(plane.observed))
    return replace(job, planes={**job.planes, plane_id: other})


def _with(desk: Desk, plan: StackPlan, path: str, value: Measured | Candidates) -> Verdict:
    """Verdict of the stack with another value of something that was seen."""
    line = _observed(desk.job, plan)[path].sightings[0].line
    seen = Observed(path, (Sighting(value, "a second look", "a second look", line),))
    job = with_seen(desk.job, desk.job.arrays[plan.array].plane, path, seen)
    return Desk(desk.base, job, desk.judge, before=desk).planned(plan).verdict
