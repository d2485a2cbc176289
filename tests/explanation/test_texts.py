"""Every text of a screen is said in each language, with the same holes, and somewhere asked for."""

import ast
import re
from collections.abc import Iterator

import pytest

from selector.errors import InputError
from selector.explanation.language import speaking, worded
from selector.explanation.narrate import name_key
from selector.explanation.texts import Texts
from selector.facts.view import all_paths
from selector.knowledge.base import Base
from selector.knowledge.schema import Clamp
from selector.knowledge.texts import FIRST, HOLE, TextBook, holes
from selector.maintenance.checks.text_check import check_texts
from selector.model.truth import ASPECTS, Word
from tests.conftest import ROOT

SPEAKERS = tuple(
    f"selector/{part}"
    for part in ("explanation", "questions", "store", "interfaces", "maintenance")
)
ID = re.compile(r"[a-z_]+(\.[a-z_]+)+")


def _trees() -> Iterator[tuple[str, ast.Module]]:
    for folder in SPEAKERS:
        for path in sorted((ROOT / folder).rglob("*.py")):
            yield path.relative_to(ROOT).as_posix(), ast.parse(path.read_text(encoding="utf-8"))


def _asked() -> tuple[dict[str, str], set[str]]:
    """Ids that the source names, with a place; patterns of those that it builds."""
    exact: dict[str, str] = {}
    built: set[str] = set()
    for file, tree in _trees():
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                if ID.fullmatch(node.value):
                    exact[node.value] = f"{file}:{node.lineno}"
            elif isinstance(node, ast.Call) and _called(node) == "say":
                built |= {_pattern(a) for a in node.args if isinstance(a, ast.JoinedStr)}
    return exact, built


def _called(node: ast.Call) -> str:
    return getattr(node.func, "attr", "") or getattr(node.func, "id", "")


def _pattern(node: ast.JoinedStr) -> str:
    pieces = (re.escape(v.value) if isinstance(v, ast.Constant) else r"[\w-]+" for v in node.values)
    return "".join(map(str, pieces))


def _bare(name: str) -> str:
    return re.sub(r"\.(one|other)$", "", name)


def _ids(book: TextBook) -> set[str]:
    return {_bare(name) for name in book.texts}


def test_every_text_that_the_source_asks_for_is_there(base: Base) -> None:
    ids = _ids(base.texts[FIRST])
    screens = {name.partition(".")[0] for name in ids}
    exact, built = _asked()
    for name, place in exact.items():
        if name.partition(".")[0] in screens:
            assert name in ids, f"{place}: no text `{name}`; add it to kb/texts/en.yaml and de.yaml"
    for pattern in built:
        assert any(re.fullmatch(pattern, name) for name in ids), pattern


def test_every_text_is_asked_for(base: Base) -> None:
    exact, built = _asked()
    for name in _ids(base.texts[FIRST]):
        used = name in exact or any(re.fullmatch(p, name) for p in built)
        assert used, f"nothing asks for the text `{name}`; remove it"


def test_what_has_one_has_other(base: Base) -> None:
    for book in base.texts.values():
        for name in book.texts:
            if name.endswith((".one", ".other")):
                assert {f"{_bare(name)}.one", f"{_bare(name)}.other"} <= set(book.texts)
                assert "n" in holes(book.texts[f"{_bare(name)}.other"])


def test_holes_are_filled_and_forms_chosen() -> None:
    # the two forms of a count in English and German: common practice, no source
    book = TextBook("xx", {"a.more.one": "{n} more", "a.more.other": "{n} others", "a.b": "<{x}>"})
    texts = Texts(book, TextBook(FIRST, {"a.c": "only here {n}"}))
    assert [texts.say("a.more", n=n) for n in (0, 1, 2)] == ["0 others", "1 more", "2 others"]
    assert texts.say("a.b", x="{y}") == "<{y}>"
    assert texts.say("a.c", n=1) == "only here 1"
    with pytest.raises(InputError, match=r"no text `a\.d`"):
        texts.say("a.d")


def test_an_unknown_language_is_bad_input(base: Base) -> None:
    with pytest.raises(InputError, match="no texts in `eo`"):
        speaking(base, "eo")


def test_english_is_the_base_as_it_is_written(base: Base) -> None:
    assert speaking(base, FIRST) == base


# --- other languages -----------------------------------------------------------------------


def test_every_language_says_everything_with_the_same_holes(base: Base) -> None:
    problems, notes = check_texts(base)
    assert [str(p) for p in (*problems, *notes)] == []


def test_nothing_of_a_base_stays_in_english(base: Base, german: Base) -> None:
    mine, own = list(worded(base)), list(worded(german))
    assert len(mine) == len(own)
    for (name, english, _), (_, text, _) in zip(mine, own, strict=True):
        plain = HOLE.sub("", english).strip(" ;:,[]")
        assert text != english or not plain, f"{name} is not said in German: {english}"


def test_words_of_the_vocabulary_are_said(base: Base, german: Base) -> None:
    vocabulary, said = base.vocabulary, german.texts["de"].words
    wanted = {w for key, words in vocabulary.words.items() if key in LISTS for w in words}
    wanted |= {w for q in vocabulary.quantities.values() for w in q.words if not _is_code(w)}
    wanted |= {tool for q in vocabulary.quantities.values() for tool in q.tools}
    wanted |= {w.text for w in Word} | set(ASPECTS) | set(vocabulary.acts)
    wanted |= {n.name for n in vocabulary.needs} | {n.lifted for n in vocabulary.needs}
    wanted |= {a.who for a in vocabulary.asks.values()}
    wanted |= {r.gate for r in base.rules if r.gate} | {r.lifted for r in base.rules if r.lifted}
    for catalogue in base.catalogues.values():
        for part in catalogue.parts.values():
            if isinstance(part.shape, Clamp):
                wanted |= {part.shape.set_screw.tip, *part.shape.screw_order}
    assert sorted(wanted - set(said)) == []


LISTS = ("shape", "metal", "coating", "colour", "family", "deck", "clip", "zone", "presence")
LISTS += ("unknown",)


def test_papers_are_named(base: Base, german: Base) -> None:
    texts = Texts.of(german)
    kinds = base.vocabulary.words["paper"]
    papers = [f"{kind}{number} of 2031-03-05" for kind in kinds for number in ("", " 31-051")]
    assert [x for paper in papers if (x := _english_left(texts, paper))] == []


def _is_code(word: str) -> bool:
    """Grades, classes and names of codes are written alike in every language."""
    return bool(re.search(r"[0-9]", word)) or word in {*"IBCD", "II", "III", "IV"} or "-" in word


def test_what_rules_read_has_a_name(base: Base, german: Base) -> None:
    read = {str(c.left) for r in base.rules for c in r.conditions}
    read |= {str(c.right) for r in base.rules for c in r.conditions if isinstance(c.right, tuple)}
    said = german.texts["de"].words
    names = {p: name_key(p) for p in all_paths(base) if p in read}
    assert len(names) > 80
    assert {p: n for p, n in names.items() if n not in said} == {}


def test_a_phrase_is_not_hidden_by_another(german: Base) -> None:
    texts = Texts.of(german)
    for english, own in texts.book.words.items():
        if "{" in english:
            shown = texts.shown(HOLE.sub(r"q\1", english))
            assert shown == HOLE.sub(r"q\1", own), f"move `{english}` up in words.yaml"


def _english_left(texts: Texts, said: str) -> str:
    """What stays of a text in German; empty where nothing does."""
    shown = texts.shown(said)
    left = [w for w in re.findall(r"[a-z]{3,}", said) if w in re.findall(r"[a-z]+", shown)]
    return f"`{said}` is shown as `{shown}`" if set(left) - {"qqq"} else ""


def test_facts_leave_no_english(german: Base) -> None:
    texts = Texts.of(german)
    found = list(_said_by_facts())
    assert len(found) > 100
    left = [f"{place}: {x}" for place, said in found if (x := _english_left(texts, said))]
    assert left == []


# Strings of these sources that no screen shows.
HIDDEN = {
    *("is one of", "at most", "at least", "covered by", "clamp on seam", "bad clamp on seam"),
    *("expired clamp on seam", "clip in deck", "bad clip in deck", "sheet data", "drift snow"),
    *("wind from behind", "front and rear clamps", "engineer's calculation"),
    *("engineer's statement", "papers of the roof system", "national map sheet", "test report"),
    *(
        "clip capacity",
        "seam parts",
        "qqq is registered twice",
        "profile qqq",
        "clamp qqq",
        "array qqq",
    ),
    *("listed inlay", "common practice", "from memory", " with qqq", "perhaps record "),
}
SAYERS = ("facts/*.py", "model/quantity.py", "model/fact.py")


def _said_by_facts() -> Iterator[tuple[str, str]]:
    """Texts that inference composes, with a `q` where a value stands."""
    for path in sorted(p for s in SAYERS for p in (ROOT / "selector").glob(s)):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        inner = {id(c) for n in ast.walk(tree) if isinstance(n, ast.JoinedStr) for c in n.values}
        docs = {id(n.value) for n in ast.walk(tree) if isinstance(n, ast.Expr)}
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                said = "".join(
                    str(v.value) if isinstance(v, ast.Constant) else "qqq" for v in node.values
                ).replace("qqqqqq", "qqq")
            elif isinstance(node, ast.Constant) and id(node) not in inner | docs:
                said = str(node.value)
            else:
                continue
            shown = re.search(r"[a-z]{2} [a-z(]|[a-z)] [a-z]{2}", said) and "." not in said
            if shown and said not in HIDDEN and not said.startswith(("sighted", "derived")):
                yield f"{path.name}:{node.lineno}", said.strip()


def test_the_words_of_pairings_and_numbers_are_said(base: Base, german: Base) -> None:
    texts = Texts.of(german)
    read = {str(c.left) for r in base.rules for c in r.conditions}
    read |= {str(c.right) for r in base.rules for c in r.conditions if isinstance(c.right, tuple)}
    wanted = {row.shape.because for row in base.pairings}
    wanted |= {n.text for n in base.numbers.values() if f"trade.{n.id}" in read}
    assert [x for said in sorted(wanted) if (x := _english_left(texts, said))] == []


def test_values_follow_the_language(german: Base) -> None:
    # decimal comma and degree sign in German: common practice, no source
    texts = Texts.of(german)
    assert texts.shown("24.8 mm +-0.5 mm to 25.3 mm +-0.5 mm at 3 places") == (
        "24,8 mm ±0,5 mm bis 25,3 mm ±0,5 mm an 3 Stellen"
    )
    assert texts.shown("22 deg +-1 deg") == "22° ±1°"
    assert texts.shown("rail-1.5") == "rail-1.5"
    assert texts.shown("none", "stack.insert") == "keiner"
    assert texts.shown("none", "stack.inlay") == "keine"


def test_names_stay_as_they_are(german: Base) -> None:
    texts = Texts.of(german)
    assert texts.shown("zinc offers demo/round") == "zinc bietet demo/round"
    assert texts.shown("no marks on ridge") == "keine Marken auf ridge"


def test_a_person_is_quoted_as_typed(german: Base) -> None:
    texts = Texts.of(german)
    assert texts.seen("photo or sample, calliper, paper p1, tk") == (
        "photo or sample, Schieblehre, Unterlage p1, tk"
    )
    assert texts.seen("tape, judge") == "Maßband, judge"
    assert texts.seen("tape, installer") == "Maßband, Monteur"
    assert texts.seen("phone, map, rn") == "Telefon, Karte, rn"
    assert texts.seen("tape") == "Maßband"


@pytest.fixture(scope="module")
def german(base: Base) -> Base:
    return speaking(base, "de")


def test_published_tables_are_said(base: Base, german: Base) -> None:
    texts = Texts.of(german)
    wanted: set[str] = set()
    for row in base.trade.published_pairs:
        table = row.shape
        wanted |= {table.title, table.bears_in_mind, *filter(None, table.columns)}
        wanted |= {sign.says for sign in table.signs.values()}
    assert sorted(wanted - set(texts.book.words)) == []
