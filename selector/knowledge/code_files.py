"""The shapes of the files of `kb/codes/`: an edition of a standard, a national choice."""

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from selector.knowledge.schema import Shape
from selector.units import shorten

RowStatus = Literal[
    "published",
    "measured",
    "statics",
    "stricter judgement",
    "common practice",
    "judgement",
    "from memory",
    "conflict",
    "invented",
]


def _number(value: object) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    raise ValueError(f"expected a number such as `0.8`, given `{shorten(value)}`")


Number = Annotated[float, BeforeValidator(_number)]
Above = Annotated[float, BeforeValidator(_number), Field(gt=0, le=10_000)]
Share = Annotated[float, BeforeValidator(_number), Field(ge=0, le=0.5)]
Value = Annotated[float, BeforeValidator(_number), Field(ge=0, le=10_000)]
Pair = Annotated[tuple[Number, ...], Field(min_length=2, max_length=2)]


class Row(Shape):
    """What every row says of itself."""

    clause: str
    source: str
    status: RowStatus


class FigureRow(Row):
    """One number with its unit."""

    id: str
    text: str
    value: Value
    unit: str


class ClauseRow(Row):
    """One sentence that the program follows."""

    id: str
    text: str


class TerrainRow(Row):
    """One terrain category, lengths in metres."""

    category: str
    z0: Above
    zmin: Above


class PlanRow(Row):
    """Shares of e of the zones of a roof in one wind."""

    roof: str
    theta: int
    corner: Share
    strip: Share
    inner: Share


class CurveRow(Row):
    """One row of a table of coefficients: [cpe,10, cpe,1] by zone."""

    roof: str
    theta: int
    at: Number
    signs: Literal["negative", "positive"]
    zones: dict[str, Pair]


class WordRow(Row):
    """A factor by word."""

    word: str
    value: Above


class ShapeRow(Row):
    """A shape coefficient at a pitch."""

    shape: Literal["mu1", "mu2"]
    at: Value
    value: Value


class GroundRow(Row):
    """Gradient height in metres and exponent of a surface roughness."""

    word: str
    zg: Above
    alpha: Above


class AreaRow(Row):
    """A factor at an effective area in m2."""

    at: Above
    value: Above


class EditionFile(Shape):
    """What every edition holds."""

    id: str
    title: str
    source: str
    trial: bool
    figures: tuple[FigureRow, ...]
    clauses: tuple[ClauseRow, ...]


class WindFile(EditionFile):
    """An edition of the wind standard."""

    kind: Literal["wind"]
    terrains: tuple[TerrainRow, ...]
    plans: tuple[PlanRow, ...]
    curves: tuple[CurveRow, ...]


class SnowFile(EditionFile):
    """An edition of the snow standard."""

    kind: Literal["snow"]
    exposures: tuple[WordRow, ...]
    shapes: tuple[ShapeRow, ...]


class BasisFile(EditionFile):
    """An edition of the combinations."""

    kind: Literal["basis"]


class ArraysFile(EditionFile):
    """A set of working values for arrays."""

    kind: Literal["arrays"]


class AluminiumFile(EditionFile):
    """An edition of the resistance of aluminium."""

    kind: Literal["aluminium"]


class SteelFile(EditionFile):
    """An edition of the resistance of carbon steel."""

    kind: Literal["steel"]


class TrialFile(EditionFile):
    """An edition of a code on trial."""

    kind: Literal["trial"]
    exposures: tuple[GroundRow, ...]
    equalization: tuple[AreaRow, ...]


class VariantRow(Row):
    """Which way a country takes."""

    choice: str
    takes: str


class Editions(Shape):
    """Which editions a country uses."""

    wind: str
    snow: str
    basis: str
    arrays: str


class NationalFile(Shape):
    """One national choice."""

    id: str
    title: str
    tag: Literal["real", "invented"]
    editions: Editions
    variants: tuple[VariantRow, ...]
    figures: tuple[FigureRow, ...]


FILES: Mapping[str, type[EditionFile]] = {
    "wind": WindFile,
    "snow": SnowFile,
    "basis": BasisFile,
    "arrays": ArraysFile,
    "aluminium": AluminiumFile,
    "steel": SteelFile,
    "trial": TrialFile,
}
