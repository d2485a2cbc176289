"""Sums over the lines of a kit, and what they are held against."""

from collections import defaultdict
from decimal import Decimal

from selector.kit.model import METRE, Line, Totals
from selector.knowledge.base import Catalogue
from selector.model.job import Array, Job, Paper

GRAVITY = 9.80665  # m/s2; CGPM 1901, resolution of the 3rd meeting, as in the weight of an array


def totals(
    lines: tuple[Line, ...], area: int, catalogue: Catalogue, job: Job, array: Array
) -> Totals:
    """Masses, prices and area; the load paper is the one that goes least far."""
    goods = [line for line in lines if line.is_goods]
    prices: dict[str, Decimal] = defaultdict(Decimal)
    for line in goods:
        if line.price is not None:
            prices[line.price.currency] += line.price.amount
    priced = sum(line.price is not None for line in goods)
    paper = _reserve(job, array)
    return Totals(
        mass=sum(line.mass or 0 for line in goods),
        on_roof=sum(line.on_roof or 0 for line in goods),
        fixings=sum(line.on_roof or 0 for line in goods if line.kind != "module"),
        lines=len(goods),
        weighed=sum(line.mass is not None for line in goods),
        priced=priced,
        prices=dict(sorted(prices.items())) if priced == len(goods) else {},
        area=area,
        allowance=catalogue.mass_allowance,
        reserve=None if paper is None else paper.up_to,
        paper="" if paper is None else paper.title,
    )


def _reserve(job: Job, array: Array) -> Paper | None:
    """The paper on the load reserve that covers this array and goes least far; as for a verdict."""
    wanted = "roof-parallel" if array.tilt is None else "elevated"
    found = [
        p
        for p in job.papers.values()
        if wanted in p.covers
        and p.up_to is not None
        and p.kind in Paper.STATES_RESERVE
        and p.counts_on(job.as_of)
    ]
    return min(found, key=lambda p: (p.up_to or 0, p.id), default=None)


def area_mass(grams: int, area: int) -> float:
    """Kilograms a square metre."""
    return grams / 1_000 / (area / METRE**2)


def area_weight(grams: int, area: int) -> float:
    """Weight in Pa of so much mass, spread over an area of the slope."""
    return area_mass(grams, area) * GRAVITY
