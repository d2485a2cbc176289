"""How the walk of cores scales, in ratios; run it with `python tests/benchmarks/cores.py`.

Catalogues of 50, 1,000 and 20,000 invented parts. The yardstick is a plain Python walk over nested
dicts, once with its metals compared beforehand and once asking for each joint on the way; SQLite,
polars and clingo stand beside it, and all must find the same cores.

What is compared runs in turn, round after round, in this process, and the median of each is used;
milliseconds only inform. The exit code is 1 when a limit is passed.
"""

import random
import sqlite3
from collections.abc import Callable, Iterator
from typing import Any

from catalogues import Roof, Sample, sample
from run import Ratio
from turns import in_turn, show

from selector.inference.cores import CLAMP, FIRST, RAIL, SECOND, Graph, Shape, Step, Walk
from selector.knowledge.base import Part

SIZES = (50, 1_000, 20_000)
PLAIN = Shape(framed=False, crossed=False)
Row = tuple[str, str | None, str | None, str]  # clamp, two adapters, rail
Kind = tuple[str, bool]  # metal, bare
Seat = tuple[str, str, Kind]  # a clamp, what it offers, its kind of metal
Window = tuple[int, int, int, int, Seat, int]  # lowest to highest, thinnest to thickest, place
TALL, WIDE, ACROSS = 5_000, 2_000, 1_000


def kind_of(part: Part) -> Kind:
    """What decides which metals may touch a part."""
    metal = part.shape.metal
    assert metal is not None
    return metal.metal, metal.coating == ("none",)


def may_touch(found: Sample, a: Kind, b: Kind) -> bool:
    """Whether two kinds of metal may touch."""
    return not (a[1] and b[1] and (a[0], b[0]) in found.apart)


class Seams:
    """Clamps by seam shape and size, with their windows as plain numbers; used on both sides.

    A cell is 5 mm of height and 2 mm of head, and lists the windows that touch it.
    """

    def __init__(self, found: Sample):
        self.cells: dict[str, dict[int, list[Window]]] = {}
        self.rows: list[tuple[str, Window]] = []
        same: dict[int, int] = {}  # equal numbers are one object, near each other in memory
        for part in found.slot("clamp"):
            seat = (part.id, part.interface or "", kind_of(part))
            for grip in getattr(part.shape, "grips", ()):
                ends = (grip.height.low, grip.height.high, grip.head.low, grip.head.high)
                low, high, thin, thick = (same.setdefault(end, end) for end in ends)
                row = (low, high, thin, thick, seat, len(self.rows))
                self.rows.append((grip.shape, row))
                cells = self.cells.setdefault(grip.shape, {})
                for height in range(low // TALL, high // TALL + 1):
                    for head in range(thin // WIDE, thick // WIDE + 1):
                        cells.setdefault(height * ACROSS + head, []).append(row)

    def near(self, roof: Roof) -> list[Window]:
        """Windows that touch the cell of a seam."""
        cells = self.cells.get(roof.shape, {})
        return cells.get(roof.height // TALL * ACROSS + roof.head // WIDE, [])

    def clamps(self, roof: Roof) -> list[Seat]:
        """Clamps whose windows hold a seam."""
        height, head = roof.height, roof.head
        return [
            seat
            for low, high, thin, thick, seat, _ in self.near(roof)
            if low <= height <= high and thin <= head <= thick
        ]


# --- the yardstick ---------------------------------------------------------------------


class Yardstick:
    """The plain walk: what takes an interface, by the kinds of metal it may touch."""

    def __init__(self, found: Sample, seams: Seams):
        self.seams = seams
        kinds = {kind_of(p) for p in found.parts}
        self.meets = {a: {b for b in kinds if may_touch(found, a, b)} for a in kinds}
        served = {i for p in found.slot("module_clamp") for i in p.takes}
        self.adapters: dict[str, list[tuple[str, str, Kind]]] = {}
        self.rails: dict[str, list[tuple[str, Kind]]] = {}
        for part in found.parts:
            offered = part.interface or ""
            for name in part.takes:
                if part.slot == "adapter":
                    row = (part.id, offered, kind_of(part))
                    self.adapters.setdefault(name, []).append(row)
                elif part.slot == "rail" and offered in served:
                    self.rails.setdefault(name, []).append((part.id, kind_of(part)))
        names = {p.interface or "" for p in found.parts}
        self.adapters_on = {
            name: {
                kind: [row for row in self.adapters.get(name, ()) if row[2] in meets]
                for kind, meets in self.meets.items()
            }
            for name in names
        }
        self.rails_on = {
            name: {
                kind: [rail for rail, other in self.rails.get(name, ()) if other in meets]
                for kind, meets in self.meets.items()
            }
            for name in names
        }

    def cores(self, roof: Roof) -> list[Row]:
        """All cores of a roof."""
        adapters, rails = self.adapters_on, self.rails_on
        found: list[Row] = []
        for clamp, top, kind in self.seams.clamps(roof):
            found += [(clamp, None, None, rail) for rail in rails[top][kind]]
            for first, top_1, kind_1 in adapters[top][kind]:
                found += [(clamp, first, None, rail) for rail in rails[top_1][kind_1]]
                for second, top_2, kind_2 in adapters[top_1][kind_1]:
                    found += [(clamp, first, second, rail) for rail in rails[top_2][kind_2]]
        return found

    def asking(self, roof: Roof, stands: Step) -> list[Row]:
        """The same, asking for each joint as it comes instead of sorting metals beforehand."""
        adapters, rails = self.adapters, self.rails
        found: list[Row] = []
        for clamp, top, _ in self.seams.clamps(roof):
            for rail, _ in rails.get(top, ()):
                if stands(clamp, None, rail):
                    found.append((clamp, None, None, rail))
            for first, top_1, _ in adapters.get(top, ()):
                if not stands(clamp, None, first):
                    continue
                for rail, _ in rails.get(top_1, ()):
                    if stands(first, None, rail):
                        found.append((clamp, first, None, rail))
                for second, top_2, _ in adapters.get(top_1, ()):
                    if stands(first, None, second):
                        for rail, _ in rails.get(top_2, ()):
                            if stands(second, None, rail):
                                found.append((clamp, first, second, rail))
        return found

    def parted(self, clamp: Part, rail: Part) -> list[tuple[str, str]]:
        """A smallest set of dead joints that parts a clamp from a rail; none where they meet."""
        takes, last = set(rail.takes), kind_of(rail)
        top, kind = clamp.interface or "", kind_of(clamp)
        chains: list[list[tuple[str, str]]] = []
        dead: list[list[tuple[str, str]]] = []
        meets = self.meets

        def keep(*joints: tuple[str, Kind, str, Kind]) -> None:
            chains.append([(a, b) for a, _, b, _ in joints])
            dead.append([(a, b) for a, x, b, y in joints if y not in meets[x]])

        if top in takes:
            keep((clamp.id, kind, rail.id, last))
        for first, top_1, kind_1 in self.adapters.get(top, ()):
            below = (clamp.id, kind, first, kind_1)
            if top_1 in takes:
                keep(below, (first, kind_1, rail.id, last))
            for second, top_2, kind_2 in self.adapters.get(top_1, ()):
                if top_2 in takes:
                    above = (second, kind_2, rail.id, last)
                    keep(below, (first, kind_1, second, kind_2), above)
        if not chains:
            return [(clamp.id, rail.id)]
        if not all(dead):
            return []
        kept = list(dict.fromkeys(j for joints in dead for j in joints))
        for joint in kept[::-1]:
            others = [j for j in kept if j != joint]
            if all(any(j in others for j in joints) for joints in dead):
                kept = others
        return kept


# --- the product -----------------------------------------------------------------------


class Ours:
    """The walk of the product, with joints judged by their metals."""

    def __init__(self, found: Sample, seams: Seams):
        self.seams = seams
        self.graph = Graph(list(found.parts))
        kinds = {p.id: kind_of(p) for p in found.parts if p.shape.metal is not None}
        every = set(kinds.values())
        meets = {a: {b for b in every if may_touch(found, a, b)} for a in every}
        after = {part: meets[kind] for part, kind in kinds.items()}

        def stands(lower: str, bolts: str | None, upper: str) -> bool:
            return kinds[upper] in after[lower]

        self.stands = stands
        self.graph.ways(PLAIN)
        self.kept = self.walk()

    def walk(self) -> Walk:
        """A walk that has judged nothing yet."""
        return Walk(self.graph, PLAIN, self.stands)

    def cores(self, roof: Roof, walk: Walk) -> list[tuple[str, list[tuple[str | None, ...]]]]:
        """All cores of a roof, by clamp."""
        return [(clamp, walk.above(CLAMP, clamp)) for clamp, _, _ in self.seams.clamps(roof)]

    def rows(self, roof: Roof, walk: Walk) -> set[Row]:
        """The same in the yardstick's form."""
        return {
            (clamp, ids[FIRST], ids[SECOND], ids[RAIL] or "")
            for clamp, all_ids in self.cores(roof, walk)
            for ids in all_ids
        }

    def counts(self, walk: Walk) -> list[int]:
        """How many cores stand above the clamp of each window."""
        return [walk.number(CLAMP, row[4][0]) for _, row in self.seams.rows]

    def number(self, roofs: list[Roof], counts: list[int]) -> list[int]:
        """How many cores each roof has."""
        by_shape: dict[str, list[int]] = {}
        for i, roof in enumerate(roofs):
            by_shape.setdefault(roof.shape, []).append(i)
        found = [0] * len(roofs)
        for shape, places in by_shape.items():  # shape by shape: what is read stays near
            cells = self.seams.cells.get(shape, {})
            for i in places:
                _, height, head = roofs[i]
                total = 0
                cell = cells.get(height // TALL * ACROSS + head // WIDE, ())
                for low, high, thin, thick, _, place in cell:
                    if low <= height <= high and thin <= head <= thick:
                        total += counts[place]
                found[i] = total
        return found


# --- the others ------------------------------------------------------------------------


def tables(found: Sample) -> dict[str, list[tuple[Any, ...]]]:
    """Rows for those who join: clamps, adapters, rails that a module clamp takes, metals."""
    kinds = sorted({kind_of(p) for p in found.parts})
    code = {kind: i for i, kind in enumerate(kinds)}
    served = {i for p in found.slot("module_clamp") for i in p.takes}
    return {
        "clamp": [
            (shape, *row, s[0], s[1], code[s[2]]) for shape, (*row, s, _) in Seams(found).rows
        ],
        "adapter": [
            (name, p.id, p.interface, code[kind_of(p)])
            for p in found.slot("adapter")
            for name in p.takes
        ],
        "rail": [
            (name, p.id, code[kind_of(p)])
            for p in found.slot("rail")
            for name in p.takes
            if p.interface in served
        ],
        "meets": [(code[a], code[b]) for a in kinds for b in kinds if may_touch(found, a, b)],
    }


COLUMNS = {
    "clamp": ("shape", "low", "high", "thin", "thick", "id", "top", "kind"),
    "adapter": ("takes", "id", "top", "kind"),
    "rail": ("takes", "id", "kind"),
    "meets": ("one", "other"),
}


class Sqlite:
    """Three joins in an order fixed by hand; left to itself the planner starts at the wrong end."""

    HOLDS = "c.shape = ? and ? between c.low and c.high and ? between c.thin and c.thick"
    RAIL = """cross join rail r on r.takes = {0}.top
              cross join meets mr on mr.one = {0}.kind and mr.other = r.kind"""
    FIRST = """cross join adapter a on a.takes = c.top
               cross join meets ma on ma.one = c.kind and ma.other = a.kind"""
    SECOND = """cross join adapter b on b.takes = a.top
                cross join meets mb on mb.one = a.kind and mb.other = b.kind"""

    def __init__(self, rows: dict[str, list[tuple[Any, ...]]]):
        self.db = sqlite3.connect(":memory:")
        for name, columns in COLUMNS.items():
            self.db.execute(f"create table {name} ({', '.join(columns)})")
            marks = ", ".join("?" * len(columns))
            self.db.executemany(f"insert into {name} values ({marks})", rows[name])
        for name, column in (("clamp", "shape"), ("adapter", "takes"), ("rail", "takes")):
            self.db.execute(f"create index {name}_by on {name} ({column})")
        self.db.execute("create unique index meets_by on meets (one, other)")
        steps = (
            ("null, null", "", "c"),
            ("a.id, null", self.FIRST, "a"),
            ("a.id, b.id", f"{self.FIRST} {self.SECOND}", "b"),
        )
        self.query = " union all ".join(
            f"select c.id, {ids}, r.id from clamp c {joins} {self.RAIL.format(last)}"
            f" where {self.HOLDS}"
            for ids, joins, last in steps
        )

    def cores(self, roof: Roof) -> list[Row]:
        """All cores of a roof."""
        seam = (roof.shape, roof.height, roof.head)
        return self.db.execute(self.query, seam * 3).fetchall()


class Polars:
    """Joins of columns; counts are worked out from the rails down, once for each clamp."""

    def __init__(self, rows: dict[str, list[tuple[Any, ...]]]):
        import polars as pl

        self.pl = pl
        self.tables = {
            name: pl.DataFrame(rows[name], schema=list(columns), orient="row")
            for name, columns in COLUMNS.items()
        }
        clamps = self.tables["clamp"]
        self.by_shape = {s: f for (s,), f in clamps.group_by("shape")}

    def _joined(self, left: Any, right: str, name: str) -> Any:
        """What stands on each row of `left`, where the metals may touch."""
        upper = self.tables[right].rename({"id": name, "kind": "other"})
        upper = upper.rename({"top": "next"}) if right == "adapter" else upper
        found = left.join(upper, left_on="top", right_on="takes")
        return found.join(
            self.tables["meets"], left_on=["kind", "other"], right_on=["one", "other"], how="semi"
        )

    def cores(self, roof: Roof) -> list[Row]:
        """All cores of a roof."""
        pl = self.pl
        clamps = self.by_shape.get(roof.shape, self.tables["clamp"].clear())
        held = (pl.col("low") <= roof.height) & (pl.col("high") >= roof.height)
        held &= (pl.col("thin") <= roof.head) & (pl.col("thick") >= roof.head)
        here = clamps.lazy().filter(held).collect().select(clamp="id", top="top", kind="kind")
        found: list[Row] = []
        keys: list[str] = []
        for name in ("first", "second", ""):
            ids = [pl.col(k) if k in keys else pl.lit(None).alias(k) for k in ("first", "second")]
            found += self._joined(here, "rail", "rail").select("clamp", *ids, "rail").rows()
            if name:
                here = self._joined(here, "adapter", name)
                keys.append(name)
                here = here.select("clamp", *keys, top="next", kind="other")
        return found

    def counts(self) -> Any:
        """How many cores stand above each clamp."""
        pl = self.pl
        places = self.tables["adapter"].select("top", "kind")
        places = pl.concat([places, self.tables["clamp"].select("top", "kind")]).unique()
        rails = self._joined(places, "rail", "rail").group_by("top", "kind").len("n")
        steps = self._joined(places, "adapter", "adapter")
        total, last = rails, rails
        for _ in range(2):
            last = steps.join(last, left_on=["next", "other"], right_on=["top", "kind"])
            last = last.group_by("top", "kind").agg(pl.col("n").sum())
            total = pl.concat([total, last])
        per_place = total.group_by("top", "kind").agg(pl.col("n").sum())
        return self.tables["clamp"].join(per_place, on=["top", "kind"], how="left")

    def number(self, roofs: Any, counts: Any) -> list[int]:
        """How many cores each roof has."""
        pl = self.pl
        near = roofs.lazy().join(counts.lazy(), on="shape")
        near = near.filter(pl.col("height").is_between("low", "high"))
        near = near.filter(pl.col("head").is_between("thin", "thick"))
        sums = near.group_by("roof").agg(pl.col("n").sum())
        found = roofs.lazy().join(sums, on="roof", how="left").sort("roof").collect()
        return list(found["n"].fill_null(0))

    def roofs(self, roofs: list[Roof]) -> Any:
        """Roofs as a table."""
        rows = [(i, r.shape, r.height, r.head) for i, r in enumerate(roofs)]
        return self.pl.DataFrame(rows, schema=["roof", "shape", "height", "head"], orient="row")


def _term(value: Any) -> str:
    return str(value) if isinstance(value, int) else f'"{value}"'


class Clingo:
    """Facts and three rules; each roof is one more step that is only grounded."""

    STEP = """
    held{0}(C, T, K) :- clamp("{1}", L, H, A, B, C, T, K), L <= {2}, {2} <= H, A <= {3}, {3} <= B.
    one{0}(C, A, T, K) :- held{0}(C, U, J), adapter(U, A, T, K), meets(J, K).
    two{0}(C, A, B, T, K) :- one{0}(C, A, U, J), adapter(U, B, T, K), meets(J, K).
    core{0}(C, none, none, R) :- held{0}(C, T, K), rail(T, R, J), meets(K, J).
    core{0}(C, A, none, R) :- one{0}(C, A, T, K), rail(T, R, J), meets(K, J).
    core{0}(C, A, B, R) :- two{0}(C, A, B, T, K), rail(T, R, J), meets(K, J).
    """

    def __init__(self, rows: dict[str, list[tuple[Any, ...]]]):
        import clingo

        self.control = clingo.Control(["--warn=none"])
        facts = [
            f"{name}({', '.join(map(_term, row))})."
            for name, all_rows in rows.items()
            for row in all_rows
        ]
        self.control.add("base", [], "\n".join(facts))
        self.control.ground([("base", [])])
        self.asked = 0

    def cores(self, roof: Roof) -> list[Row]:
        """All cores of a roof."""
        self.asked += 1
        name = f"roof{self.asked}"
        step = self.STEP.format(self.asked, roof.shape, roof.height, roof.head)
        self.control.add(name, [], step)
        self.control.ground([(name, [])])
        atoms = self.control.symbolic_atoms.by_signature(f"core{self.asked}", 4)
        found: list[Row] = []
        for atom in atoms:
            clamp, first, second, rail = atom.symbol.arguments
            adapters = [None if a.type.name == "Function" else a.string for a in (first, second)]
            found.append((clamp.string, adapters[0], adapters[1], rail.string))
        return found


# --- the measurements ------------------------------------------------------------------


def cores_and_conflicts(parts: int) -> Iterator[Ratio]:
    """Cores of a roof, conflicts, and numbers for 10,000 roofs in a catalogue of one size."""
    found = sample(parts)
    seams, rows = Seams(found), tables(found)
    yardstick, ours = Yardstick(found, seams), Ours(found, seams)
    others: dict[str, Sqlite | Polars | Clingo]
    others = {"SQLite": Sqlite(rows), "polars": Polars(rows), "clingo": Clingo(rows)}
    roofs = found.roofs(40)
    few = roofs[:4] if parts > 50 else roofs
    total = 0
    for roof in roofs:
        expected = set(yardstick.cores(roof))
        total += len(expected)
        assert set(yardstick.asking(roof, ours.stands)) == expected
        assert ours.rows(roof, ours.walk()) == ours.rows(roof, ours.kept) == expected
        for name, other in others.items():
            if roof in few or name != "clingo":
                assert set(other.cores(roof)) == expected, name

    def kept() -> None:
        ours.kept._above[CLAMP].clear()  # joints stay judged, lists are made anew
        for roof in roofs:
            ours.cores(roof, ours.kept)

    programs: dict[str, Callable[[], object]] = {
        "yardstick": lambda: [yardstick.cores(roof) for roof in roofs],
        "ours, joints judged beforehand": kept,
        "SQLite": lambda: [others["SQLite"].cores(roof) for roof in roofs],
        "polars": lambda: [others["polars"].cores(roof) for roof in roofs],
    }
    text = f"{parts:,} parts: {total:,} cores of {len(roofs)} roofs"
    mine = "ours, joints judged beforehand"
    yield from show(text, in_turn(programs, 15), "yardstick", {mine: 3.0})
    programs = {
        "yardstick": lambda: [yardstick.asking(roof, ours.stands) for roof in roofs],
        "ours": lambda: [ours.cores(roof, ours.walk()) for roof in roofs],
    }
    text = f"{parts:,} parts: the same, every joint judged on the way"
    yield from show(text, in_turn(programs, 15), "yardstick", {"ours": 3.0})
    programs = {
        "yardstick": lambda: [yardstick.cores(roof) for roof in few],
        "clingo": lambda: [others["clingo"].cores(roof) for roof in few],
    }
    yield from show(f"{parts:,} parts: {len(few)} roofs", in_turn(programs, 2), "yardstick", {})
    yield from conflicts(found, yardstick, ours)
    polars = others["polars"]
    assert isinstance(polars, Polars)
    yield from numbers(found, yardstick, ours, polars)


def conflicts(found: Sample, yardstick: Yardstick, ours: Ours) -> Iterator[Ratio]:
    """Why a clamp and a rail have no core: any pairs, and pairs that interfaces link."""
    clamps, rails = found.slot("clamp"), found.slot("rail")
    chance = random.Random("conflicts")
    drawn = [(chance.choice(clamps), chance.choice(rails)) for _ in range(400)]
    walk = ours.walk()
    linked = []
    for clamp in chance.sample(clamps, min(len(clamps), 200)):
        linked += [(clamp, ours.graph.parts[rail]) for rail in sorted(rails_near(ours, clamp))]
    dead = [pair for pair in linked if walk.parted(pair[0].id, pair[1].id)]
    for name, pairs in (("drawn at random", drawn), ("that interfaces link", dead[:400])):
        for clamp, rail in pairs:
            same = yardstick.parted(clamp, rail)
            assert bool(same) == bool(walk.parted(clamp.id, rail.id))

        def mine(pairs: list[tuple[Part, Part]] = pairs) -> None:
            for clamp, rail in pairs:
                walk.parted(clamp.id, rail.id)

        def plain(pairs: list[tuple[Part, Part]] = pairs) -> None:
            for clamp, rail in pairs:
                yardstick.parted(clamp, rail)

        programs: dict[str, Callable[[], object]] = {"yardstick": plain, "ours": mine}
        text = f"{len(found.parts):,} parts: why not, {len(pairs)} pairs {name}"
        yield from show(text, in_turn(programs, 9), "yardstick", {"ours": 2.0})


def rails_near(ours: Ours, clamp: Part) -> set[str]:
    """Rails that some interfaces link with a clamp, whatever the metals."""
    anyhow = Walk(ours.graph, PLAIN, lambda *_: True)
    return {ids[RAIL] or "" for ids in anyhow.above(CLAMP, clamp.id)}


def numbers(found: Sample, yardstick: Yardstick, ours: Ours, polars: Polars) -> Iterator[Ratio]:
    """How many cores each of 10,000 roofs has."""
    roofs = found.roofs(10_000, seed=1)
    table, counts = polars.roofs(roofs), polars.counts()
    my_counts = ours.counts(ours.kept)
    mine = ours.number(roofs, my_counts)
    assert mine == polars.number(table, counts)
    assert mine[:40] == [len(yardstick.cores(roof)) for roof in roofs[:40]]
    text = f"{len(found.parts):,} parts: {sum(mine):,} cores of 10,000 roofs counted"
    programs: dict[str, Callable[[], object]] = {
        "polars": lambda: polars.number(table, polars.counts()),
        "ours, every joint judged on the way": lambda: ours.number(roofs, ours.counts(ours.walk())),
    }
    yield from show(text, in_turn(programs, 5), "polars", {})
    programs = {
        "polars": lambda: polars.number(table, counts),
        "ours": lambda: ours.number(roofs, my_counts),
    }
    text = f"{len(found.parts):,} parts: the same, clamps counted beforehand"
    yield from show(text, in_turn(programs, 5), "polars", {"ours": 2.0})


def main() -> int:
    """Measure all sizes; 1 when a limit is passed."""
    ratios = [ratio for size in SIZES for ratio in cores_and_conflicts(size)]
    return 1 if any(ratio.over for ratio in ratios) else 0


if __name__ == "__main__":
    raise SystemExit(main())
