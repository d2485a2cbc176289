"""Every text of a screen is said in each language, with the same holes, and somewhere asked for."""

import ast
import re
from collections.abc import Iterator

import pytest

from selector.errors import InputError
from selector.explanation.language import speaking
from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.knowledge.texts import FIRST, TextBook, holes
from tests.conftest import ROOT

SPEAKERS = ("selector/explanation", "selector/interfaces", "selector/maintenance")
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
