"""On small catalogues everybody finds the same cores, the same numbers and the same conflicts."""

import shutil
from itertools import combinations
from pathlib import Path

import pytest
from catalogues import METALS, NAME, Sample, sample, write
from cores import Clingo, Ours, Polars, Seams, Sqlite, Yardstick, tables

from selector.knowledge.loader import load_base

Joints = list[tuple[str, str]]
ROOT = Path(__file__).resolve().parent.parent.parent


@pytest.fixture(scope="module", params=[(50, 0), (50, 1), (50, 2), (200, 0)])
def found(request: pytest.FixtureRequest) -> Sample:
    parts, seed = request.param
    return sample(parts, seed)


def test_the_same_seed_gives_the_same_parts() -> None:
    assert sample(50).rows == sample(50).rows
    assert sample(50).rows != sample(50, 1).rows
    assert sample(50).roofs(5) == sample(50).roofs(5)


@pytest.mark.parametrize("parts", [50, 1_000])
def test_proportions(parts: int) -> None:
    found = sample(parts)
    assert len(found.parts) == len({p.id for p in found.parts}) == parts
    assert len(found.slot("clamp")) == parts // 2
    assert len(found.slot("adapter")) == parts // 4
    assert len(found.slot("module_clamp")) == parts // 50
    assert len(found.apart) == len(METALS) * 2
    assert all(p.interface not in p.takes for p in found.slot("adapter"))


def test_all_find_the_same_cores(found: Sample) -> None:
    pytest.importorskip("clingo")
    seams, rows = Seams(found), tables(found)
    yardstick, ours = Yardstick(found, seams), Ours(found, seams)
    others: list[Sqlite | Clingo] = [Sqlite(rows), Clingo(rows)]
    total = 0
    for roof in found.roofs(30):
        expected = yardstick.cores(roof)
        assert len(expected) == len(set(expected))
        assert set(yardstick.asking(roof, ours.stands)) == set(expected)
        assert ours.rows(roof, ours.walk()) == ours.rows(roof, ours.kept) == set(expected)
        for other in others:
            assert sorted(other.cores(roof), key=str) == sorted(expected, key=str)
        total += len(expected)
    assert total > 0


def test_all_count_the_same_cores(found: Sample) -> None:
    seams = Seams(found)
    yardstick, ours = Yardstick(found, seams), Ours(found, seams)
    roofs = found.roofs(100)
    assert ours.number(roofs, ours.counts(ours.walk())) == [
        len(yardstick.cores(roof)) for roof in roofs
    ]


def test_polars_finds_and_counts_the_same(found: Sample) -> None:
    pytest.importorskip("polars", reason="polars is a comparison, not a dependency")
    yardstick, polars = Yardstick(found, Seams(found)), Polars(tables(found))
    roofs = found.roofs(30)
    expected = [yardstick.cores(roof) for roof in roofs]
    for roof, rows in zip(roofs, expected, strict=True):
        assert sorted(polars.cores(roof), key=str) == sorted(rows, key=str)
    counted = polars.number(polars.roofs(roofs), polars.counts())
    assert counted == [len(rows) for rows in expected]


def test_conflicts_are_smallest_and_the_same(found: Sample) -> None:
    """Dead joints alone keep the rail away, and none of them can be left out."""
    seams = Seams(found)
    yardstick, ours = Yardstick(found, seams), Ours(found, seams)
    for clamp in found.slot("clamp"):
        for rail in found.slot("rail"):
            walk = ours.walk()
            parted = [(j[0], j[2]) for j in walk.parted(clamp.id, rail.id)]
            same = yardstick.parted(clamp, rail)
            joints = list(walk.chains(clamp.id, rail.id))
            chains = [[(j[0], j[2]) for j in chain] for chain in joints]
            stands = {j: ours.stands(j[0], None, j[1]) for chain in chains for j in chain}
            if not chains:
                assert parted == same == [(clamp.id, rail.id)]
            elif any(all(stands[j] for j in chain) for chain in chains):
                assert parted == same == []
            else:
                for conflict in (parted, same):
                    assert not any(stands[j] for j in conflict)
                    assert cut(conflict, chains)
                    fewer = combinations(conflict, len(conflict) - 1)
                    assert not any(cut(list(some), chains) for some in fewer)


def cut(joints: Joints, chains: list[Joints]) -> bool:
    """Whether every chain goes through one of these joints."""
    return all(any(j in joints for j in chain) for chain in chains)


def test_a_catalogue_written_as_files_is_read_as_the_same_parts(
    tmp_path: Path,
) -> None:
    found = sample(50)
    for name in ("kb", "rules"):
        shutil.copytree(ROOT / name, tmp_path / name)
    write(found, tmp_path / "kb")
    read = load_base(tmp_path).catalogues[NAME].parts
    assert {p.id: (p.slot, p.shape) for p in found.parts} == {
        i: (p.slot, p.shape) for i, p in read.items()
    }
