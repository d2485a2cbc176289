"""The code of no country, and one with every accidental set, from the shipped base."""

from dataclasses import replace
from typing import Any

import pytest

from selector.engineering.combine_en import Actions, Worth
from selector.engineering.lines import Given, Ref
from selector.engineering.tables import Code, Codes, Variant
from selector.engineering.wind_en import WindSite
from selector.engineering.zones_en import Roof
from selector.knowledge.base import Base

SURE = Worth("published", "published", "published")
STATED = Ref("test", "test", "published")


@pytest.fixture(scope="session")
def codes(base: Base) -> Codes:
    return base.codes


@pytest.fixture(scope="session")
def code(codes: Codes) -> Code:
    return codes.code("recommended-values")


def with_variants(code: Code, **ways: str) -> Code:
    """The code of a country that takes these ways; `_` stands for a blank."""
    variants = dict(code.national.variants)
    for name, way in ways.items():
        choice = name.replace("_", " ")
        assert choice in variants
        variants[choice] = Variant(choice, way, STATED)
    return replace(code, national=replace(code.national, variants=variants))


@pytest.fixture(scope="session")
def accidental(code: Code) -> Code:
    return with_variants(code, exceptional_snow="factor", exceptional_drift="annex B")


def given(value: float, status: str = "published") -> Given:
    """A figure as a job would state it."""
    return Given(value, "a map sheet", status)


def roof(form: str, pitch: float, length: float, depth: float, height: float, **more: Any) -> Roof:
    """A measured roof: degrees, and metres along the eave, across the building and high."""
    return Roof(form, pitch, length, depth, height, source="tape", status="measured", **more)


def loaded(*values: float, worth: Worth = SURE, **more: float) -> Actions:
    """Actions in Pa: G,min, G,max, W,up, W,down, S, then the pitch."""
    return Actions(*values, worth=worth, **more)


def site(speed: float, terrain: str, orography: float = 1.0) -> WindSite:
    """A site by its speed in m/s and its terrain."""
    return WindSite(given(speed), terrain, given(orography, "measured"))
