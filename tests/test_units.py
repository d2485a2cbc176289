"""Units: exact, strict, and equal to an independent library."""

from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector import units

REGISTRY = pint.UnitRegistry(non_int_type=Decimal)
PINT = {
    "kN/m2": "kilonewton / meter ** 2",
    "N/m2": "newton / meter ** 2",
    "psf": "force_pound / foot ** 2",
    "lbf": "force_pound",
    "Nm": "newton * meter",
    "um": "micrometer",
    "kg/m": "kilogram / meter",
    "kg/m2": "kilogram / meter ** 2",
    "um/m/K": "micrometer / meter / kelvin",
    "m/s": "meter / second",
    "deg": "degree",
    "%": "percent",
    "a": "year",
    "in": "inch",
    "ft": "foot",
    "g": "gram",
    "kg": "kilogram",
    "GPa": "gigapascal",
    "MPa": "megapascal",
    "mm2": "millimeter ** 2",
    "cm2": "centimeter ** 2",
    "mm3": "millimeter ** 3",
    "cm3": "centimeter ** 3",
    "mm4": "millimeter ** 4",
    "cm4": "centimeter ** 4",
    "K": "kelvin",
    "um/a": "micrometer / year",
    "g/m2/a": "gram / meter ** 2 / year",
    "ug/m3": "microgram / meter ** 3",
    "kg/m3": "kilogram / meter ** 3",
    "C": "degC",
}


@pytest.mark.parametrize("unit", sorted(units.UNITS))
@given(number=st.decimals(0, 1000, places=2, allow_nan=False))
def test_sizes_equal_an_independent_library(unit: str, number: Decimal) -> None:
    dimension, _ = units.UNITS[unit]
    smallest = units.units_of(dimension)[0]
    size = (
        REGISTRY.Quantity(number, PINT.get(unit, unit)).to(PINT.get(smallest, smallest)).magnitude
    )
    expected = size * units.UNITS[smallest][1]
    assert abs(units.parse(f"{number} {unit}", dimension) - expected) <= Decimal("0.51")


@given(st.integers(0, 10**9))
def test_a_shown_length_reads_back_within_its_last_digit(value: int) -> None:
    text = units.show(value, "length")
    step = {"mm": 1, "m": 1_000, "km": 1_000_000}[text.split()[1]]
    assert abs(units.parse(text, "length") - value) <= step


@pytest.mark.parametrize(
    "text",
    ["25", "25,4 mm", "1e3 mm", "mm", "", "25 kg", "25 furlong", "nan mm", "inf mm", "25 mm mm",
     "9999999999999 km", "1 1/8 in", "--3 mm", "25 MM", "0x10 mm", "٢٥ mm"],
)  # fmt: skip
def test_refused_with_what_was_expected(text: str) -> None:
    with pytest.raises(ValueError, match=r"length|unit|large"):
        units.parse(text, "length")


def test_bare_number_names_the_unit() -> None:
    with pytest.raises(ValueError, match=r"25\.4 mm"):
        units.parse(25, "length")


@pytest.mark.parametrize(
    ("text", "window"),
    [
        ("22 to 30 mm", (22_000, 30_000)),
        ("0.25 m to 450 mm", (250_000, 450_000)),
        ("at least 24 mm", (24_000, None)),
        ("at most 9 mm", (None, 9_000)),
        ("8 mm", (8_000, 8_000)),
    ],
)
def test_windows(text: str, window: tuple[int | None, int | None]) -> None:
    assert units.parse_window(text, "length") == window


def test_a_backward_window_is_refused() -> None:
    with pytest.raises(ValueError, match="backwards"):
        units.parse_window("30 to 22 mm", "length")
