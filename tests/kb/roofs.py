"""Made-up roofs for the demo catalogue: each fits one clamp, or is changed in one thing."""

import json
from copy import deepcopy
from typing import Any

from selector import units
from selector.jobs.read import job_of
from selector.knowledge import schema
from selector.knowledge.base import Base, Part
from selector.knowledge.yaml_reader import Document, read_string
from selector.model.job import Job
from selector.model.quantity import Window
from tests.conftest import ROOT

SEAM = ("height", "head", "leg", "bulb", "neck")
FIGURES = (
    "uplift_per_clamp",
    "slide_per_clamp",
    "slide_with_uplift",
    "clip_share",
    "slide_per_fixed_clip",
    "uplift_per_module_clamp",
    "slide_per_module_clamp",
    "net_uplift",
    "net_down",
)
SHEETS = {  # family -> metal, coating and core of a usual sheet
    "coated steel": ("steel", "zinc", "0.60 mm"),
    "bare steel": ("steel", "none", "0.60 mm"),
    "aluminium": ("aluminium", "none", "0.90 mm"),
    "zinc": ("zinc", "none", "0.75 mm"),
    "copper": ("copper", "none", "0.64 mm"),
    "stainless": ("stainless", "none", "0.45 mm"),
}
BY_HAND = ("double-lock", "single-lock", "batten")
Rows = dict[str, Any]


def middle(window: Window) -> str:
    """Middle of a window; one that is open above is taken well above its foot."""
    low = window.low or 0
    high = window.high if window.high is not None else 2 * low
    return units.show((low + high) // 2, window.dimension)


def seen(value: object) -> Rows:
    """One sure look."""
    return {"is": value, "how": "cut edge, marks and papers", "by": "x"}


def measured(window: Window) -> Rows:
    """Three readings in the middle of a window."""
    return {"places": [middle(window)] * 3, "tool": "calliper", "by": "x"}


def sheet(family: str, core: str | None = None) -> Rows:
    """A sheet of a family, with its usual core or another."""
    metal, coating, usual = SHEETS[family]
    thickness = {"is": core or usual, "tool": "micrometer", "by": "x"}
    row = {"metal": seen(metal), "coating": seen([coating]), "thickness": thickness}
    return row | {"length": {"is": "8 m", "tool": "tape", "by": "x"}, "fixed_zone": seen("ridge")}


def seam(grip: schema.Grip | schema.SeamCover, made: str | None = None) -> Rows:
    """A seam in the middle of every window of a grip."""
    sightings = [seen(grip.shape), {"is": grip.shape, "how": "second look", "by": "y"}]
    ribs = grip.shape == "trapezoidal"
    # Two bays are as wide as one module-p35, so that clamps without rails meet its edges.
    row: Rows = {
        "branch": seen("screws through the sheet" if ribs else "fold or joint"),
        "shape": {"sightings": sightings},
        "flanks": seen("differ" if grip.shape == "asymmetric" else "alike"),
        "spacing": {"places": ["545 mm"] * 3, "tool": "tape", "by": "x"},
        "parallel": seen("parallel"),
        "made": seen(made or ("by hand" if grip.shape in BY_HAND else "factory")),
        "damage": seen("none"),
    }
    for name in SEAM:
        window = getattr(grip, name)
        if window is not None:
            row[name] = measured(window)
    return row


def roof(seam_row: Rows, sheet_row: Rows) -> Rows:
    """A whole job on one plane, with small figures and nothing open."""
    covers = ["array a1", "roof zones", *(f.replace("_", " ") for f in FIGURES)]
    calc = {"kind": "engineer's calculation", "dated": "2031-01-01", "covers": covers}
    reserve = {
        "kind": "engineer's statement",
        "dated": "2031-01-01",
        "covers": ["roof-parallel"],
        "up_to": "0.40 kPa",
    }
    owner = {
        "kind": "papers of the roof system",
        "dated": "2031-01-01",
        "covers": ["profile rib-lean", "clamp as-1", "aluminium", "array a1"],
    }
    papers = {"calc": calc, "reserve": reserve}
    if seam_row["shape"]["sightings"][0]["is"] == "asymmetric":
        papers["owner"] = owner
    by_hand = seam_row["made"]["is"] == "by hand"
    marks = {s: [f"{mm} mm" for mm in range(300, 6000, 450)] for s in ("s01", "s02", "s03")}
    return {
        "seamwright": "job/1",
        "id": "made-up",
        "as_of": "2031-03-14",
        "catalogues": ["demo"],
        "request": {"kind": "choose", "array": "a1"},
        "people": {"x": {"role": "installer"}, "y": {"role": "roofer"}},
        "papers": papers,
        "site": {
            "ground_snow": {"is": "1.20 kPa", "paper": "calc"},
            "sea_distance": {"is": "200 km", "tool": "map", "by": "x"},
            "building": {"is": "existing", "by": "x"},
            "reserve_paper": {"is": "exists", "paper": "reserve"},
            **{p: seen("none") for p in ("salted_road", "pool_hall", "harsh_air", "brittle")},
            "run_off_from_above": seen("none"),
        },
        "planes": {
            "p1": {
                "pitch": {"is": "22 deg", "tool": "pitch meter", "by": "x"},
                "seam": seam_row,
                "sheet": sheet_row,
                "clips": {
                    "kind": seen("hand-folded clip" if by_hand else "system clip"),
                    "nails": seen("sound"),
                    "spacing": {"places": ["450 mm"] * 3, "tool": "tape", "by": "x"},
                    "marks": {"how": "low sun", "by": "x", "seams": marks},
                },
                "deck": {
                    "kind": seen("boards"),
                    "thickness": {"is": "28 mm", "tool": "steel rule", "by": "x"},
                    "sound": seen("dry and sound"),
                },
            }
        },
        "arrays": {
            "a1": {
                "plane": "p1",
                "module": "demo/module-p35",
                "orientation": "portrait",
                "tilt": "parallel",
                "block": {
                    "rows": 1,
                    "columns": 1,
                    "from_eave": "1 m",
                    "from_left": "0.6 m",
                    "gap": "20 mm",
                },
                "rail_lines": 2,
                "zones": ["field"],
                "crosses": ["s01", "s02", "s03"],
                "clamps": "every seam",
                "stated": stated("0.05"),
            }
        },
        "stacks": {},
    }


def stated(number: str) -> Rows:
    """Every figure that a calculation can state, all of one number."""
    unit = {name: "kPa" if name.startswith("net_") else "kN" for name in FIGURES}
    return {
        name: {"is": f"{number} {unit[name]}", "paper": "calc", "covers": ["array a1"]}
        for name in FIGURES
    }


def fitted(part: Part, shape: str, family: str, core: str | None = None) -> Rows:
    """The roof that a clamp fits by one of its windows."""
    assert isinstance(part.shape, schema.Clamp)
    grip = next(g for g in part.shape.grips if g.shape == shape)
    row = roof(seam(grip), sheet(family, core))
    if part.shape.generation == "old":  # may be judged, never chosen
        row["stacks"] = {"one": {"array": "a1", "clamp": part.id}}
        row["request"] = {"kind": "judge", "stack": "one"}
    return row


def changed(row: Rows, **changes: object) -> Rows:
    """A copy with other values; `planes__p1__pitch` names a place in it."""
    new = deepcopy(row)
    for path, value in changes.items():
        *above, last = path.split("__")
        here = new
        for key in above:
            here = here[key]
        here[last] = value
    return new


def job(base: Base, row: Rows) -> Job:
    """Read it the way a file is read."""
    return job_of(read_string(json.dumps(row), "made-up.yaml"), base.vocabulary)


def yellow_zinc() -> Document:
    """The mill house with bare zinc on it that is brass yellow, which bare zinc never is."""
    text = (ROOT / "examples" / "mill-house" / "job.yaml").read_text(encoding="utf-8")
    offcut = "how: cut edge of the offcut, paper: offcut}"
    yellow = "colour: {is: yellow, how: x, by: tk}"
    for old, new in (
        (f"{{is: steel, {offcut}", f"{{is: zinc, {offcut}\n      {yellow}"),
        (f"{{is: [paint, zinc], {offcut}", f"{{is: [none], {offcut}"),
        ("magnet:    {is: strong, how", "magnet:    {is: none, how"),
    ):
        assert text.count(old) == 1
        text = text.replace(old, new)
    return read_string(text, "job.yaml")
