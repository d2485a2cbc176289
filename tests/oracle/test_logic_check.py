"""Faults between made-up rules are found, sound neighbours are not, and what is shown is true."""

import sys
import time
from collections.abc import Callable, Iterable, Iterator
from itertools import product

import pytest

from selector.facts.view import Binding, View, type_of
from selector.inference import plain
from selector.inference.judge import Judge, Judgement, Subject
from selector.knowledge.base import Base
from selector.knowledge.documents import read_documents
from selector.knowledge.loader import build
from selector.knowledge.locate import home
from selector.knowledge.yaml_reader import Document, read_string
from selector.maintenance.checks import logic_check
from selector.maintenance.checks.base_check import check_base
from selector.maintenance.checks.logic_check import Finding, Oracle, check_logic, find, say
from selector.model.fact import Cover, Fact, Reading
from selector.model.quantity import Candidates, Filled, Measured, Place, Ratio, Window
from selector.model.rule import SUBJECTS, Condition, Limit, Path
from selector.model.truth import NO, YES

pytest.importorskip("clingo", reason="the solver is an extra")

FACTS = {"title": "t", "trade": "[GF-1]", "status": "active", "message": "m", "why": "w"}
FACTS |= {"who_is_hurt": "people", "help": "h", "source": "trade-custom", "basis": "judgement"}
FACTS |= {"since": "2026-11-25", "reviewed": "2026-11-25"}
ROLES = {
    "plane": "{p: plane, s: site}",
    "stack": "{k: stack, p: plane, c: clamp}",
    "part-on-plane": "{c: clamp, p: plane}",
    "layout": "{l: layout, r: rail}",
    "job": "{s: site}",
}
Rules = Callable[..., Base]


def rule(name: str, kind: str, *when: str, subject: str = "plane", **more: str) -> tuple[str, str]:
    """A rule file: its name and its text."""
    keys = {"id": name, **FACTS, "kind": kind, "subject": subject, "roles": ROLES[subject]} | more
    if kind == "engineer" or more.get("otherwise") in ("observe", "engineer"):
        keys.setdefault("lifted", "engineer")
    lines = [f"{key}: {text}" for key, text in keys.items()]
    lines += ["when:" if when else "when: []", *(f"  - {w}" for w in when), ""]
    return f"rules/made/{name}.yaml", "\n".join(lines)


@pytest.fixture(scope="module")
def kb() -> dict[str, Document]:
    return {k: d for k, d in read_documents(home())[1].items() if k.startswith("kb/")}


@pytest.fixture
def rules(kb: dict[str, Document]) -> Rules:
    """The shipped base with made-up rules in place of its own."""

    def made(*files: tuple[str, str]) -> Base:
        return build("made", {**kb, **{name: read_string(text, name) for name, text in files}})

    return made


# --- from the situation that is shown to readings for the judge ------------------------------


def choices(base: Base, conditions: Iterable[Condition], path: str) -> Iterator[object]:
    """Values worth trying for one path."""
    quantity = base.vocabulary.quantities.get(path)
    kind = type_of(base, path)
    if kind == "choice":
        named = {str(c.right) for c in conditions if c.operator == "is"}
        named |= {w for c in conditions if isinstance(c.right, tuple) for w in c.right}
        words = quantity.words if quantity is not None else ("something else", "any other")
        yield from (Candidates(frozenset({w})) for w in dict.fromkeys((*sorted(named), *words)))
    elif kind == "filled":
        yield from (Filled("this"), Filled(None))
    elif kind == "ratio":
        yield from (Ratio(0.5, 0.5), Ratio(2, 2))
    elif kind == "window":
        yield Window("length", 20_000, 30_000)
    else:
        ends = {20_000, 30_000, 25_000} if kind != "count" else {0, 1}
        for c in conditions:
            right = c.right
            ends |= {right.value} if isinstance(right, Limit) else set()
            ends |= {right.low, right.high} - {None} if isinstance(right, Window) else set()
            if isinstance(right, Path) and right.role == "trade":
                ends.add(base.numbers[right.name].value.places[0].low)
        near = sorted({v + step for v in ends for step in (-1, 0, 1)})
        for low, high in product(near, near):
            if low <= high:
                yield Measured(kind, tuple(Place(v, v) for v in (low, high, high)))


def readings(base: Base, situation: tuple[Condition, ...]) -> dict[str, Reading]:
    """Readings in which the plain comparisons find every condition as it is shown."""
    given: dict[str, Reading] = {}

    def reading(path: str, value: object) -> Reading:
        return Reading(value, (frozenset({Fact(path, "case", str(value))}),), path)  # type: ignore[arg-type]

    for c in situation:
        if c.operator == "covered by":
            path = f"{c.left} {c.right}"
            given[path] = reading(path, Cover(NO if c.negated else YES, (), ()))
    for left in {c.left for c in situation if c.operator != "covered by"}:
        about = [c for c in situation if c.left == left]
        if any(c.operator == "known" and c.negated for c in about):
            continue
        others = {str(c.right) for c in about if isinstance(c.right, Path)}
        paths = [str(left), *(p for p in others if not p.startswith("trade."))]
        wanted = [(not c.negated,) * 2 for c in about]
        for values in product(*(choices(base, situation, p) for p in paths)):
            tried = given | {p: reading(p, v) for p, v in zip(paths, values, strict=True)}
            view = View(base, None, Binding(), {}, tried)
            if [plain.compare(c, view) for c in about] == wanted:
                given = tried
                break
        else:
            raise AssertionError(f"no value fits {[say(c) for c in about]}")
    return given


def judged(base: Base, finding: Finding) -> tuple[Judge, Judgement]:
    """The subject of a finding, judged in the situation that it shows."""
    judge = Judge(base)
    kind = base.rule(finding.rules[0]).subject
    given = readings(base, finding.situation)
    return judge, judge.judge(Subject(kind, "shown", Binding()), None, given=given)


def all_fire(base: Base, finding: Finding, head: str = "rule") -> bool:
    """Whether every rule of a finding surely fires, or is surely asked, where it says so."""
    judge, judgement = judged(base, finding)
    judge.close()
    assert not judgement.withheld
    return all(judgement.bits(f"{head}:{r}").surely for r in finding.rules)


# --- the shipped rules -----------------------------------------------------------------------


def test_the_shipped_rules_are_sound_and_quickly_checked(base: Base) -> None:
    start = time.perf_counter()
    assert find(base) == []
    assert time.perf_counter() - start < 5


@pytest.mark.parametrize("kind", SUBJECTS)
def test_every_shipped_rule_fires_where_the_solver_says(
    base: Base, judge: Judge, kind: str
) -> None:
    program = judge.programs[kind]
    oracle = Oracle(program, base)
    for one in program.rules:
        situation = oracle.situation(f"rule:{one.id}")
        assert situation is not None
        given = readings(base, situation)
        judgement = judge.judge(Subject(kind, "shown", Binding()), None, given=given)
        assert judgement.fires(one).surely, (one.id, [say(c) for c in situation])


# --- rules that never fire -------------------------------------------------------------------

HEIGHT = "p.seam.height"
NEVER = {
    "two words": ["p.seam.made is factory", "p.seam.made is by hand"],
    "a word outside a list": ["p.seam.shape is one of [round, T]", "p.seam.shape is batten"],
    "a word inside a list, denied": ["p.seam.shape is T", "not p.seam.shape is one of [T, round]"],
    "no word left": ["not p.seam.made is factory", "not p.seam.made is by hand"],
    "below and above": [f"{HEIGHT} at most 10 mm", f"{HEIGHT} at least 20 mm"],
    "windows apart": [f"{HEIGHT} within 10 to 20 mm", f"{HEIGHT} within 30 to 40 mm"],
    "a window and a limit": [f"{HEIGHT} within 10 to 20 mm", f"not {HEIGHT} at most 25 mm"],
    "one figure, denied twice": [
        "not s.sea_distance at most trade.salt_distance",
        "not s.sea_distance at least 1 km",  # the same figure
    ],
    "one number between two": [
        "not s.sea_distance at most 2 km",
        "not s.sea_distance at least 1 km",
    ],
    "nobody classifies so": ["p.clips.strength is strong"],
}
SOUND = {
    "a word of a list": ["p.seam.shape is one of [round, T]", "p.seam.shape is T"],
    "one word left": ["not p.sheet.magnet is strong", "not p.sheet.magnet is weak"],
    "just at the limit": [f"{HEIGHT} at most 10 mm", f"{HEIGHT} at least 10 mm"],
    "windows that touch": [f"{HEIGHT} within 10 to 20 mm", f"{HEIGHT} within 20 to 40 mm"],
    "readings on both sides": [f"not {HEIGHT} at most 10 mm", f"not {HEIGHT} at least 10 mm"],
    "two paths": [f"{HEIGHT} at most 10 mm", "p.seam.head at least 20 mm"],
    "the default word": ["p.clips.strength is weak"],
}


@pytest.mark.parametrize("when", NEVER.values(), ids=NEVER)
def test_a_rule_that_never_fires_is_named_with_its_conflict(rules: Rules, when: list[str]) -> None:
    base = rules(
        rule("dead", "engineer", *when, f"{HEIGHT} at least 5 mm"),
        rule("other", "classify", "p.seam.made is factory", then="p.clips.strength is weak"),
    )
    (finding,) = find(base)
    assert (finding.kind, finding.rules) == ("never", ("dead",))
    assert finding.problem.place == "rules/made/dead.yaml:1"
    assert "at least 5 mm" not in finding.problem.text  # it is not to blame
    told = finding.problem.text.partition("where ")[2].split(" and ")
    assert len(told) == len(when)
    assert check_base(base).problems.count(finding.problem) == 1


@pytest.mark.parametrize("when", SOUND.values(), ids=SOUND)
def test_a_rule_that_can_fire_is_left_alone_and_fires(rules: Rules, when: list[str]) -> None:
    base = rules(
        rule("lives", "engineer", *when),
        rule(
            "other", "classify", "p.deck.sound is wet or rotten", then="p.clips.strength is strong"
        ),
    )
    assert find(base) == []
    judge = Judge(base)
    oracle = Oracle(judge.programs["plane"], base)
    situation = oracle.situation("rule:lives") or ()
    subject = Subject("plane", "shown", Binding())
    judgement = judge.judge(subject, None, given=readings(base, situation))
    judge.close()
    assert judgement.fires(base.rule("lives")).surely


def test_a_slot_is_not_filled_and_empty(rules: Rules) -> None:
    both = ["k.rail present", "k.rail absent"]
    (finding,) = find(rules(rule("dead", "forbid", *both, subject="stack")))
    text = "there is no situation where `stack.rail absent` and `stack.rail present`"
    assert finding.problem.text == f"rule `dead` never fires: {text}"
    neither = [f"not {c}" for c in both]
    assert len(find(rules(rule("dead", "forbid", *neither, subject="stack")))) == 1
    assert find(rules(rule("lives", "forbid", both[0], "not " + both[1], subject="stack"))) == []


def test_a_count_is_one_figure(rules: Rules) -> None:
    when = ["not k.adapters at most 2", "not k.adapters at least 3"]
    assert [f.kind for f in find(rules(rule("dead", "forbid", *when, subject="stack")))] == [
        "never"
    ]
    when = ["not k.adapters at most 2", "not k.adapters at least 4"]
    assert find(rules(rule("lives", "forbid", *when, subject="stack"))) == []


def test_a_requirement_that_its_guard_fulfils(rules: Rules) -> None:
    asked = {"otherwise": "forbidden", "require": f"['{HEIGHT} at most 20 mm']"}
    (finding,) = find(rules(rule("idle", "require", f"{HEIGHT} at most 10 mm", **asked)))
    assert finding.kind == "never"
    assert "`not plane.seam.height at most 20 mm`" in finding.problem.text
    assert find(rules(rule("alive", "require", f"{HEIGHT} at most 30 mm", **asked))) == []


def test_a_rule_that_is_always_excepted(rules: Rules) -> None:
    broad = rule("broad", "forbid", "p.seam.made is factory", **{"except": "[narrow]"})
    narrow = rule("narrow", "forbid", "p.seam.made is factory", "p.seam.flanks is differ")
    (finding,) = find(rules(broad, narrow))
    assert finding.rules == ("narrow",)
    where = "where `broad` stays silent and `plane.seam.made is factory`"
    assert finding.problem.text.endswith(where)
    narrow = rule("narrow", "forbid", "p.seam.flanks is differ")
    assert find(rules(broad, narrow)) == []


def test_alternatives_are_all_looked_at(rules: Rules) -> None:
    any_of = "{any: ['p.seam.made is by hand', 'p.seam.made is factory']}"
    assert find(rules(rule("lives", "forbid", any_of, "p.seam.made is factory"))) == []
    any_of = "{any: ['p.seam.shape is T', 'p.seam.shape is round']}"
    (finding,) = find(rules(rule("dead", "forbid", any_of, "p.seam.shape is batten")))
    assert finding.problem.text.count("; nor ") == 1


# --- words that never count ------------------------------------------------------------------


def test_a_weaker_word_that_a_stronger_always_covers(rules: Rules) -> None:
    weak = rule("weak", "engineer", "p.seam.made is factory", "p.seam.flanks is differ")
    base = rules(weak, rule("strong", "forbid", "p.seam.made is factory"))
    (finding,) = find(base)
    assert (finding.kind, finding.rules) == ("overshadowed", ("weak", "strong"))
    assert str(finding.problem) == (
        "rules/made/weak.yaml:1: every time `weak` fires, `strong` (forbidden) fires too, "
        "as where plane.seam.flanks is differ; plane.seam.made is factory"
    )
    assert all_fire(base, finding)
    report = check_base(base)
    assert finding.problem in report.notes
    assert finding.problem not in report.problems


def test_a_limit_behind_a_limit(rules: Rules) -> None:
    def limit(name: str, least: str, word: str) -> tuple[str, str]:
        asked = f"['{HEIGHT} at least {least}']"
        return rule(name, "require", require=asked, otherwise=word)

    base = rules(limit("inner", "30 mm", "engineer"), limit("outer", "40 mm", "forbidden"))
    (finding,) = find(base)
    assert (finding.kind, finding.rules) == ("overshadowed", ("inner", "outer"))
    assert all_fire(base, finding)
    assert (
        find(rules(limit("inner", "40 mm", "engineer"), limit("outer", "30 mm", "forbidden"))) == []
    )


def test_what_overshadows_nothing(rules: Rules) -> None:
    factory, differ = "p.seam.made is factory", "p.seam.flanks is differ"
    strong = rule("strong", "forbid", factory)
    narrow = rule("narrow", "forbid", factory, differ)
    assert find(rules(strong, narrow)) == []  # the same word
    assert find(rules(strong, rule("weak", "engineer", differ))) == []
    duty = rule("duty", "duty", factory, duty="condition")
    assert find(rules(strong, duty)) == []
    excepted = rule("weak", "engineer", factory, differ, **{"except": "[strong]"})
    assert find(rules(strong, excepted)) == []


# --- contradictions --------------------------------------------------------------------------


def test_two_words_for_one_quantity(rules: Rules) -> None:
    strong = rule("a", "classify", "p.seam.made is factory", then="p.clips.strength is strong")
    base = rules(
        strong, rule("b", "classify", "p.seam.shape is T", then="p.clips.strength is weak")
    )
    (finding,) = find(base)
    assert (finding.kind, finding.rules) == ("contradiction", ("a", "b"))
    assert finding.problem.text == (
        "rules `a` and `b` contradict each other: `plane.clips.strength` becomes both strong and "
        "weak where plane.seam.made is factory; plane.seam.shape is T"
    )
    assert all_fire(base, finding)
    assert finding.problem in check_base(base).problems
    weak = "p.clips.strength is weak"
    excepting = rule("b", "classify", "p.seam.shape is T", then=weak, **{"except": "[a]"})
    assert find(rules(strong, excepting)) == []
    assert find(rules(strong, rule("b", "classify", "p.seam.made is by hand", then=weak))) == []
    same = rule("b", "classify", "p.seam.shape is T", then="p.clips.strength is strong")
    assert find(rules(strong, same)) == []


def demand(name: str, condition: str, *when: str, **more: str) -> tuple[str, str]:
    return rule(name, "require", *when, require=f"['{condition}']", otherwise="forbidden", **more)


def test_two_demands_that_nothing_fulfils(rules: Rules) -> None:
    factory, differ = "p.seam.made is factory", "p.seam.flanks is differ"
    window = demand("a", f"{HEIGHT} within 22 to 30 mm", factory)
    base = rules(window, demand("b", f"{HEIGHT} at most 10 mm", differ))
    (finding,) = find(base)
    assert (finding.kind, finding.rules) == ("contradiction", ("a", "b"))
    assert "`plane.seam.height within 22 to 30 mm` and `plane.seam.height at most 10 mm` never" in (
        finding.problem.text
    )
    assert finding.problem.text.endswith(
        "where plane.seam.flanks is differ; plane.seam.made is factory"
    )
    assert all_fire(base, finding, "when")
    judge, judgement = judged(base, finding)
    for height in range(5_000, 40_000, 1_000):
        value = Measured("length", (Place(height, height),))
        given = readings(base, finding.situation)
        given["plane.seam.height"] = Reading(value, (), "plane.seam.height")
        judgement = judge.judge(judgement.subject, None, given=given)
        assert judgement.word(True).text == "forbidden", height  # whatever is built
    judge.close()


def test_demands_that_agree(rules: Rules) -> None:
    factory, differ = "p.seam.made is factory", "p.seam.flanks is differ"
    window = demand("a", f"{HEIGHT} within 22 to 30 mm", factory)
    for other in (
        demand("b", f"{HEIGHT} at most 22 mm", differ),  # they touch
        demand("b", f"{HEIGHT} at most 10 mm", "p.seam.made is by hand"),  # guards apart
        demand("b", f"{HEIGHT} at most 10 mm", differ, **{"except": "[a]", "require": "[]"}),
        demand("b", "p.seam.head at most 10 mm", differ),  # another path
        demand("b", f"{HEIGHT} at least 40 mm", f"{HEIGHT} at most 20 mm"),  # never kept: a ban
    ):
        assert find(rules(window, other)) == [], other


# --- without the solver ----------------------------------------------------------------------


def test_without_the_solver_one_note_says_so(base: Base, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "clingo", None)
    assert check_logic(base) == ([], [logic_check.LEFT_OUT])
    report = check_base(base)
    assert report.problems == ()
    (note,) = [n for n in report.notes if not n.file]
    assert str(note).endswith(
        "were not looked for; `pip install 'seamwright[logic]'` adds the solver"
    )
