"""Zones of each wind fill the plane and overlap nowhere: areas by shapely (GEOS)."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.engineering.lines import Outside
from selector.engineering.zones_en import WINDS, Roof, roof_zones
from selector.knowledge.base import Base

shapely = pytest.importorskip("shapely", reason="shapely is part of the test extra")

FORMS = st.sampled_from([("flat", 2.0), ("monopitch", 12.0), ("duopitch", 8.5), ("duopitch", 40.0)])
lengths = st.floats(3, 120)


@settings(max_examples=150)
@given(FORMS, lengths, lengths, st.floats(2, 40))
def test_areas_of_zones_add_up_to_the_plane(
    form: tuple[str, float], length: float, depth: float, height: float
) -> None:
    base = BASE[0]
    roof = Roof(form[0], form[1], length, depth, height, source="test", status="invented")
    zones = roof_zones(base.codes.code("recommended-values"), roof)
    assert not isinstance(zones, Outside)
    flat = form[0] == "flat"
    slope = roof.depth_m if flat else roof.slope_m
    for wind in WINDS:
        boxes = [
            shapely.box(z.x0_m, z.y0_m, z.x1_m, z.y1_m)
            for z in zones
            if z.wind == wind and not z.empty
        ]
        plane = shapely.box(0, 0, roof.length_m, max(b.bounds[3] for b in boxes))
        assert plane.bounds[3] == pytest.approx(slope, rel=1e-3)
        whole = shapely.unary_union(boxes)
        assert whole.area == pytest.approx(plane.area, rel=1e-9)
        assert sum(b.area for b in boxes) == pytest.approx(plane.area, rel=1e-9)


BASE: list[Base] = []


@pytest.fixture(autouse=True)
def _known(base: Base) -> None:
    BASE[:] = [base]
