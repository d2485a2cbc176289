"""Faults between made-up rules are found, sound neighbours are not, and what is shown is true."""

import random
import sys
from collections.abc import Callable, Iterable, Iterator
from itertools import product

import pytest

from selector.facts.view import Binding, View, type_of
from selector.inference import plain
from selector.inference.horn import Literal
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
    "plane": "{p: plane, s: site, t: trade}",
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
        lists = [c.right for c in conditions if isinstance(c.right, tuple)]
        named |= {w for words in lists if not isinstance(words, Path) for w in words}
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
        single = path.startswith("site.") or kind == "count"  # no job can state a spread of these
        for low, high in product(near, near):
            if low == high or (low < high and not single):
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


def test_the_shipped_rules_are_sound(base: Base) -> None:
    assert find(base) == []


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


@pytest.mark.parametrize("kind", SUBJECTS)
def test_no_real_situation_is_left_out(base: Base, judge: Judge, kind: str) -> None:
    """Whatever is read, the solver holds for possible what the judge finds, heads included."""
    assert outside(base, judge, kind, 10) == []


def outside(base: Base, judge: Judge, kind: str, often: int) -> list[str]:
    """Judged worlds of random readings that are no situation of the solver."""
    program = judge.programs[kind]
    oracle = Oracle(program, base)
    about = list(program.conditions.values())
    derived = {r.then.left for r in program.rules if r.then is not None}
    paths = {str(p) for c in about for p in (c.left, c.right) if isinstance(p, Path)}
    paths -= {str(p) for p in derived} | {f"trade.{n}" for n in base.numbers}
    covers = [f"{c.left} {c.right}" for c in about if c.operator == "covered by"]
    paths -= {str(c.left) for c in about if c.operator == "covered by"}
    found = []
    for seed in range(often):
        chance = random.Random(f"{kind} {seed}")
        given: dict[str, Reading] = {}
        for path in sorted(paths):
            near = [c for c in about if path in (str(c.left), str(c.right))]
            value = chance.choice(list(choices(base, near, path)))
            given[path] = Reading(value, (frozenset(),), path)  # type: ignore[arg-type]
        for path in covers:
            given[path] = Reading(Cover(chance.choice([YES, NO]), (), ()), (), path)
        judgement = judge.judge(Subject(kind, "any", Binding()), None, given=given)
        for world in judgement.worlds:
            bits = {n: a.bits for n, a in world.atoms.items()} | world.heads
            held = [Literal(n, b.surely) for n, b in bits.items() if b.surely == b.possibly]
            if not oracle.possible(*held):
                found.append(", ".join(map(str, oracle.conflict(held))))
    return found


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
        "not s.sea_distance at most t.salt_distance",
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
    "two paths": [f"{HEIGHT} at most 10 mm", "p.seam.spacing at least 20 mm"],
    "a word that a rule gives": ["p.clips.strength is strong", "p.seam.made is factory"],
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
    text = "there is no situation where `stack.rail present` and `stack.rail absent`"
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
    narrow = rule("narrow", "forbid", "p.seam.made is factory", "p.seam.parallel is fanning")
    (finding,) = find(rules(broad, narrow))
    assert finding.rules == ("narrow",)
    where = "where `plane.seam.made is factory` and `broad` stays silent"
    assert finding.problem.text.endswith(where)
    narrow = rule("narrow", "forbid", "p.seam.parallel is fanning")
    assert find(rules(broad, narrow)) == []


def test_a_default_word_gives_way_to_a_derived_one(rules: Rules) -> None:
    strong = rule("s", "classify", "p.seam.made is factory", then="p.clips.strength is strong")
    when = ["p.clips.strength is weak", "p.seam.made is factory"]
    (finding,) = find(rules(strong, rule("dead", "forbid", *when)))
    assert finding.rules == ("dead",)
    assert find(rules(strong, rule("lives", "forbid", when[0], "p.seam.made is by hand"))) == []


def test_words_that_may_be_layered_are_not_closed(rules: Rules) -> None:
    coatings = rules().vocabulary.words["coating"]
    when = [f"not p.sheet.coating is {word}" for word in coatings]
    assert find(rules(rule("lives", "forbid", *when))) == []


def test_the_smallest_situation_is_shown(rules: Rules) -> None:
    made, fans, shape = (
        "p.seam.made is factory",
        "p.seam.parallel is fanning",
        "p.seam.shape is T",
    )
    either = [f"{{any: ['{fans}', '{made}']}}", f"{{any: ['{shape}', '{made}']}}"]
    weak = rule("weak", "engineer", *either)
    both = rule("strong", "forbid", f"{{any: ['{fans}', '{shape}', '{made}']}}")
    (finding,) = find(rules(weak, both))
    assert [say(c) for c in finding.situation] == ["plane.seam.made is factory"]


def test_alternatives_are_all_looked_at(rules: Rules) -> None:
    any_of = "{any: ['p.seam.made is by hand', 'p.seam.made is factory']}"
    assert find(rules(rule("lives", "forbid", any_of, "p.seam.made is factory"))) == []
    any_of = "{any: ['p.seam.shape is T', 'p.seam.shape is round']}"
    (finding,) = find(rules(rule("dead", "forbid", any_of, "p.seam.shape is batten")))
    assert finding.problem.text.count("; nor ") == 1


def test_no_situation_is_left_out_of_what_conditions_have_to_do_with_each_other(
    rules: Rules,
) -> None:
    """Every list above as a rule, on hundreds of readings: right at each limit, spread and not."""
    lists = [*NEVER.values(), *SOUND.values()]
    classify = rule("c", "classify", "p.seam.made is factory", then="p.clips.strength is strong")
    several = rule("many", "forbid", *lists[0], f"{HEIGHT} at most 20 mm", places="3")
    made = [rule(f"r{i}", "engineer", *when) for i, when in enumerate(lists)]
    base = rules(*made, classify, several)
    judge = Judge(base)
    assert outside(base, judge, "plane", 150) == []
    judge.close()


# --- words that never count ------------------------------------------------------------------


def test_a_weaker_word_that_a_stronger_always_covers(rules: Rules) -> None:
    weak = rule("weak", "engineer", "p.seam.made is factory", "p.seam.parallel is fanning")
    base = rules(weak, rule("strong", "forbid", "p.seam.made is factory"))
    (finding,) = find(base)
    assert (finding.kind, finding.rules) == ("overshadowed", ("weak", "strong"))
    assert str(finding.problem) == (
        "rules/made/weak.yaml:1: every time `weak` fires, `strong` (forbidden) fires too, "
        "as where plane.seam.made is factory; plane.seam.parallel is fanning"
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


def test_fewer_readings_than_asked_fail_every_longer_demand(rules: Rules) -> None:
    window = {"require": f"['{HEIGHT} within 22 to 30 mm']"}
    two = rule("two", "require", otherwise="engineer", places="2", **window)
    three = rule("three", "require", otherwise="forbidden", places="3", **window)
    (finding,) = find(rules(two, three))
    assert finding.rules == ("two", "three")
    two = rule("two", "require", otherwise="forbidden", places="2", **window)
    three = rule("three", "require", otherwise="engineer", places="3", **window)
    assert find(rules(two, three)) == []


def test_what_overshadows_nothing(rules: Rules) -> None:
    factory, fans = "p.seam.made is factory", "p.seam.parallel is fanning"
    strong = rule("strong", "forbid", factory)
    narrow = rule("narrow", "forbid", factory, fans)
    assert find(rules(strong, narrow)) == []  # the same word
    assert find(rules(strong, rule("weak", "engineer", fans))) == []
    duty = rule("duty", "duty", factory, duty="condition")
    assert find(rules(strong, duty)) == []
    gate = rule("gate", "engineer", factory, fans, gate="fire")
    assert find(rules(strong, gate)) == []
    assert (
        find(
            rules(rule("strong", "forbid", factory, gate="fire"), rule("weak", "engineer", factory))
        )
        == []
    )
    excepted = rule("weak", "engineer", factory, fans, **{"except": "[strong]"})
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
    factory, fans = "p.seam.made is factory", "p.seam.parallel is fanning"
    window = demand("a", f"{HEIGHT} within 22 to 30 mm", factory)
    base = rules(window, demand("b", f"{HEIGHT} at most 10 mm", fans))
    (finding,) = find(base)
    assert (finding.kind, finding.rules) == ("contradiction", ("a", "b"))
    assert "`plane.seam.height within 22 to 30 mm` and `plane.seam.height at most 10 mm` never" in (
        finding.problem.text
    )
    assert finding.problem.text.endswith(
        "where plane.seam.made is factory; plane.seam.parallel is fanning"
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
    factory, fans = "p.seam.made is factory", "p.seam.parallel is fanning"
    window = demand("a", f"{HEIGHT} within 22 to 30 mm", factory)
    for other in (
        demand("b", f"{HEIGHT} at most 22 mm", fans),  # they touch
        demand("b", f"{HEIGHT} at most 10 mm", "p.seam.made is by hand"),  # guards apart
        demand("b", f"{HEIGHT} at most 10 mm", fans, **{"except": "[a]"}),
        demand("b", "p.seam.spacing at most 10 mm", fans),  # another path
        demand("b", f"{HEIGHT} at least 40 mm", f"{HEIGHT} at most 20 mm"),  # never kept: a ban
    ):
        assert find(rules(window, other)) == [], other


# --- without the solver ----------------------------------------------------------------------


def test_without_the_solver_one_note_says_so(rules: Rules, monkeypatch: pytest.MonkeyPatch) -> None:
    base = rules(rule("dead", "forbid", *NEVER["two words"]))
    assert len(check_logic(base)[0]) == 1
    monkeypatch.setitem(sys.modules, "clingo", None)
    assert check_logic(base) == ([], [logic_check.LEFT_OUT])
    report = check_base(base)
    assert not any("never fires" in p.text for p in report.problems)
    (note,) = [n for n in report.notes if not n.file]
    assert str(note).endswith(
        "were not looked for; `pip install 'seamwright[logic]'` adds the solver"
    )
