"""The strict reader: plain data with lines, or every problem at once."""

import os
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from selector.errors import InputError
from selector.jobs.write import text_of
from selector.knowledge.yaml_reader import LARGEST_FILE, read_file, read_string


def problems(text: str) -> str:
    with pytest.raises(InputError) as caught:
        read_string(text, "x.yaml")
    return str(caught.value)


def test_words_stay_words() -> None:
    text = "a: no\nb: 012\nc: 12:30:00\nd: 2024-01-02\ne: 1_000\nf: on\ng: 1e3\n"
    data = read_string(text, "x").data
    assert data == {
        "a": "no", "b": "012", "c": "12:30:00", "d": "2024-01-02", "e": "1_000", "f": "on",
        "g": "1e3",
    }  # fmt: skip


def test_plain_numbers_and_words_are_typed_and_quoted_ones_are_not() -> None:
    data = read_string("a: 3\nb: 3.50\nc: true\nd: null\ne: '3'\n", "x").data
    assert data == {"a": 3, "b": 3.5, "c": True, "d": None, "e": "3"}


def test_lines_of_keys_and_items() -> None:
    document = read_string("a:\n  b:\n    - 1\n    - 2\n", "x")
    assert (document.line("a", "b"), document.line("a", "b", 1), document.line("a", "zz")) == (
        2,
        4,
        1,
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a: 1\na: 2\n", "x.yaml:2: key `a` is written twice"),
        ("a: &x [1]\n", "anchor `&x`"),
        ("a: !!python/object/apply:os.system [ls]\n", "tag `tag:yaml.org,2002:python"),
        ("a: 1\n---\nb: 2\n", "second document"),
        ("a:\n\t- 1\n", "not tabs"),
        ("a: [1\n", "not readable as YAML"),
        ("? [a]\n: b\n", "a key must be plain text"),
        ("a:\nb: 1\n", "`a` has no value"),
        ("", "the file is empty"),
        ("# only a comment\n", "the file is empty"),
        ("\x00\x01\x02", "binary"),
        ("[" * 200_000, "not readable as YAML"),
        ("- " * 60 + "a\n", "nested deeper"),
    ],
)
def test_one_clear_message(text: str, said: str) -> None:
    assert said in problems(text)


def test_alias_bomb_ends_at_once() -> None:
    rows = ["a0: &a0 [x, x]"] + [f"a{i}: &a{i} [*a{i - 1}, *a{i - 1}]" for i in range(1, 40)]
    assert "alias `*a0`" in problems("\n".join(rows))


def test_all_problems_are_gathered() -> None:
    text = problems("a: 1\na: 2\nb: &x 1\nc:\n")
    assert text.count("x.yaml:") == 3


def test_large_missing_folder_and_binary_files(tmp_path: Path) -> None:
    large = tmp_path / "large.yaml"
    with large.open("wb") as file:
        file.truncate(LARGEST_FILE + 1)
    binary = tmp_path / "b.yaml"
    binary.write_bytes(os.urandom(300) + b"\xff\xfe")
    for path, said in (
        (large, "bytes; at most"),
        (tmp_path / "none.yaml", "no such file"),
        (tmp_path, "this is a folder"),
        (binary, "not UTF-8"),
    ):
        with pytest.raises(InputError, match=said):
            read_file(path)


SCALARS = st.one_of(
    st.booleans(),
    st.none(),
    st.integers(-(10**17), 10**17),
    st.decimals(-1000, 1000, places=2, allow_nan=False).map(float),
    st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=12),
    st.sampled_from(
        ["no", "on", "012", "12:30", "2024-01-02", "null", "true", "1e3", "~", "", "3"]
    ),
)
KEYS = st.text("abcdefgh_", min_size=1, max_size=6)
TREES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, min_size=1, max_size=3),
        st.dictionaries(KEYS, inner, min_size=1, max_size=3),
    ),
    max_leaves=8,
)


@given(st.dictionaries(KEYS, TREES, min_size=1, max_size=4))
def test_what_is_written_reads_back(data: dict[str, object]) -> None:
    document = read_string(text_of(data), "x")
    assert document.data == {"seamwright": "job/1", **data}


@given(st.text(max_size=200))
def test_any_text_gives_data_or_problems(text: str) -> None:
    try:
        read_string(text, "x")
    except InputError as error:
        assert error.problems


@given(TREES)
def test_agrees_with_a_plain_loader_on_quoted_text(tree: object) -> None:
    text = yaml.safe_dump({"k": tree}, default_style='"', allow_unicode=True)
    mine = read_string(text, "x") if "!!" not in text else None
    if mine is not None:
        assert mine.data == yaml.safe_load(text)
