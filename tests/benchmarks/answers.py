"""How answers and loads scale, in ratios; run it with `python tests/benchmarks/answers.py`.

One answer among few parts and among many, an answer after one change, a base read from its files.
What is compared runs in turn, round after round, in this process, and the median of each is used;
milliseconds only inform. The exit code is 1 when a limit is passed. `answers`, `second` or `loads`
runs one of these.
"""

import os
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import yaml
from catalogues import sample, write
from run import JOB, ROOT, Ratio
from turns import Times, in_turn, show

from selector import units
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.knowledge.documents import read_documents
from selector.knowledge.loader import build, load_base
from selector.knowledge.locate import home
from selector.model.job import Job
from selector.model.quantity import Measured, Place


def grown(base: Base, parts: int) -> Base:
    """The shipped base whose demo catalogue has so many parts; no new one fits its roofs."""
    demo = base.catalogues["demo"]
    more = (
        replace(part, id=f"demo/{part.handle}") for part in sample(parts - len(demo.parts)).parts
    )
    catalogue = replace(demo, parts=demo.parts | {p.id: p for p in more})
    return replace(base, catalogues=base.catalogues | {"demo": catalogue})


def answers() -> Iterator[Ratio]:
    """One answer where the same parts fit, among few others and among many."""
    base = load_base()
    job = read_job(Path(JOB), base.vocabulary)
    shared = Judge(base)
    best: list[list[str]] = []

    def answer(among: Base) -> Callable[[], object]:
        judge = Judge(among)
        judge.share(shared)

        def choose() -> None:
            answer = Desk(among, job, judge).choose(job.request.array or "")
            best.append([option.name for option in answer.options])

        return choose

    def compare(few: int, many: int, rounds: int) -> Iterator[Ratio]:
        programs = {f"{n:,} parts": answer(grown(base, n)) for n in (few, many)}
        text = "one answer, the same parts fit"
        name = f"{many:,} parts"
        yield from show(text, in_turn(programs, rounds), f"{few:,} parts", {name: 3.0})

    first = list(compare(200, 1_000, 2))
    yield from first
    if first[0].over:
        print("  it grows with the catalogue, so 20,000 parts are left out")
    else:
        yield from compare(2_000, 20_000, 3)
    assert all(names == best[0] for names in best), "the others change no option"
    shared.close()


def second_answers() -> Iterator[Ratio]:
    """An answer after another pitch, by a desk with a memory, beside the first one."""
    base = load_base()
    for name in ("mill-house", "copper-chapel", "first-call"):
        job = read_job(ROOT / "examples" / name / "job.yaml", base.vocabulary)
        other = steeper(job)
        array = job.request.array or "a1"
        judge = Judge(base)
        before = Desk(base, job, judge)
        before.choose(array)
        sessions = judge.sessions
        subjects = {key for key in before._judged if key[0] == "joint"}
        again = Desk(base, other, before=before)
        again.choose(array)
        same = all(again._judged[key] is before._judged[key] for key in subjects)
        assert same, "a pitch is nothing to a joint"

        def first(job: Job = job, array: str = array) -> None:
            judge = Judge(base)
            Desk(base, job, judge).choose(array)
            judge.close()

        def second(other: Job = other, before: Desk = before, array: str = array) -> None:
            Desk(base, other, before=before).choose(array)

        programs: dict[str, Callable[[], object]] = {"first answer": first, "second answer": second}
        text = f"{name}, another pitch: {judge.sessions - sessions} sessions, none of a joint"
        yield from show(text, in_turn(programs, 9, collecting=True), "first answer", {})
        judge.close()


def steeper(job: Job) -> Job:
    """The same roof, one degree steeper."""
    plane = next(iter(job.planes.values()))
    old = plane.observed["plane.pitch"]
    value = old.value
    assert isinstance(value, Measured)
    degree = units.parse("1 deg", "angle")
    places = tuple(Place(p.low + degree, p.high + degree) for p in value.places)
    new = replace(old.sightings[0], value=Measured(value.dimension, places))
    observed = {**plane.observed, "plane.pitch": replace(old, sightings=(new,))}
    return replace(job, planes={**job.planes, plane.id: replace(plane, observed=observed)})


def loads() -> Iterator[Ratio]:
    """Reading a base from its files, without a cache of documents and with one."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        os.environ["XDG_CACHE_HOME"] = str(folder / "cache")
        for parts in (1_000, 2_000, 20_000):
            for top in ("kb", "rules"):
                shutil.copytree(ROOT / top, folder / str(parts) / top)
            write(sample(parts), folder / str(parts) / "kb")

        def load(parts: int, cold: bool) -> Callable[[], object]:
            def read() -> None:
                if cold:
                    shutil.rmtree(folder / "cache", ignore_errors=True)
                build(*read_documents(home(folder / str(parts))))

            return read

        def plain(parts: int) -> Callable[[], object]:
            files = sorted((folder / str(parts)).rglob("*.yaml"))

            def read() -> None:
                for file in files:
                    yaml.load(file.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)

            return read

        def compare(parts: int, rounds: int) -> tuple[Iterator[Ratio], Times]:
            programs = {
                "plain YAML": plain(parts),
                "cold": load(parts, True),
                "warm": load(parts, False),
            }
            times = in_turn(programs, rounds, collecting=True)
            return show(f"a base of {parts:,} parts read", times, "plain YAML", {}), times

        def growth(few: int, fast: Times, many: int, slow: Times) -> Iterator[Ratio]:
            text = f"{many:,} parts / {few:,} parts, warm"
            yield from show(
                "growth of a warm load",
                {f"{few:,} parts": fast["warm"], text: slow["warm"]},
                f"{few:,} parts",
                {text: 1.5 * many / few},
            )

        shown, small = compare(1_000, 2)
        yield from shown
        shown, middle = compare(2_000, 2)
        yield from shown
        doubled = list(growth(1_000, small, 2_000, middle))
        yield from doubled
        if doubled[0].over:
            print("  it grows with the square, so 20,000 parts are left out")
            return
        shown, large = compare(20_000, 2)
        yield from shown
        yield from growth(2_000, middle, 20_000, large)


def main() -> int:
    """Measure everything, or what the arguments name; 1 when a limit is passed."""
    ratios: list[Ratio] = []
    wanted = sys.argv[1:] or ["answers", "second", "loads"]
    ratios += answers() if "answers" in wanted else ()
    ratios += second_answers() if "second" in wanted else ()
    ratios += loads() if "loads" in wanted else ()
    return 1 if any(ratio.over for ratio in ratios) else 0


if __name__ == "__main__":
    raise SystemExit(main())
