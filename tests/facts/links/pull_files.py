"""Files of pull tests for tests, made of a few loads; everything in them is invented."""

from typing import Any

from selector.jobs.pull_read import pulls_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.pull import PullFile

HEAD = """\
seamwright: pull/1
id: made-up
as_of: 2031-05-06
invented: true
roof: nowhere
people:
  rk: {role: roofer}
papers:
  plan: {kind: letter, dated: 2031-04-10}
  prior: {kind: test report, dated: 2030-02-01}
  calc: {kind: engineer's calculation, number: 31-058, dated: 2031-04-28}
pulled: {on: 2031-04-22, by: rk, tool: puller, calibrated: 2030-11-02, calibrated_until: 2031-11-01}
what:
  link: clip in deck
  clip: hand-folded clip
  deck: boards
  deck_thickness: 24 mm
  shape: double-lock
  metal: zinc
  sheet_thickness: 0.70 mm
  direction: away from the roof
  failure: break
"""
FACTORS = {"eta_d": "{is: 1.0, paper: calc}", "gamma_m": "{is: 1.33, paper: calc}"}


def failed(kn: object, zone: str = "field", **more: str) -> dict[str, str]:
    """A pull until failure."""
    return {"zone": zone, "failed_at": f"{kn} kN", "mode": "nails draw out", **more}


def held(kn: object, zone: str = "field", **more: str) -> dict[str, str]:
    """A load that was held for a minute."""
    return {"zone": zone, "held": f"{kn} kN", "for": "60 s", **more}


def text_of(
    *pulls: dict[str, str],
    record: dict[str, str] | None = None,
    demand: dict[str, str] | None = None,
    head: str = HEAD,
) -> str:
    """A whole file; each pull on a clip of its own unless it names one."""
    lines = [head.rstrip()]
    for name, rows in (("record", record), ("demand", demand)):
        if rows:
            lines += [f"{name}:", *(f"  {key}: {value}" for key, value in rows.items())]
    lines.append("pulls:")
    for i, pull in enumerate(pulls):
        cells = {"seam": f"s{i + 1:02}", "from_eave": "1.20 m", **pull}
        lines.append("  - {" + ", ".join(f"{k}: {v}" for k, v in cells.items()) + "}")
    return "\n".join(lines) + "\n"


def file_of(base: Base, *pulls: dict[str, str], **more: Any) -> PullFile:
    """The same, read."""
    return pulls_of(read_string(text_of(*pulls, **more), "pulls.yaml"), base.vocabulary)
