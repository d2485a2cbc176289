"""Taking something away that supports a yes never makes a yes, nor a milder one.

Every supporting rule, clamp window, pairing and good record without a disagreeing sibling is
deleted in turn, and the example roofs are answered again.
"""

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import pytest

from selector.inference.answer import Answer, Desk
from selector.inference.judge import Judge, Judgement
from selector.jobs.read import job_of, read_job
from selector.knowledge import schema
from selector.knowledge.base import Base, Catalogue, Part, Record
from selector.knowledge.yaml_reader import read_string
from selector.model.job import Job
from selector.model.quantity import Candidates
from selector.model.truth import Word
from tests.conftest import ROOT
from tests.kb.judged import silent

Words = dict[str, Word]
Touches = Callable[[Judgement], bool]
EXAMPLES = ROOT / "examples"
IN_FULL = 0.04  # share of deletions after which everything is judged anew, to check the others
RECORDS = {  # kind of record -> subjects that read it
    schema.ClampRecord: ("stack", "place", "layout", "part-on-plane"),
    schema.JointRecord: ("joint", "stack", "place", "layout"),
    schema.ModuleClampRecord: ("joint", "stack", "place", "layout"),
    schema.ModuleRecord: ("joint", "stack", "place", "layout"),
}


@dataclass(frozen=True)
class Deletion:
    """A base without one thing, and the judged subjects that may come out otherwise."""

    name: str
    base: Base
    touches: Touches


def everything(_: Judgement) -> bool:
    return True


def of_kinds(*kinds: str) -> Touches:
    return lambda judged: judged.subject.kind in kinds


def of_clamp(clamp: str, *kinds: str) -> Touches:
    def touches(judged: Judgement) -> bool:
        about = judged.subject.binding
        mine = {about.clamp and about.clamp.id, about.core and about.core.clamp}
        return clamp in mine and (not kinds or judged.subject.kind in kinds)

    return touches


# --- what is deleted ---------------------------------------------------------------------


def without_rule(base: Base, rule_id: str) -> Base:
    return replace(base, rules=tuple(r for r in base.rules if r.id != rule_id))


def retired(base: Base, rule_id: str) -> Base:
    rules = (replace(r, status="retired") if r.id == rule_id else r for r in base.rules)
    return replace(base, rules=tuple(rules))


def _with(base: Base, catalogue: Catalogue) -> Base:
    return replace(base, catalogues={**base.catalogues, catalogue.name: catalogue})


def without_record(base: Base, name: str, record: Record) -> Base:
    catalogue = base.catalogues[name]
    kept = tuple(r for r in catalogue.records if r.id != record.id)
    return _with(base, replace(catalogue, records=kept))


def without_window(base: Base, name: str, part: Part, index: int) -> Base:
    catalogue = base.catalogues[name]
    clamp = part.shape
    assert isinstance(clamp, schema.Clamp)
    grips = tuple(g for i, g in enumerate(clamp.grips) if i != index)
    less = replace(part, shape=clamp.model_copy(update={"grips": grips}))
    return _with(base, replace(catalogue, parts={**catalogue.parts, part.id: less}))


def without_pairing(base: Base, pairing_id: str) -> Base:
    return replace(base, pairings=tuple(p for p in base.pairings if p.shape.id != pairing_id))


def disagree(one: schema.RecordShape, other: schema.RecordShape) -> bool:
    """Two records of one link that may cover the same roof: the stricter holds something back."""
    if type(one) is not type(other):
        return False
    if isinstance(one, schema.ClampRecord) and isinstance(other, schema.ClampRecord):
        link = [(r.part.clamp, r.part.insert, r.part.inlay, r.sits_on.shape) for r in (one, other)]
        sheets = [(r.sheet.family, r.sheet.metal, r.sheet.coating) for r in (one, other)]
        return link[0] == link[1] and sheets[0] == sheets[1]
    if isinstance(one, schema.ClipRecord) and isinstance(other, schema.ClipRecord):
        decks = [r.deck.kind if r.deck else None for r in (one, other)]
        return bool(set(one.shapes) & set(other.shapes) and set(one.zones) & set(other.zones)) and (
            one.clip == other.clip and decks[0] == decks[1]
        )
    if isinstance(one, schema.JointRecord) and isinstance(other, schema.JointRecord):
        return (one.lower, one.bolts, one.upper) == (other.lower, other.bolts, other.upper)
    if isinstance(one, schema.ModuleClampRecord) and isinstance(other, schema.ModuleClampRecord):
        return (one.clamp, one.sits_on) == (other.clamp, other.sits_on)
    if isinstance(one, schema.ModuleRecord) and isinstance(other, schema.ModuleRecord):
        same = (one.module, one.sides) == (other.module, other.sides)
        return same and bool(set(one.lines) & set(other.lines))
    return False


def deletions(base: Base, catalogue: str) -> Iterator[Deletion]:
    """Every deletion that may matter to a job of one catalogue."""
    for rule in base.rules:
        if rule.proves:
            touches = everything if rule.then is not None else of_kinds(rule.subject)
            yield Deletion(f"rule {rule.id}", without_rule(base, rule.id), touches)
        if rule.then is not None:
            yield Deletion(f"retired {rule.id}", retired(base, rule.id), everything)
    for pairing in base.pairings:
        less = without_pairing(base, pairing.shape.id)
        yield Deletion(f"pairing {pairing.shape.id}", less, _of_pairing(pairing.shape))
    for part in base.catalogues[catalogue].parts.values():
        if isinstance(part.shape, schema.Clamp):
            for i, grip in enumerate(part.shape.grips):
                text = f"window {part.id} {grip.shape}"
                less = without_window(base, catalogue, part, i)
                yield Deletion(text, less, of_clamp(part.id))
    records = base.catalogues[catalogue].records
    held = {r.id for a, b in combinations(records, 2) if disagree(a.shape, b.shape) for r in (a, b)}
    for record in records:
        if record.shape.outcome == "good" and record.id not in held:
            less = without_record(base, catalogue, record)
            yield Deletion(f"record {record.id}", less, _of_record(catalogue, record))


def _of_pairing(row: schema.Pairing) -> Touches:
    """Contacts of two metals that a row names; water that runs over goes to every contact."""
    if row.place not in ("on the sheet", "between parts"):
        return of_kinds("contact")
    named = {*row.upper, *row.lower}

    def touches(judgement: Judgement) -> bool:
        if judgement.subject.kind != "contact":
            return False
        sides = [judgement.view.read(f"contact.{side}").value for side in ("upper", "lower")]
        return all(not isinstance(s, Candidates) or bool(s.left & named) for s in sides)

    return touches


def _of_record(catalogue: str, record: Record) -> Touches:
    kinds = RECORDS.get(type(record.shape))
    if kinds is None:  # clips: what the plane derives goes everywhere
        return everything
    if isinstance(record.shape, schema.ClampRecord):
        return of_clamp(f"{catalogue}/{record.shape.part.clamp}", *kinds)
    return of_kinds(*kinds)


# --- what is asked -----------------------------------------------------------------------


def words(answer: Answer) -> Words:
    found = {o.core.id: o.verdict.word for o in answer.options}
    return {"the request": answer.word, **found}


def ask(
    base: Base, job: Job, judge: Judge, pick: bool, like: Desk | None, touches: Touches
) -> Desk:
    """A desk that has answered all that a job can ask; what is not touched is taken as it was."""
    desk = Desk(base, job, judge)
    if like is not None:
        desk._judged |= {key: j for key, j in like._judged.items() if not touches(j)}
    if pick:
        desk.choose("a1")
    for stack in job.stacks:
        desk.stack(stack)
    return desk


def said(desk: Desk, pick: bool) -> Words:
    """Words of all that a job can ask."""
    found = {f"pick {k}": w for k, w in words(desk.choose("a1")).items()} if pick else {}
    return found | {f"judge {stack}": desk.stack(stack).word for stack in desk.job.stacks}


def loosened(before: Words, after: Words) -> list[str]:
    """What became a yes, or a milder yes; a stack that was refused was forbidden."""
    return [
        f"{name}: {before.get(name, Word.FORBIDDEN).text} -> {word.text}"
        for name, word in after.items()
        if word.is_yes and word < before.get(name, Word.FORBIDDEN)
    ]


def try_all(base: Base, job: Job, pick: bool = True, rules: bool = True) -> tuple[int, list[str]]:
    """How many deletions were tried, and every loosening they made."""
    chance = random.Random(job.id)
    whole = Judge(base)
    first = ask(base, job, whole, pick, None, everything)
    before = said(first, pick)
    bad: list[str] = []
    tried = 0
    for deletion in deletions(base, job.catalogues[0]):
        if not rules and deletion.name.startswith(("rule ", "retired ")):
            continue
        tried += 1
        if not any(map(deletion.touches, first._judged.values())) and chance.random() >= IN_FULL:
            continue  # what reads none of it is judged as it was
        judge = Judge(deletion.base)
        shared = judge.share(whole)
        after = said(ask(deletion.base, job, judge, pick, first, deletion.touches), pick)
        if chance.random() < IN_FULL:
            anew = ask(deletion.base, job, judge, pick, None, everything)
            assert said(anew, pick) == after, f"{deletion.name} touches more than it says"
        if not shared:
            judge.close()
        bad += [f"{deletion.name}: {text}" for text in loosened(before, after)]
    whole.close()
    return tried, bad


def example(base: Base, name: str) -> Job:
    return read_job(EXAMPLES / name / "job.yaml", base.vocabulary)


@pytest.mark.parametrize("name", ["mill-house", "copper-chapel", "case-yard"])
def test_no_deletion_loosens_a_named_stack(base: Base, name: str) -> None:
    tried, bad = try_all(base, example(base, name), pick=False)
    assert tried > 80
    assert bad == []


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(path.parent.name for path in EXAMPLES.glob("*/job.yaml")))
def test_no_deletion_loosens_an_example(base: Base, name: str) -> None:
    tried, bad = try_all(base, example(base, name))
    assert tried > 80
    assert bad == []


@pytest.mark.slow
@pytest.mark.parametrize("name", silent.cases())
def test_no_deletion_loosens_a_judged_case(base: Base, name: str) -> None:
    job = silent.job(name, base.vocabulary)
    tried, bad = try_all(base, job, pick=job.request.kind == "choose")
    assert tried > 80
    assert bad == []


SHEETS = {
    "zinc": ("zinc", "[none]", "0.72 mm"),
    "aluminium": ("aluminium", "[none]", "0.75 mm"),
    "copper": ("copper", "[none]", "0.61 mm"),
    "stainless": ("stainless", "[none]", "0.45 mm"),
    "galvanised": ("steel", "[zinc]", "0.60 mm"),
    "bare": ("steel", "[none]", "0.60 mm"),
}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("sheet", "site"), [*((sheet, "inland") for sheet in SHEETS), ("stainless", "salt")]
)
def test_no_deletion_loosens_another_sheet(base: Base, sheet: str, site: str) -> None:
    metal, coating, thickness = SHEETS[sheet]
    text = (EXAMPLES / "mill-house" / "job.yaml").read_text(encoding="utf-8")
    changes = [
        ("{is: steel, how: cut edge", f"{{is: {metal}, how: cut edge"),
        ("{is: [paint, zinc], how", f"{{is: {coating}, how"),
        (
            "{is: 0.65 mm, tool: micrometer, over: paint 0.05 mm,",
            f"{{is: {thickness}, tool: micrometer,",
        ),
    ]
    if site == "salt":
        changes.append(("sea_distance:       {is: 240 km", "sea_distance:       {is: 400 m"))
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    job = job_of(read_string(text, "variant.yaml"), base.vocabulary)
    tried, bad = try_all(base, job, rules=False)  # the examples above try the rules
    assert tried > 50
    assert bad == []


def test_the_test_itself_sees_a_loosening() -> None:
    before = {"a": Word.CONDITIONAL, "b": Word.OBSERVE}
    assert loosened(before, {"a": Word.ALLOWED}) == ["a: conditional -> allowed"]
    assert loosened(before, {"b": Word.CONDITIONAL}) == ["b: observe -> conditional"]
    assert loosened(before, {"c": Word.ALLOWED}) == ["c: forbidden -> allowed"]
    assert loosened(before, {"a": Word.OBSERVE, "b": Word.FORBIDDEN}) == []


def test_deleting_the_stricter_of_two_records_is_a_loosening_and_is_not_tried(base: Base) -> None:
    names = {deletion.name for deletion in deletions(base, "demo")}
    assert "record ev-01" in names
    assert not {"record ev-07", "record ev-09"} & names
