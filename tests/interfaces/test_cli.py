"""The commands from outside: exit codes, data on stdout, problems on stderr, never a traceback."""

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from selector.knowledge.locate import home
from tests.interfaces.conftest import Cli, Ran

ROOT = Path(__file__).resolve().parent.parent.parent
PROGRAM = "from selector.interfaces.cli.main import run; run()"
WIDTH = 80

HEIGHT = "height:   {places: [24.8 mm, 25.1 mm, 25.3 mm], tool: calliper, by: tk}"
SECOND_LOOK = "{one_of: [double-lock, single-lock], how: head by calliper, by: tk}"
REQUEST = "request: {kind: choose, array: a1, want: core}"


Job = Callable[..., Path]
Pairs = list[tuple[str, str]]
Ask = Callable[..., Ran]


@pytest.fixture
def job(tmp_path: Path) -> Job:
    """The mill house with places replaced, as a file."""
    text = (home().examples / "mill-house" / "job.yaml").read_text(encoding="utf-8")

    def written(*pairs: tuple[str, str]) -> Path:
        changed = text
        for old, new in pairs:
            assert changed.count(old) == 1, f"{changed.count(old)} times in the file: {old}"
            changed = changed.replace(old, new)
        path = tmp_path / "job.yaml"
        path.write_text(changed, encoding="utf-8")
        return path

    return written


@pytest.fixture(scope="module")
def answered() -> dict[tuple[object, ...], Ran]:
    return {}


@pytest.fixture
def ask(cli: Cli, job: Job, answered: dict[tuple[object, ...], Ran]) -> Ask:
    """A command on a changed mill house; the same question is run once for all tests."""

    def ran(pairs: Pairs, command: str, *args: str) -> Ran:
        key = (tuple(pairs), command, *args)
        if key not in answered:
            answered[key] = cli(command, job(*pairs), *args)
        return answered[key]

    return ran


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the knowledge base without the rule cases, which take long to run."""
    where = tmp_path_factory.mktemp("base")
    ours = home()
    shutil.copytree(ours.kb, where / "kb")
    shutil.copytree(ours.rules, where / "rules", ignore=shutil.ignore_patterns("*.cases.yaml"))
    return where


def line_of(path: Path, part: str) -> int:
    text = path.read_text(encoding="utf-8")
    return text.count("\n", 0, text.index(part)) + 1


def refused(ran: Ran) -> list[str]:
    """The lines on stderr of a command that was refused for its input."""
    assert ran.code == 2
    assert ran.out == ""
    return ran.err.splitlines()


def program(
    *args: str | Path, env: dict[str, str] | None = None
) -> "subprocess.CompletedProcess[str]":
    """Run the entry point as a process of its own, its output piped."""
    whole = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": str(WIDTH), **(env or {})}
    return subprocess.run(
        [sys.executable, "-c", PROGRAM, *map(str, args)],
        capture_output=True,
        encoding="utf-8",
        errors="replace",
        env=whole,
        timeout=60,
        check=False,
    )


# --- exit codes ----------------------------------------------------------------------------

VERDICTS: list[tuple[str, int, Pairs]] = [
    ("CONDITIONAL, NOT RELEASED", 0, []),
    ("OBSERVE", 3, [(HEIGHT, "height: {unknown: can't reach}")]),
    ("ENGINEER", 4, [("parallel: {is: parallel", "parallel: {is: fanning")]),
    ("FORBIDDEN", 5, [(HEIGHT, HEIGHT.replace("24.8", "80").replace("25.", "80."))]),
]
QUESTIONS = (("pick",), ("judge", "--stack", "planned"))


@pytest.mark.parametrize(("word", "code", "pairs"), VERDICTS, ids=[v[0] for v in VERDICTS])
@pytest.mark.parametrize("question", QUESTIONS, ids=[q[0] for q in QUESTIONS])
def test_the_exit_code_is_the_word(
    ask: Ask, question: tuple[str, ...], word: str, code: int, pairs: Pairs
) -> None:
    shown = ask(pairs, *question)
    assert (shown.code, shown.err) == (code, "")
    assert re.search(rf"^{word}  ", shown.out, re.MULTILINE)
    given = ask(pairs, *question, "--json")
    data = json.loads(given.out)
    assert (given.code, data["word"], data["exit"]) == (code, word.partition(",")[0].lower(), code)


def test_a_forbidden_act_is_exit_five(cli: Cli, job: Job) -> None:
    ran = cli("judge", job(), "--act", "hook a lanyard to a rail")
    assert (ran.code, ran.err) == (5, "")
    assert re.search(r"^FORBIDDEN  ", ran.out, re.MULTILINE)


def test_the_demo_is_exit_zero_whatever_its_word(cli: Cli) -> None:
    shown = cli("demo")
    assert (shown.code, shown.err) == (0, "")
    assert "DEMO" in shown.out


def test_a_fault_of_the_program_is_exit_seventy(
    cli: Cli, job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("a bug")

    monkeypatch.setattr("selector.interfaces.cli.answers.load_base", broken)
    ran = cli("pick", job())
    assert ran.code == 70
    assert ran.out == ""
    assert "a bug" in ran.err


def test_version_and_help(cli: Cli) -> None:
    version = cli("--version")
    assert (version.code, version.err) == (0, "")
    assert re.fullmatch(r"seamwright [0-9]+\.[0-9]+\.[0-9]+\n", version.out)
    top = cli("--help")
    assert top.code == 0
    for name in ("demo", "pick", "judge", "kb"):
        assert re.search(rf"^  {name} ", top.out, re.MULTILINE)
    assert max(map(len, top.out.splitlines())) <= WIDTH


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["pick"], "Missing argument"),
        (["pikc"], "No such command 'pikc'"),
        (["pick", "x.yaml", "--jsn"], "No such option: --jsn"),
        (["judge", "x.yaml", "--stack"], "requires an argument"),
        (["kb", "chek"], "No such command 'chek'"),
    ],
)
def test_a_misspelt_command_is_exit_two(cli: Cli, args: list[str], said: str) -> None:
    assert said in "\n".join(refused(cli(*args)))


# --- data ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "question", [*QUESTIONS, ("judge", "--act", "hook a lanyard to a rail")], ids=range(3)
)
def test_json_is_all_there_is_on_stdout(ask: Ask, question: tuple[str, ...]) -> None:
    ran = ask([], *question, "--json")
    data = json.loads(ran.out)
    assert (data["schema"], data["job"], data["exit"]) == ("answer/1", "mill-house", ran.code)
    assert re.fullmatch(r"[0-9a-f]{64}", data["base"])
    assert ran.err == ""


def test_json_of_the_demo(cli: Cli) -> None:
    ran = cli("demo", "--json")
    data = json.loads(ran.out)
    assert (ran.code, ran.err) == (0, "")
    assert (data["schema"], data["demo"], data["released"]) == ("answer/1", ["demo"], False)
    assert data["stacks"]


def test_json_of_the_check(cli: Cli, folders: Path) -> None:
    ran = cli("kb", "check", "--json", "--kb", folders)
    data = json.loads(ran.out)
    assert (data["schema"], data["sound"], ran.code, ran.err) == ("check/1", False, 2, "")
    assert data["counts"]["cases"] == 0
    rules = sum(1 for _ in (folders / "rules").glob("*/*.yaml"))
    assert data["counts"]["rules"] == rules
    texts = {p["text"] for p in data["problems"]}
    assert "rule `seam-outside-clamp-window` has no case that fires" in texts
    remedies = {p["remedy"].partition(" `")[0] for p in data["problems"]}
    assert remedies == {"add one beside the rule", "write"}
    assert all(p["line"] and p["file"].startswith("rules/") for p in data["problems"])


def test_the_same_question_gives_the_same_bytes(ask: Ask, job: Job) -> None:
    path = job()
    here = ask([], "pick", "--json").out
    for seed in "12":
        ran = program("pick", path, "--json", env={"PYTHONHASHSEED": seed})
        assert ran.stdout == here


@pytest.mark.parametrize("extra", [[], ["--json"]])
def test_problems_go_to_stderr_alone(cli: Cli, job: Job, extra: list[str]) -> None:
    path = job(("is: 22 deg", "is: 22 mm"))
    [said] = refused(cli("pick", path, *extra))
    assert said.startswith(f"error: job.yaml:{line_of(path, 'is: 22 mm')}: `pitch`: expected")


def test_several_problems_are_counted(cli: Cli, job: Job) -> None:
    path = job(("is: 22 deg", "is: 22 mm"), ("zones: [field]", "zones: [felt]"))
    lines = refused(cli("pick", path))
    assert [line.startswith("error: job.yaml:") for line in lines] == [True, True, False]
    assert lines[-1] == "2 problems"


# --- the screen ----------------------------------------------------------------------------


@pytest.mark.parametrize("pairs", [v[2] for v in VERDICTS], ids=[v[0] for v in VERDICTS])
def test_no_line_is_wider_than_the_screen(ask: Ask, pairs: Pairs) -> None:
    for question in QUESTIONS:
        lines = ask(pairs, *question).out.splitlines()
        assert lines
        assert [line for line in lines if len(line) > WIDTH or line != line.rstrip()] == []
        assert not any("\x1b" in line for line in lines)


def test_the_demo_fits_the_screen(cli: Cli) -> None:
    assert max(map(len, cli("demo", "--all").out.splitlines())) <= WIDTH


def test_piped_output_has_no_colour(job: Job) -> None:
    ran = program("pick", job(), env={"TERM": "xterm-256color"})
    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout.startswith("Job mill-house: ")
    assert "\x1b" not in ran.stdout
    assert max(map(len, ran.stdout.splitlines())) <= WIDTH


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo terminal")
def test_no_color_counts_on_a_terminal(job: Job) -> None:
    import pty

    env = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": str(WIDTH), "NO_COLOR": "1"}
    env["TERM"] = "xterm-256color"
    leader, follower = pty.openpty()
    command = [sys.executable, "-c", PROGRAM, "pick", str(job())]
    with subprocess.Popen(command, stdout=follower, stderr=follower, env=env) as process:
        os.close(follower)
        data = b""
        try:
            while chunk := os.read(leader, 65536):
                data += chunk
        except OSError:  # the other end is closed
            pass
        os.close(leader)
    assert process.returncode == 0
    shown = data.decode("utf-8")
    assert shown.startswith("Job mill-house: ")
    assert "\x1b" not in shown
    assert max(map(len, shown.split("\r\n"))) <= WIDTH


def test_a_reader_that_goes_away_is_no_error(job: Job) -> None:
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-c", PROGRAM, "pick", str(job()), "--json"]
    pipe = subprocess.PIPE
    with subprocess.Popen(command, stdout=pipe, stderr=pipe, env=env) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        said = process.stderr.read().decode()
    assert said == ""
    assert process.returncode in (0, 141)


def test_a_screen_that_knows_only_ascii(job: Job) -> None:
    ran = program("pick", job(VERDICTS[3][2][0]), env={"PYTHONIOENCODING": "ascii"})
    assert "Traceback" not in ran.stderr
    assert ran.returncode == 5
    assert "FORBIDDEN" in ran.stdout


# --- sightings that exclude each other -----------------------------------------------------


def test_contradictory_sightings_are_both_shown(cli: Cli, job: Job) -> None:
    path = job((SECOND_LOOK, "{is: round, how: another photo, by: tk}"))
    ran = cli("pick", path)
    assert (ran.code, ran.err) == (3, "")
    assert re.search(r"^OBSERVE  ", ran.out, re.MULTILINE)
    block = ran.out.partition("Contradictory")[2].partition("\n\n")[0]
    for part in ("double-lock", "round", "another photo", "photo of one seam end"):
        assert part in " ".join(block.split())
    for part in ("{is: double-lock", "{is: round"):
        assert f"job.yaml:{line_of(path, part)}" in "".join(block.split())


def test_contradictory_sightings_in_data(cli: Cli, job: Job) -> None:
    path = job((SECOND_LOOK, "{is: round, how: another photo, by: tk}"))
    ran = cli("judge", path, "--stack", "planned", "--json")
    assert ran.code == 3
    contradicted = json.loads(ran.out)["contradicted"]
    assert "plane.seam.shape" in json.dumps(contradicted)
    assert "round" in json.dumps(contradicted)


def test_agreeing_sightings_say_nothing_of_a_contradiction(ask: Ask) -> None:
    assert "Contradictory" not in ask([], "pick").out


# --- names that are not there ---------------------------------------------------------------


def test_an_unknown_stack_offers_those_of_the_job(cli: Cli, job: Job) -> None:
    [said] = refused(cli("judge", job(), "--stack", "plannd"))
    assert "no stack `plannd`" in said
    assert "planned" in said.partition("; ")[2]


def test_judge_without_a_stack_asks_which(cli: Cli, job: Job) -> None:
    [said] = refused(cli("judge", job()))
    assert "which stack?" in said
    assert "--stack" in said
    assert "planned" in said


def test_an_unknown_act_offers_near_ones(cli: Cli, job: Job) -> None:
    [said] = refused(cli("judge", job(), "--act", "hook a lanyrd to a rail"))
    assert "`hook a lanyrd to a rail` is no act of the vocabulary" in said
    assert "did you mean `hook a lanyard to a rail`?" in said


def test_a_stack_and_an_act_are_two_questions(cli: Cli, job: Job) -> None:
    ran = cli("judge", job(), "--stack", "planned", "--act", "hook a lanyard to a rail")
    assert refused(ran) == ["error: give either --stack or --act; one question at a time"]


def test_pick_sends_a_judge_request_to_judge(cli: Cli, job: Job) -> None:
    path = job((REQUEST, "request: {kind: judge, stack: planned}"))
    [said] = refused(cli("pick", path))
    assert "job.yaml: this job asks to judge, not to choose; ask with: seamwright judge" in said
    assert said.endswith(str(path))
    assert cli("judge", path).code == 0


@pytest.mark.parametrize(
    ("old", "new", "said", "near"),
    [
        ("clamp: demo/dl-1", "clamp: demo/dl-99", "no part `demo/dl-99`", "`demo/dl-5`"),
        ("clamp: demo/dl-1", "clamp: demo/rail-u", "is a rail, not a clamp", "demo/"),
        ("clamp: demo/dl-1", "clamp: dl-1", "no part `dl-1`", "`demo/dl-1`"),
        ("rail: demo/rail-u", "rail: yes", "no part `yes`", "demo/rail-u"),
        ("module: demo/module-p35", "module: demo/module-p53", "no part", "`demo/module-p35`"),
        ("catalogues: [demo]", "catalogues: [demoo]", "no catalogue `demoo`", "`demo`"),
        (", want: core}", ", must_use: {clamp: demo/dl-33}}", "`demo/dl-33`", "`demo/dl-3`"),
    ],
)
def test_a_part_that_is_not_there(
    cli: Cli, job: Job, old: str, new: str, said: str, near: str
) -> None:
    path = job((old, new))
    [line] = refused(cli("pick", path))
    assert said in line
    assert near in line.partition("; ")[2]
    place = re.match(r"error: job\.yaml:([0-9]+): ", line)
    assert place, "the line of the file is missing"
    # a part of a stack may be reported at the stack, three lines above at most
    assert line_of(path, new) - 3 <= int(place.group(1)) <= line_of(path, new)


# --- files that are not there or not readable ------------------------------------------------


def test_a_job_that_is_no_job_file(cli: Cli, tmp_path: Path) -> None:
    (tmp_path / "empty.yaml").write_text("")
    (tmp_path / "binary.yaml").write_bytes(bytes(range(256)))
    with (tmp_path / "large.yaml").open("wb") as file:
        file.truncate(50_000_000)
    for name, said in (
        ("none.yaml", "no such file; check the path"),
        ("", "this is a folder; name a file"),
        ("empty.yaml", "the file is empty; start from"),
        ("binary.yaml", "the file is not UTF-8 text; save it"),
        ("large.yaml", "the file has 50,000,000 bytes; at most 4,000,000 are read"),
        ("a" * 300, "cannot be read"),
    ):
        [line] = refused(cli("pick", tmp_path / name))
        assert line.startswith("error: ")
        assert said in line


@pytest.mark.parametrize("command", [["demo"], ["kb", "check"]])
def test_a_base_that_is_not_there(cli: Cli, tmp_path: Path, command: list[str]) -> None:
    for path in (tmp_path / "none", tmp_path):
        [line] = refused(cli(*command, "--kb", path))
        assert line == (
            f"error: {path}: no knowledge base here: expected `kb/vocabulary.yaml` and `rules/` "
            "inside; name the folder that holds both"
        )


def test_a_typo_in_a_rule_stops_every_command(
    cli: Cli, job: Job, folders: Path, tmp_path: Path
) -> None:
    where = tmp_path / "own"
    shutil.copytree(folders, where)
    rule = where / "rules" / "grips" / "seam-outside-clamp-window.yaml"
    text = rule.read_text(encoding="utf-8")
    assert text.count("otherwise: forbidden") == 1
    rule.write_text(text.replace("otherwise: forbidden", "otherwise: forbiden"), encoding="utf-8")
    place = f"rules/grips/{rule.name}:{line_of(rule, 'otherwise:')}"
    for command in (["pick", job()], ["judge", job(), "--stack", "planned"], ["kb", "check"]):
        [line] = refused(cli(*command, "--kb", where))
        assert line.startswith(f"error: {place}: `otherwise` is `forbiden`; use one of 'observe'")


def test_a_copied_base_answers_like_the_shipped_one(
    cli: Cli, ask: Ask, job: Job, folders: Path
) -> None:
    mine: dict[str, Any] = json.loads(cli("pick", job(), "--json", "--kb", folders).out)
    ours: dict[str, Any] = json.loads(ask([], "pick", "--json").out)
    assert mine.pop("base") != ours.pop("base")
    assert mine == ours
