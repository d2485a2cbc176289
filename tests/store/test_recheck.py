"""Jobs judged again: the same rows however it is done, and loosenings on top."""

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from selector.errors import InputError
from selector.knowledge.base import Base
from selector.store.outfile import rows_file
from selector.store.recheck import Report, recheck, report_of
from selector.store.rows import Bench, Row
from selector.store.store import opened
from selector.store.tasks import Task, pick_last_of_each, tasks_of_files, tasks_of_store
from selector.store.workers import Setup, WorkerError, rows
from tests.conftest import ROOT
from tests.store.conftest import KeepJob

MILL = (ROOT / "examples/mill-house/job.yaml").read_text("utf-8")
REQUEST = re.compile(r"(?m)^request:.*\n(?:[ ].*\n)*")
ACTS = ("hook a lanyard to a rail", "cut with an abrasive disc on the roof")
HEAD = {"base": "b"}


def act_job(n: int) -> str:
    """A job that is quick to judge."""
    text = REQUEST.sub(f"request: {{kind: act, act: {ACTS[n % 2]}}}\n", MILL, count=1)
    return text.replace("id: mill-house", f"id: mill-{n}")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Eleven jobs in two folders, one that cannot be read, and what is no job."""
    folder = tmp_path / "jobs"
    for n in range(11):
        place = folder / ("a" if n % 2 else "b") / f"job-{n:02}.yaml"
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(act_job(n), encoding="utf-8")
    (folder / "b" / "broken.yaml").write_text("seamwright: job/1\nid: x\n", encoding="utf-8")
    (folder / "pulls.yaml").write_text("seamwright: pull/1\n", encoding="utf-8")
    (folder / "notes.txt").write_text("no job", encoding="utf-8")
    return folder


@pytest.fixture
def setup(base: Base) -> Setup:
    return Setup((None,), (base.digest,), (base,))


def run(
    out: Path | None, tasks: Iterator[Task], setup: Setup, workers: int = 1, head: Row = HEAD
) -> tuple[Report, list[Row]]:
    with rows_file(out, head) as file:
        done = file.begun()
        report = recheck(file, tasks, setup, workers, None, done, lambda done: None)
        return report, list(file.rows())


def test_rows_are_the_same_and_in_order_however_many_workers(folder: Path, setup: Setup) -> None:
    found = [
        [r for chunk in rows(tasks_of_files([folder]), setup, n, method, 2) for r in chunk]
        for n, method in ((1, "fork"), (3, "fork"), (2, "spawn"))
    ]
    assert found[0] == found[1] == found[2]
    names = [Path(r["name"]).name for r in found[0]]
    assert names == [
        "pulls.yaml",
        *(f"job-{n:02}.yaml" for n in range(1, 11, 2)),
        "broken.yaml",
        *(f"job-{n:02}.yaml" for n in range(0, 11, 2)),
    ]
    assert [r["word"] for r in found[0]].count("forbidden") == 11
    kinds = {n: r["change"] for n, r in zip(names, found[0], strict=True) if r["change"] != "first"}
    assert kinds == {"pulls.yaml": "no job", "broken.yaml": "fault"}


def test_each_row_is_what_judging_alone_gives(folder: Path, setup: Setup, base: Base) -> None:
    bench = Bench.of((base,))
    alone = [bench.row(task) for task in tasks_of_files([folder])]
    assert [r for chunk in rows(tasks_of_files([folder]), setup, 2) for r in chunk] == alone


def test_a_job_that_asks_for_a_substitution_is_judged(setup: Setup) -> None:
    swap = "{kind: swap, stack: planned, out: demo/dl-1, in: demo/dl-2}"
    text = REQUEST.sub(f"request: {swap}\n", MILL, count=1)
    [[found]] = rows([Task("mill", "", text=text, file="mill.yaml")], setup, 1)
    assert (found["fault"], found["word"], found["exit"]) == ("", "forbidden", 5)
    assert found["asked"]["in"] == "demo/dl-2"


def test_what_is_wrong_with_one_job_stops_no_other(folder: Path, setup: Setup) -> None:
    report, found = run(None, tasks_of_files([folder]), setup)
    [fault] = [r for r in found if r["change"] == "fault"]
    assert "broken.yaml" in fault["fault"] and fault["exit"] == 2
    assert (report.total, report.exit, report.changes["no job"]) == (12, 2, 1)
    assert [r["name"] for r in report.listed] == [fault["name"]]


@pytest.mark.parametrize("stop_after", [1, 2, 5])
@pytest.mark.parametrize("torn", [b"", b'{"name": "half', b"\x00\x00"])
def test_an_interrupted_run_goes_on_and_ends_in_the_same_bytes(
    folder: Path, setup: Setup, tmp_path: Path, stop_after: int, torn: bytes
) -> None:
    whole, parts = tmp_path / "whole.jsonl", tmp_path / "parts.jsonl"
    run(whole, tasks_of_files([folder]), setup)
    lines = whole.read_bytes().splitlines(keepends=True)
    parts.write_bytes(b"".join(lines[: 1 + stop_after]) + torn)
    run(parts, tasks_of_files([folder]), setup, workers=2)
    assert parts.read_bytes() == whole.read_bytes()
    report, _ = run(parts, tasks_of_files([folder]), setup)
    assert report.total == 12 and parts.read_bytes() == whole.read_bytes()


def test_a_head_that_was_torn_is_written_anew(setup: Setup, folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "rows.jsonl"
    out.write_bytes(b'{"schema":"rech')
    assert run(out, tasks_of_files([folder]), setup)[0].total == 12


@pytest.mark.parametrize(
    "content",
    [b'{"schema":"recheck/1","base":"other"}\n', b"my notes\n", b'{"a":1}', b"no end of line"],
)
def test_another_file_is_refused_and_left_alone(
    setup: Setup, folder: Path, tmp_path: Path, content: bytes
) -> None:
    out = tmp_path / "rows.jsonl"
    out.write_bytes(content)
    with pytest.raises(InputError, match="is no recheck by this base"):
        run(out, tasks_of_files([folder]), setup)
    assert out.read_bytes() == content


def test_other_jobs_than_before_are_refused(setup: Setup, folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "rows.jsonl"
    run(out, tasks_of_files([folder]), setup)
    before = out.read_bytes()
    changed = folder / "a" / "job-03.yaml"
    changed.write_text(act_job(3) + "# looked at again\n", encoding="utf-8")
    with pytest.raises(InputError, match="the jobs are others") as caught:
        run(out, tasks_of_files([folder]), setup)
    assert "job-03.yaml" in str(caught.value)
    changed.unlink()
    with pytest.raises(InputError, match="the jobs are others"):
        run(out, tasks_of_files([folder]), setup)
    assert out.read_bytes() == before


def test_two_runs_do_not_write_one_file(tmp_path: Path) -> None:
    pytest.importorskip("fcntl", reason="locks of files are those of Unix")
    out = tmp_path / "rows.jsonl"
    with rows_file(out, HEAD) as one, rows_file(out, HEAD) as other:
        one.begun()
        with pytest.raises(InputError, match="another recheck writes this file"):
            other.begun()


FULL = """
import resource, sys
from pathlib import Path
from selector.errors import InputError
from selector.store.outfile import rows_file
with rows_file(Path(sys.argv[1]), {"base": "b"}) as file:
    file.begun()
    file.add([{"name": "one"}])
    resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))
    try:
        file.add([{"name": "two" * 100}])
    except InputError as error:
        print(error)
"""


def test_a_full_disk_leaves_whole_rows(tmp_path: Path) -> None:
    out = tmp_path / "rows.jsonl"
    ran = subprocess.run(
        [sys.executable, "-c", FULL, str(out)], cwd=ROOT, capture_output=True, text=True, timeout=60
    )
    assert "writing failed (File too large); the rows before stand" in ran.stdout, ran.stderr
    with rows_file(out, HEAD) as file:
        assert file.begun() == 1
        assert list(file.rows()) == [{"name": "one"}]


def test_a_worker_that_is_ended_is_said_and_rows_stand(
    folder: Path, setup: Setup, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As when the machine has no memory left."""
    real = Bench.row

    def deadly(bench: Bench, task: Task) -> Row:
        if task.name.endswith("job-04.yaml"):
            os.kill(os.getpid(), signal.SIGKILL)
        return real(bench, task)

    monkeypatch.setattr(Bench, "row", deadly)
    found: list[Row] = []
    with pytest.raises(WorkerError, match=r"a worker ended \(-9\) at one of: .*job-04"):
        for chunk in rows(tasks_of_files([folder]), setup, 1, "fork", 2):
            found += chunk
    assert len(found) == 8  # pulls, five of `a`, the broken one, job-00; in chunks of two
    assert Path(found[-1]["name"]).name == "job-00.yaml"


def test_workers_end_with_the_one_who_started_them(folder: Path, tmp_path: Path) -> None:
    code = f"""
import os, signal
from pathlib import Path
from selector.knowledge.loader import load_base
from selector.store.tasks import tasks_of_files
from selector.store.workers import Setup, rows
base = load_base()
found = rows(tasks_of_files([Path({str(folder)!r})]), Setup((None,), (base.digest,), (base,)), 2)
next(found)
import multiprocessing
print(*(p.pid for p in multiprocessing.active_children()), flush=True)
os.kill(os.getpid(), signal.SIGKILL)
"""
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=120
    )
    workers = [int(pid) for pid in ran.stdout.split()]
    assert len(workers) == 2, ran.stderr
    for _ in range(600):
        left = [pid for pid in workers if _runs(pid)]
        if not left:
            break
        time.sleep(0.1)
    assert not left


def _runs(pid: int) -> bool:
    """Whether a process is there and has not ended; nobody may have looked after an orphan."""
    try:
        state = Path(f"/proc/{pid}/stat").read_text("utf-8").rpartition(")")[2].split()[0]
    except (OSError, IndexError):
        return False
    return state != "Z"


def test_a_base_that_changed_meanwhile_is_bad_input(folder: Path) -> None:
    setup = Setup((None,), ("0" * 64,))
    with pytest.raises(InputError, match="the base was changed"):
        list(rows(tasks_of_files([folder]), setup, 1))


# --- what became of the words --------------------------------------------------------------


def row(name: str, before: str | None, now: str) -> Row:
    from selector.store.rows import change

    exits = {"observe": 3, "engineer": 4, "forbidden": 5}
    told: dict[str, Any] = {"name": name, "before": before, "word": now, "exit": exits.get(now, 0)}
    return told | {"change": change(before, now), "rules": [], "rules_before": []}


def test_loosenings_come_first_those_to_a_yes_before_the_others() -> None:
    given = [
        row("stricter", "allowed", "forbidden"),
        row("same", "observe", "observe"),
        row("a step", "forbidden", "engineer"),
        row("to a yes", "observe", "conditional"),
        row("to a yes from far", "forbidden", "conditional"),
        row("new", None, "allowed"),
        {"name": "broken", "word": None, "before": None, "change": "fault", "exit": 2},
    ]
    report = report_of(lambda: given)
    assert [r["name"] for r in report.listed] == [
        "to a yes from far",
        "to a yes",
        "a step",
        "stricter",
        "broken",
    ]
    assert report.changes == {"stricter": 1, "same": 1, "milder": 3, "first": 1, "fault": 1}
    assert list(report.moves) == [
        ("forbidden", "conditional"),
        ("observe", "conditional"),
        ("forbidden", "engineer"),
        ("allowed", "forbidden"),
    ]
    assert (report.changed, report.exit, report.total) == (4, 2, 7)


@pytest.mark.parametrize(
    ("exits", "worst"), [((0, 3, 5, 4), 5), ((0, 3), 3), ((5, 2), 2), ((2, 70, 5), 70), ((), 0)]
)
def test_the_exit_is_that_of_the_worst(exits: tuple[int, ...], worst: int) -> None:
    given = [row(str(n), None, "allowed") | {"exit": e} for n, e in enumerate(exits)]
    assert report_of(lambda: given).exit == worst


def test_two_bases_are_compared(
    tmp_path: Path, base: Base, edited: Callable[..., dict[str, str]]
) -> None:
    from selector.knowledge.loader import base_of

    old = "[{shape: double-lock, height: 22 to 30 mm, head: 5 to 8 mm}], torque: 11 Nm, "
    clamps = "kb/catalogues/demo/clamps.yaml"
    whole = edited()[clamps]
    first = whole.index(old)
    narrow = whole[:first] + whole[first:].replace("22 to 30 mm", "22 to 24 mm", 1)
    other = base_of(edited() | {clamps: narrow})
    job = tmp_path / "job.yaml"
    job.write_text(REQUEST.sub("request: {kind: judge, stack: planned}\n", MILL), "utf-8")
    for now, before, word, kind in (
        (base, other, "conditional", "milder"),
        (other, base, "forbidden", "stricter"),
    ):
        setup = Setup((None, None), (now.digest, before.digest), (now, before))
        [found] = next(rows(tasks_of_files([job]), setup, 1, "fork"))
        assert (found["word"], found["change"]) == (word, kind)
        rules = found["rules"] if kind == "stricter" else found["rules_before"]
        assert "seam-outside-clamp-window" in rules


def test_of_a_store_the_last_entry_of_each_question_counts(
    tmp_path: Path, keep_job: KeepJob, setup: Setup
) -> None:
    with opened(tmp_path / "jobs.sqlite", write=True) as store:
        for act in (ACTS[0], ACTS[1], ACTS[0]):
            keep_job(store, "mill-house", MILL, {"kind": "act", "act": act})
        assert pick_last_of_each(store) == 2
        [found] = list(rows(tasks_of_store(store), setup, 1))
        assert [(r["name"], r["before"], r["change"]) for r in found] == [
            ("mill-house, 2", "forbidden", "same"),
            ("mill-house, 3", "forbidden", "same"),
        ]


def test_memory_of_a_judge_is_given_back(base: Base) -> None:
    bench = Bench.of((base,))
    [judge] = bench.judges
    bench.row(Task("x", "", text=MILL, file="x.yaml"))
    before = len(judge._memo)
    assert before > 10
    judge.forget(10**9)
    assert len(judge._memo) == before
    judge.forget(10)
    assert not judge._memo and not judge._compared


def test_what_a_chunk_waits_for_is_bounded(setup: Setup) -> None:
    """Of very many jobs only a few are taken before their rows are asked for."""
    taken = 0

    def endless() -> Iterator[Task]:
        nonlocal taken
        while True:
            taken += 1
            yield Task(f"{taken}", "", text=act_job(taken), file="x.yaml")

    found = rows(endless(), setup, 2, "fork", 2)
    for _ in range(3):
        next(found)
    found.close()
    assert taken <= 2 * (3 + 2 * 3 + 2)
