"""Invented catalogues of any size, for the benchmarks: the same seed gives the same parts.

Half of the parts are clamps, a quarter adapters, the rest rails and a few module clamps. Windows
are as wide as lets about every eighth clamp of a shape hold a seam, and interfaces as many as lets
six adapters and six rails take one, so that a roof has about as many cores at 1,000 parts as at
20,000. Metals that must not touch are apart, unless one side is anodised.
"""

import json
import random
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple

from selector.knowledge import schema
from selector.knowledge.base import Catalogue, Part
from selector.knowledge.yaml_reader import read_file

NAME = "big"
METALS = ("steel", "aluminium", "zinc", "copper", "stainless", "lead", "copper-alloy")
APART = 7  # of the 21 pairs of two metals
Rows = dict[str, dict[str, dict[str, Any]]]  # file -> handle -> what its entry says


class Roof(NamedTuple):
    """One seam: its shape and two dimensions in canonical units."""

    shape: str
    height: int
    head: int


@dataclass(frozen=True)
class Sample:
    """One catalogue with the pairs of metals that must not touch."""

    rows: Rows
    parts: tuple[Part, ...]
    apart: frozenset[tuple[str, str]]
    shapes: tuple[str, ...]

    @property
    def catalogue(self) -> Catalogue:
        """The parts as a catalogue without records."""
        return Catalogue(NAME, "invented", "generated", 3_000, {p.id: p for p in self.parts}, ())

    def slot(self, slot: str) -> list[Part]:
        """Parts of one slot."""
        return [p for p in self.parts if p.slot == slot]

    def roofs(self, number: int, seed: int = 0) -> list[Roof]:
        """Seams drawn at random from those that the windows are made for."""
        chance = random.Random(f"roofs {seed}")
        return [
            Roof(
                chance.choice(self.shapes),
                chance.randrange(200, 700) * TENTH,
                chance.randrange(40, 160) * TENTH,
            )
            for _ in range(number)
        ]


TENTH = 100  # a tenth of a millimetre in canonical units


def shapes_for(parts: int) -> tuple[str, ...]:
    """Names of the seam shapes of a catalogue of so many parts."""
    return tuple(f"shape-{i}" for i in range(max(3, parts // 100)))


def sample(parts: int, seed: int = 0, shapes: tuple[str, ...] = ()) -> Sample:
    """A catalogue of so many parts."""
    shapes = shapes or shapes_for(parts)
    chance = random.Random(f"{parts} {seed}")
    pairs = [(a, b) for a in METALS for b in METALS if a < b]
    chosen = chance.sample(pairs, APART)
    rows = _rows(parts, shapes, chance)
    apart = frozenset(chosen) | frozenset((b, a) for a, b in chosen)
    return Sample(rows, tuple(_parts(rows)), apart, shapes)


def _rows(parts: int, shapes: tuple[str, ...], chance: random.Random) -> Rows:
    interfaces = [f"i{n}" for n in range(max(4, parts // 25))]
    clamps, adapters, tops = parts // 2, parts // 4, max(1, parts // 50)
    rails = parts - clamps - adapters - tops
    screw = {"metal": "stainless", "tip": "dome", "count": 2}
    limits = {"uplift": "1.6 kPa", "down": "2.6 kPa"}

    def metal() -> dict[str, Any]:
        coated = {"coating": "anodic"} if chance.random() < 0.3 else {}
        return {"metal": chance.choice(METALS)} | coated

    def window(low: int, high: int, width: tuple[int, int]) -> str:
        wide = chance.randint(*width)
        start = chance.randint(low - wide // 2, high - wide // 2)
        return f"{start / 10} to {(start + wide) / 10} mm"

    def clamp() -> dict[str, Any]:
        height, head = window(200, 700, (100, 250)), window(40, 160, (30, 60))
        return {
            "text": "clamp",
            "metal": metal(),
            "offers": chance.choice(interfaces),
            "grips": [{"shape": chance.choice(shapes), "height": height, "head": head}],
            "torque": "11 Nm",
            "clip_distance": "95 mm",
            "set_screw": screw,
            "revision": "A",
            "mass": "240 g",
        }

    def adapter() -> dict[str, Any]:
        below, above = chance.sample(interfaces, 2)
        return {"text": "adapter", "metal": metal(), "takes": below, "offers": above}

    def rail() -> dict[str, Any]:
        return {
            "text": "rail",
            "metal": metal(),
            "takes": chance.choice(interfaces),
            "offers": f"top{chance.randrange(tops + tops // 9 + 1)}",  # some that nothing takes
            "family": "f",
            "span": "1.05 m",
            "cantilever": "0.28 m",
            "limits": limits,
            "rigid_run": "7.2 m",
            "mass": "0.78 kg/m",
        }

    def top(number: int) -> dict[str, Any]:
        takes = f"top{number}"
        return {"text": "holder", "metal": metal(), "takes": takes, "frame": "30 to 42 mm"}

    return {
        "clamps": {f"c{n}": clamp() for n in range(clamps)},
        "adapters": {f"a{n}": adapter() for n in range(adapters)},
        "rails": {f"r{n}": rail() for n in range(rails)},
        "module-clamps": {f"m{n}": top(n) for n in range(tops)},
    }


def _parts(rows: Rows) -> Iterator[Part]:
    for stem, entries in rows.items():
        slot, model = schema.PART_FILES[stem]
        file = f"kb/catalogues/{NAME}/{stem}.yaml"
        for line, (handle, entry) in enumerate(entries.items(), 1):
            shape = model.model_validate(entry)
            yield Part(f"{NAME}/{handle}", slot, shape, file, line, {}, "invented")


def write(found: Sample, kb: Path) -> None:
    """Put a catalogue, as files that a person could have written, into a copy of a base."""
    folder = kb / "catalogues" / NAME
    folder.mkdir(parents=True)
    front = [f"name: {NAME}", "tag: invented", "scenario: generated", "mass_allowance: 3 kg/m2"]
    (folder / "catalogue.yaml").write_text("\n".join([*front, ""]), encoding="utf-8")
    for stem, entries in found.rows.items():
        lines = [f"{handle}: {_flow(entry)}" for handle, entry in entries.items()]
        (folder / f"{stem}.yaml").write_text("\n".join([*lines, ""]), encoding="utf-8")
    _make_known(kb, found.shapes)


def _flow(value: Any) -> str:
    """A value in braces and brackets, quoted nowhere."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{k}: {_flow(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_flow, value)) + "]"
    return str(value)


def _make_known(kb: Path, shapes: tuple[str, ...]) -> None:
    """Add seam shapes to the vocabulary, the table of shapes and the drawings."""
    words = kb / "vocabulary.yaml"
    vocabulary = read_file(words).data
    new = [s for s in shapes if s not in vocabulary["words"]["shape"]]
    vocabulary["words"]["shape"] += new
    words.write_text(json.dumps(vocabulary, indent=1), encoding="utf-8")
    facts = {"looks": "generated", "measured": ["height", "head"], "source": "trade-memory"}
    rows = [_flow({"id": s} | facts | {"status": "from memory"}) for s in new]
    with (kb / "trade" / "shapes.yaml").open("a", encoding="utf-8") as table:
        table.writelines(f"- {row}\n" for row in rows)
    drawings = kb / "questions" / "drawings"
    for shape in new:
        for kind in ("svg", "txt"):
            shutil.copy(drawings / f"double-lock.{kind}", drawings / f"{shape}.{kind}")
