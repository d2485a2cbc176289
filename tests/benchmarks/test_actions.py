"""Actions on many places: the work grows with them and no faster, and nothing piles up.

Calls are counted, not seconds, so that the figures are the same on a busy machine.
"""

import gc
import random
import sys
import tracemalloc
from types import FrameType
from typing import Any

from selector.engineering.lines import Outside
from selector.engineering.roof_wind_en import RoofWind, place_wind, roof_wind
from selector.engineering.tables import Code
from selector.engineering.zones_en import Roof
from selector.knowledge.base import Base
from tests.engineering.conftest import given, site

FEW, MANY = 200, 1_000
LIMIT = 6.0  # times the work for five times the places
GROWTH = 32_768  # bytes that 800 further roofs may leave behind


def wind_on(code: Code, pitch: float, length: float) -> RoofWind:
    house = Roof("duopitch", pitch, length, 11.0, 8.0, source="drawn", status="invented")
    found = roof_wind(code, site(25, "II"), house)
    assert not isinstance(found, Outside)
    return found


def work(code: Code, places: int) -> int:
    """How many functions are called for so many places of one roof, the roof included."""
    chance = random.Random(3)
    drawn = [(chance.uniform(0, 14), chance.uniform(0, 5.5)) for _ in range(places)]
    calls = 0

    def count(frame: FrameType, event: str, argument: Any) -> None:
        nonlocal calls
        calls += event in {"call", "c_call"}

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        wind = wind_on(code, 22, 14.0)
        for x, y in drawn:
            place_wind(wind, x, y, 0.8)
    finally:
        sys.setprofile(before)
    return calls


def test_five_times_the_places_is_not_more_than_six_times_the_work(base: Base) -> None:
    code = base.codes.code("recommended-values")
    few, many = work(code, FEW), work(code, MANY)
    assert few > FEW
    assert many <= LIMIT * few, f"{many} calls for {MANY} places, {few} for {FEW}"


def test_roofs_leave_nothing_behind(base: Base) -> None:
    code = base.codes.code("recommended-values")
    chance = random.Random(5)

    def roofs(number: int) -> None:
        for _ in range(number):
            wind = wind_on(code, chance.uniform(5, 60), chance.uniform(6, 30))
            place_wind(wind, 1.0, 1.0, given(0.8).value)

    roofs(20)  # whatever is set up once
    tracemalloc.start()
    try:
        roofs(FEW)
        gc.collect()
        early, _ = tracemalloc.get_traced_memory()
        roofs(MANY - FEW)
        gc.collect()
        late, _ = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert late - early <= GROWTH, f"{late - early} bytes more after {MANY} roofs"
