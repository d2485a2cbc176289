"""Units of the trade as exact integers; text in, text out.

Every number is kept as a whole count of a small unit (micrometre, millinewton, ...), so
that comparisons are exact and never depend on floating point.
"""

import re
from decimal import Decimal, InvalidOperation
from typing import Final

# unit -> (dimension, size in canonical units). Non-SI sizes: NIST SP 811 (2008), appendix B.8.
UNITS: Final[dict[str, tuple[str, Decimal]]] = {
    "um": ("length", Decimal(1)),
    "mm": ("length", Decimal(1_000)),
    "cm": ("length", Decimal(10_000)),
    "m": ("length", Decimal(1_000_000)),
    "km": ("length", Decimal(1_000_000_000)),
    "in": ("length", Decimal(25_400)),
    "ft": ("length", Decimal(304_800)),
    "N": ("force", Decimal(1_000)),
    "kN": ("force", Decimal(1_000_000)),
    "lbf": ("force", Decimal("4448.2216152605")),
    "Pa": ("pressure", Decimal(1_000)),
    "kPa": ("pressure", Decimal(1_000_000)),
    "N/m2": ("pressure", Decimal(1_000)),
    "kN/m2": ("pressure", Decimal(1_000_000)),
    "psf": ("pressure", Decimal("47880.258980336")),
    "deg": ("angle", Decimal(1_000)),
    "Nm": ("torque", Decimal(1_000)),
    "g": ("mass", Decimal(1)),
    "kg": ("mass", Decimal(1_000)),
    "kg/m": ("line mass", Decimal(1_000)),
    "kg/m2": ("area mass", Decimal(1_000)),
    "m/s": ("speed", Decimal(1_000)),
    "GPa": ("modulus", Decimal(1_000)),
    "MPa": ("strength", Decimal(1_000)),
    "mm2": ("area", Decimal(1)),
    "cm2": ("area", Decimal(100)),
    "mm3": ("section modulus", Decimal(1)),
    "cm3": ("section modulus", Decimal(1_000)),
    "mm4": ("second moment", Decimal(1)),
    "cm4": ("second moment", Decimal(10_000)),
    "K": ("temperature step", Decimal(1_000)),
    "C": ("temperature", Decimal(1_000)),
    "um/m/K": ("expansion", Decimal(1_000)),
    "%": ("share", Decimal(10_000)),
    "a": ("time", Decimal(1)),
    "mV": ("potential", Decimal(1)),
    "V": ("potential", Decimal(1_000)),
    "um/a": ("loss of thickness", Decimal(1_000)),
    "g/m2/a": ("loss of mass", Decimal(1_000)),
    "ug/m3": ("content", Decimal(1)),
    "kg/m3": ("density", Decimal(1)),
}
SHOWN: Final[dict[str, str]] = {
    "force": "kN",
    "pressure": "kPa",
    "angle": "deg",
    "torque": "Nm",
    "mass": "kg",
    "line mass": "kg/m",
    "area mass": "kg/m2",
    "speed": "m/s",
    "modulus": "GPa",
    "strength": "MPa",
    "area": "mm2",
    "section modulus": "mm3",
    "second moment": "mm4",
    "temperature step": "K",
    "temperature": "C",
    "expansion": "um/m/K",
    "share": "%",
    "time": "a",
    "potential": "V",
    "loss of thickness": "um/a",
    "loss of mass": "g/m2/a",
    "content": "ug/m3",
    "density": "kg/m3",
    "count": "",
}
SIGNED: Final = frozenset({"temperature"})  # readings below zero are readings
DIMENSIONS: Final = frozenset(d for d, _ in UNITS.values()) | {"count"}
LARGEST: Final = 10**15
_NUMBER = r"[-+]?[0-9]+(?:\.[0-9]+)?"
_QUANTITY = re.compile(rf"({_NUMBER})\s*([A-Za-z%][A-Za-z0-9%/]*)?")


def units_of(dimension: str) -> list[str]:
    """Units that measure this dimension, smallest first."""
    return [u for u, (d, _) in UNITS.items() if d == dimension]


def parse(text: object, dimension: str) -> int:
    """Canonical whole number of a text like `25.4 mm`.

    A decimal comma, a missing or a foreign unit, an exponent or an absurd size raise
    ValueError with what was expected; nothing is guessed.
    """
    article = "an" if dimension[0] in "aeiou" else "a"
    wanted = f"{article} {dimension} such as {example(dimension)}"
    if dimension == "count":
        if isinstance(text, int) and not isinstance(text, bool) and 0 <= text <= LARGEST:
            return text
        raise ValueError(f"expected a whole number, given `{shorten(text)}`")
    if not isinstance(text, str):
        raise ValueError(f"expected {wanted} with its unit, given `{shorten(text)}`")
    match = _QUANTITY.fullmatch(text.strip())
    if match is None:
        raise ValueError(f"expected {wanted}, given `{shorten(text)}`")
    number, unit = match.groups()
    if unit is None:
        raise ValueError(f"expected {wanted}; `{shorten(text)}` has no unit")
    if unit not in UNITS:
        known = ", ".join(units_of(dimension))
        raise ValueError(f"unit `{unit}` is not known here; use {known}")
    given, size = UNITS[unit]
    if given != dimension:
        raise ValueError(f"expected {wanted}; `{shorten(text)}` is a {given}")
    try:
        whole = int((Decimal(number) * size).to_integral_value())
    except InvalidOperation:
        whole = LARGEST + 1
    if abs(whole) > LARGEST:
        raise ValueError(f"`{shorten(text)}` is absurdly large")
    return whole


def parse_window(text: object, dimension: str) -> tuple[int | None, int | None]:
    """Closed range of `22 to 30 mm`, `at least 24 mm`, `at most 20 %` or one exact value."""
    if not isinstance(text, str):
        raise ValueError(f"expected a range of {dimension}, given `{shorten(text)}`")
    stripped = text.strip()
    if stripped.startswith("at least "):
        return parse(stripped[9:], dimension), None
    if stripped.startswith("at most "):
        return None, parse(stripped[8:], dimension)
    low_text, separator, high_text = stripped.partition(" to ")
    if not separator:
        value = parse(stripped, dimension)
        return value, value
    high = parse(high_text, dimension)
    unit = high_text.strip().lstrip("+-0123456789. ")
    bare = re.fullmatch(_NUMBER, low_text.strip()) is not None
    low = parse(f"{low_text} {unit}" if bare else low_text, dimension)
    if low > high:
        raise ValueError(f"the range `{shorten(text)}` runs backwards")
    return low, high


def show(value: int, dimension: str) -> str:
    """Text with the unit a person would use; lengths in mm, m or km by size."""
    if dimension == "length":
        size = abs(value)
        unit = "mm" if size < 2_000_000 else "m" if size < 2_000_000_000 else "km"
    else:
        unit = SHOWN[dimension]
    if not unit:
        return str(value)
    number = Decimal(value) / UNITS[unit][1]
    rounded = round(number, 3).normalize()
    return f"{rounded:f} {unit}"


def show_window(low: int | None, high: int | None, dimension: str) -> str:
    """`22 to 30 mm`, `at least 24 mm`, `at most 20 %`."""
    if low is None and high is None:
        return "any"
    if low is None:
        return f"at most {show(high or 0, dimension)}"
    if high is None:
        return f"at least {show(low, dimension)}"
    if low == high:
        return show(low, dimension)
    first, second = show(low, dimension), show(high, dimension)
    if first.split()[-1] == second.split()[-1]:
        first = first.split()[0]
    return f"{first} to {second}"


def example(dimension: str) -> str:
    """A text that `parse` takes, for messages."""
    samples = {"length": "25.4 mm", "force": "0.45 kN", "pressure": "1.1 kPa", "angle": "22 deg"}
    return f"`{samples.get(dimension) or '12 ' + SHOWN[dimension]}`"


def shorten(value: object, width: int = 40) -> str:
    """One line of at most `width` characters for a message."""
    text = " ".join(str(value).split())
    return text if len(text) <= width else text[: width - 3] + "..."
