"""What is kept survives a disk that is full: a small one of memory, in a namespace of its own."""

import json
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.conftest import ROOT

EXAMPLES = ROOT / "examples"
COMMANDS = {
    "keep": ("keep", str(EXAMPLES / "mill-house/job.yaml"), "--act", "hook a lanyard to a rail"),
    "more": ("keep", str(EXAMPLES / "copper-chapel/job.yaml"), "--stack", "from-the-van"),
    "list": ("list", "--json"),
}
SIZE_KB = 2_000
MOUNT = f'mount -t tmpfs -o size={SIZE_KB}k tmpfs "$1" && cd "$1" && exec "$2" -c "$3"'
RUN = "from selector.interfaces.cli.main import run; run()"

# Runs on the small disk; each line that it prints is what one step came to.
DISK = """
import json, os, subprocess, sys
from pathlib import Path

def ran(*args):
    done = subprocess.run(
        [sys.executable, "-c", os.environ["RUN"], "jobs", *args, "--store", "jobs.sqlite"],
        capture_output=True, text=True, timeout=120,
    )
    store = Path("jobs.sqlite")
    print(json.dumps({
        "code": done.returncode, "out": done.stdout, "err": done.stderr, "files": os.listdir(),
        "store": store.read_bytes().hex() if store.exists() else "",
    }))

def fill(room_kb):
    # all but so many kB are taken by another file
    with open("filler", "wb", buffering=0) as file:
        try:
            while True:
                file.write(bytes(4096))
        except OSError:
            file.truncate(max(0, file.tell() // 4096 * 4096 - 1024 * room_kb))

for step in json.loads(os.environ["STEPS"]):
    if isinstance(step, int):
        fill(step)
    elif step == "empty":
        Path("filler").unlink()
    else:
        ran(*json.loads(os.environ["COMMANDS"])[step])
"""


@dataclass(frozen=True)
class Step:
    """How a command on the small disk ended, and what lay there then."""

    code: int
    out: str
    err: str
    files: list[str]
    store: str  # bytes of the store


def small_disk(*args: str, **more: str) -> subprocess.CompletedProcess[str]:
    """Run a program on a small disk that only it and its children see."""
    command = ["unshare", "-rm", "sh", "-c", MOUNT, "sh", *args]
    ours = {"PYTHONPATH": str(ROOT), "RUN": RUN, "COMMANDS": json.dumps(COMMANDS)}
    environment = {**os.environ, **ours, **more}
    return subprocess.run(command, capture_output=True, text=True, timeout=500, env=environment)


@pytest.fixture
def disk(tmp_path: Path) -> Path:
    """Where the small disk is mounted; skipped where nobody may."""
    if shutil.which("unshare") is None:
        pytest.skip("there is no `unshare` here to mount a small disk with")
    place = tmp_path / "disk"
    place.mkdir()
    tried = small_disk(str(place), sys.executable, "")
    if tried.returncode != 0:
        pytest.skip(f"no small disk can be mounted here: {tried.stderr.strip()}")
    return place


def steps(disk: Path, *wanted: str | int) -> list[Step]:
    done = small_disk(str(disk), sys.executable, DISK, STEPS=json.dumps(wanted))
    assert done.returncode == 0, done.stderr
    return [Step(**json.loads(line)) for line in done.stdout.splitlines()]


def refused(step: Step) -> None:
    """Said in words that the disk is full, and nothing else."""
    assert step.code == 2
    assert "the disk is full; nothing was added, all before it stands" in step.err
    assert "Traceback" not in step.err + step.out and step.out == ""


@pytest.mark.parametrize("room_kb", [0, 4, 28, 44])
def test_what_was_kept_stands_and_it_goes_on_once_there_is_room(disk: Path, room_kb: int) -> None:
    """Of a growing room first the journal does not fit, then the pages of the answer."""
    first, before, full, after, again, last = steps(
        disk, "keep", "list", room_kb, "more", "list", "empty", "more", "list"
    )
    assert (first.code, before.code) == (5, 0)  # the act is forbidden
    refused(full)
    assert full.store == first.store
    assert sorted(full.files) == ["filler", "jobs.sqlite"]
    assert after.out == before.out
    assert again.code == 5 and "kept as number 2" in again.err
    assert [job["number"] for job in json.loads(last.out)["jobs"]] == [1, 2]


def test_a_store_that_does_not_fit_at_all(disk: Path) -> None:
    full, again, listed = steps(disk, 0, "keep", "empty", "keep", "list")
    refused(full)
    assert again.code == 5 and "kept as number 1" in again.err
    assert [job["number"] for job in json.loads(listed.out)["jobs"]] == [1]
