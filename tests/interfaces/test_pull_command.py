"""`seamwright pull` from outside: pages, data, the draft of a record, wrong input."""

import json
import re
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from selector.explanation.language import speaking
from selector.explanation.pull.page import page
from selector.explanation.pull.telling import PullTelling
from selector.explanation.texts import Texts
from selector.facts.links.pull import pulled_of
from selector.jobs.pull_read import read_pulls
from selector.knowledge.base import Base
from selector.knowledge.schema import ClipRecord, check
from selector.knowledge.yaml_reader import read_string
from tests.conftest import ROOT
from tests.facts.links.pull_files import FACTORS, HEAD, failed, held, text_of
from tests.interfaces.conftest import Cli, Ran

GRANARY = ROOT / "examples" / "granary" / "pulls.yaml"
EIGHT = [failed(x) for x in (1.52, 1.71, 1.6, 1.74, 1.55, 1.66, 1.49, 1.69)]
EDGE = {"edge": "{is: 0.40 kN, paper: calc}"}
DIRECT = {"method": "{is: EN 1990 D.7.3, paper: plan}", "eta_d": "{is: 1.0, paper: calc}"}
FIXED = {
    "distribution": "{is: log-normal, paper: plan}",
    "variation": "{is: 4 %, paper: prior}",
}
OFFHAND = EIGHT[0] | {"but": "{deck_thickness: 22 mm, direction: down the slope}"}
LATE = HEAD.replace("until: 2031-11-01", "until: 2031-04-21")
FILES: dict[str, tuple[str, str, str]] = {  # text, word, what the page says
    "value": (text_of(*EIGHT, record=FACTORS), "CONDITIONAL", "1.076 kN"),
    "fixed": (text_of(*EIGHT, record=FACTORS | FIXED), "CONDITIONAL", "laid down before testing"),
    "direct": (text_of(*EIGHT, record=DIRECT), "CONDITIONAL", "found directly (D.7.3)"),
    "direct of three": (text_of(*EIGHT[:3], record=DIRECT), "ENGINEER", "too few or too scattered"),
    "no factors": (text_of(*EIGHT), "ENGINEER", "eta_d, gamma_M is in no paper here"),
    "scattered": (
        text_of(*(failed(x) for x in (0.4, 1.3, 0.75)), record=FACTORS),
        "ENGINEER",
        "too few or too scattered",
    ),
    "too few": (text_of(*EIGHT[:2]), "OBSERVE", "fewer than 3 failures (2)"),
    "no scatter": (text_of(*[EIGHT[0]] * 4), "OBSERVE", "without any scatter"),
    "mixed": (
        text_of(*EIGHT[:3], failed(1.6, "edge"), OFFHAND),
        "OBSERVE",
        "zone: edge (1), field (4); thickness of the deck: 22 mm (1), 24 mm (4); "
        "direction: away from the roof (4), down the slope (1)",
    ),
    "outlier": (text_of(*EIGHT[:7], failed(0.9), record=FACTORS), "CONDITIONAL", "Pull 8 stands"),
    "below the demand": (
        text_of(*EIGHT, record=FACTORS, demand={"field": "{is: 1.5 kN, paper: calc}"}),
        "ENGINEER",
        "Pull 7 failed below what a clip is to bear there: an engineer, before anything is built. "
        "! The design value lies below",
    ),
    "held": (text_of(*[held(0.6, "edge")] * 5, demand=EDGE), "CONDITIONAL", "Shown: 0.400 kN"),
    "held too few": (text_of(held(0.6, "edge"), demand=EDGE), "OBSERVE", "5 are needed"),
    "held for nothing": (text_of(held(0.6, "edge")), "OBSERVE", "is in no calculation here"),
    "proof failed": (
        text_of(*[held(0.6, "edge")] * 5, failed(0.5, "edge", to_hold="0.6 kN"), demand=EDGE),
        "ENGINEER",
        "counts as one failure of a future sample",
    ),
    "proof mixed": (
        text_of(held(0.6, "edge"), held(0.6, "edge", but="{metal: copper, nails: one screw}")),
        "OBSERVE",
        "nails: not said (1), one screw (1); metal: copper (1), zinc (1)",
    ),
    "tool ran out": (text_of(*EIGHT, record=FACTORS, head=LATE), "ENGINEER", "but only until"),
    "down the slope": (
        text_of(
            *EIGHT,
            record=FACTORS,
            head=HEAD.replace("away from the roof", "down the slope")
            .replace("failure: break", "failure: moved 3 mm")
            .replace(", calibrated_until: 2031-11-01", ""),
        ),
        "CONDITIONAL",
        "not the hold against uplift",
    ),
}
Pull = Callable[..., Ran]


@pytest.fixture
def pull(cli: Cli) -> Pull:
    """Run `seamwright pull`."""
    return partial(cli, "pull")


def written(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "pulls.yaml"
    path.write_text(text, encoding="utf-8")
    return path


# --- pages ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_page_is_the_text_beside_the_example(
    base: Base, language: str, request: pytest.FixtureRequest
) -> None:
    spoken = speaking(base, language)
    told = PullTelling(
        pulled_of(spoken, read_pulls(GRANARY, base.vocabulary)), spoken, Texts.of(spoken)
    )
    text = "\n".join(page(told, "VERSION")).replace(base.digest[:12], "DIGEST") + "\n"
    tail = "" if language == "en" else f".{language}"
    file = GRANARY.with_name(f"pulls{tail}.txt")
    if request.config.getoption("--rewrite"):
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", FILES)
def test_the_exit_is_0_whatever_the_word(pull: Pull, tmp_path: Path, name: str) -> None:
    text, word, said = FILES[name]
    ran = pull(written(tmp_path, text))
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.splitlines()[3].startswith(f"{word}  ")
    assert said in ran.flat


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("name", FILES)
def test_eighty_columns_without_colour(
    pull: Pull, tmp_path: Path, name: str, language: str
) -> None:
    ran = pull(written(tmp_path, FILES[name][0]), "--lang", language)
    assert ran.code == 0
    assert [line for line in ran.out.splitlines() if len(line) > 80] == []
    assert "\x1b" not in ran.out
    assert all(line == line.rstrip() for line in ran.out.splitlines())


def test_what_the_pulls_may_not_stand_for_is_said(pull: Pull, tmp_path: Path) -> None:
    for text, _, _ in FILES.values():
        said = pull(written(tmp_path, text)).flat
        for never in ("not the clamp on the seam", "not tested counts as zero", "over the years"):
            assert never in said
        assert "only through the knowledge owner" in said
        assert "damages the roof" in said
        assert said.count("a licensed engineer and the local building code decide") == 1


def test_no_value_is_printed_of_a_sample_that_is_refused(pull: Pull, tmp_path: Path) -> None:
    for name in ("too few", "no scatter", "mixed"):
        said = pull(written(tmp_path, FILES[name][0])).flat
        assert "mean" not in said.partition("What the failures show")[2].partition("To confirm")[0]
        assert "design value X_d" not in said


def test_a_file_that_is_not_invented_says_so_nowhere(pull: Pull, tmp_path: Path) -> None:
    text = FILES["value"][0]
    assert "DEMO" in pull(written(tmp_path, text)).out
    real = pull(written(tmp_path, text.replace("invented: true\n", "")))
    assert "DEMO" not in real.out
    assert "here only, once all below is confirmed" in real.flat


# --- data ----------------------------------------------------------------------------------------


def test_the_data_is_one_object(pull: Pull) -> None:
    data = json.loads(pull(GRANARY, "--json").out)
    assert (data["schema"], data["word"], data["demo"]) == ("pull/1", "conditional", True)
    assert len(data["pulls"]) == 15
    assert data["sample"]["pulls"] == list(range(1, 10))
    # by hand: 7.26 kN over nine; the loads squared sum to 5.8884 kN2
    assert data["sample"]["mean"] == pytest.approx(7260 / 9)
    assert data["sample"]["sd"] == pytest.approx(((5.8884 - 7.26**2 / 9) / 8) ** 0.5 * 1e3)
    [edge] = data["proofs"]
    assert (edge["zone"], edge["outcome"], edge["enough"]) == ("edge", "held", 5)
    assert edge["shown"] == pytest.approx(700 / 1.5)


@pytest.mark.parametrize("name", FILES)
def test_the_data_has_the_same_keys_for_every_outcome(
    pull: Pull, tmp_path: Path, name: str
) -> None:
    data = json.loads(pull(written(tmp_path, FILES[name][0]), "--json").out)
    usual = json.loads(pull(GRANARY, "--json").out)
    assert data.keys() == usual.keys()
    assert data["word"].upper() == FILES[name][1]
    assert data["sample"] is None or data["sample"].keys() == usual["sample"].keys()
    for proof in data["proofs"]:
        assert proof.keys() == usual["proofs"][0].keys()


def test_keys_are_english_whatever_the_language(pull: Pull) -> None:
    one, other = (json.loads(pull(GRANARY, "--json", "--lang", x).out) for x in ("en", "de"))
    assert one["sample"].pop("text") != other["sample"].pop("text")
    assert one["proofs"][0].pop("text") != other["proofs"][0].pop("text")
    assert one.pop("to_confirm") != other.pop("to_confirm")
    assert one == other


# --- the draft of a record -----------------------------------------------------------------------


def drafted(out: str, **filled: str) -> tuple[Any, list[str]]:
    """The record of a draft with some of its gaps filled, and what its reader says against it."""
    for gap, text in filled.items():
        out = re.sub(rf'\b{gap}: "\?"', f"{gap}: {text}", out)
    document = read_string(out, "draft.yaml")
    problems: list[Any] = []
    [row] = document.data
    return check(ClipRecord, row, document, (0,), problems), [p.text for p in problems]


FILLED = {
    "id": "cl-90",
    "strength": "weak",
    "by": "example roofers",
    "number": "P-1",
    "dated": "2031-04-22",
    "since": "2031-05-06",
    "until": "2033-05-05",
}


def test_a_draft_that_nobody_finished_is_no_record(pull: Pull) -> None:
    ran = pull(GRANARY, "--record")
    assert ran.code == 0
    assert ran.out.startswith("# DRAFT")
    record, problems = drafted(ran.out)
    assert record is None
    assert len(problems) == 4  # strength, and three dates
    for gap in ("strength", "dated", "since", "until"):
        kept = {k: v for k, v in FILLED.items() if k != gap}
        assert drafted(ran.out, **kept)[0] is None


@pytest.mark.parametrize("lang", ["en", "de"])
@pytest.mark.parametrize("name", ["value", "fixed", "direct", "outlier", "down the slope"])
def test_a_draft_that_is_filled_is_a_record(
    pull: Pull, tmp_path: Path, name: str, lang: str
) -> None:
    path = written(tmp_path, FILES[name][0])
    data = json.loads(pull(path, "--json").out)["sample"]
    record, problems = drafted(pull(path, "--record", "--lang", lang).out, **FILLED)
    assert problems == []
    assert (record.basis, record.zones, record.deck.kind) == ("gross", ("field",), "boards")
    down = name == "down the slope"
    result, other = (record.slide, record.pull) if down else (record.pull, record.slide)
    assert other == "not tested"
    [counts] = [v for v in data["values"] if v["distribution"] == data["counts"]]
    assert (result.n, result.failure) == (8, ("nails draw out",))
    assert result.mean == pytest.approx(data["mean"] * 1e3, abs=500)
    for mine, theirs in (
        (result.characteristic.value, counts["characteristic"]),
        (result.design.en.value, counts["design"]),
    ):
        assert theirs * 1e3 - 1000 < mine <= theirs * 1e3 + 1e-3  # rounded down to the newton
    assert result.variation.known == (name == "fixed")


@pytest.mark.parametrize(
    "name", ["too few", "no scatter", "mixed", "no factors", "scattered", "held", "tool ran out"]
)
def test_there_is_no_draft_without_a_design_value(pull: Pull, tmp_path: Path, name: str) -> None:
    ran = pull(written(tmp_path, FILES[name][0]), "--record")
    assert ran.code == 0
    assert all(line.startswith("# ") for line in ran.out.splitlines())
    assert "No record" in ran.out


def test_a_draft_that_the_tests_speak_against_has_no_outcome(pull: Pull, tmp_path: Path) -> None:
    ran = pull(written(tmp_path, FILES["below the demand"][0]), "--record")
    assert "Stopped at ENGINEER" in ran.out
    assert drafted(ran.out, **FILLED)[0] is None
    assert drafted(ran.out, outcome="bad", **FILLED)[0] is not None


def test_what_somebody_typed_stays_in_its_comment(pull: Pull, tmp_path: Path) -> None:
    head = HEAD.replace("roof: nowhere", r'roof: "nowhere\n- id: cl-66"')
    ran = pull(written(tmp_path, text_of(*EIGHT, record=FACTORS, head=head)), "--record")
    assert drafted(ran.out, **FILLED)[0].id == "cl-90"


# --- bad input: exit 2, one clear message, nothing else ------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("failed_at: 0.78 kN", "failed_at: 0.78", "with its unit, given `0.78`"),
        ("zone: edge, held: 0.72 kN", "zone: verge, held: 0.72 kN", "`verge` is no zone"),
        ("shape: double-lock", "shape: double", "`double` is no shape"),
        ("calibrated: 2030-11-02", "calibrated: 2031-11-02", "after the pulls"),
        ("gamma_m: {is: 1.33", "gamma_m: {is: 0.9", "gamma_M is a number from 1 to 10"),
        ("eta_d:   {is: 0.80, paper: calc}", "eta:   {is: 0.80, paper: calc}", "unknown key `eta`"),
        ("seam: s21, from_eave: 0.35 m", "seam: s03, from_eave: 2.10 m", "failed before"),
    ],
)
def test_wrong_input(pull: Pull, tmp_path: Path, old: str, new: str, said: str) -> None:
    lines = GRANARY.read_text(encoding="utf-8").splitlines()
    [number] = [i for i, line in enumerate(lines, 1) if old in line]
    lines[number - 1] = lines[number - 1].replace(old, new)
    for option in ((), ("--json",), ("--record",)):
        ran = pull(written(tmp_path, "\n".join(lines) + "\n"), *option)
        assert (ran.code, ran.out) == (2, "")
        assert f"pulls.yaml:{number}: " in ran.err
        assert said in ran.err


def test_a_file_of_another_kind(pull: Pull, tmp_path: Path) -> None:
    for path in (GRANARY.with_name("job.yaml"), tmp_path / "nothing.yaml", tmp_path):
        ran = pull(path)
        assert (ran.code, ran.out) == (2, "")
        assert ran.err.startswith("error: ")


def test_two_ways_at_once(pull: Pull) -> None:
    ran = pull(GRANARY, "--record", "--json")
    assert (ran.code, ran.out) == (2, "")
    assert "both asked for" in ran.err
