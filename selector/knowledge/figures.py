"""Single figures and words of a knowledge file, and the closed shape that they stand in."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from selector import units
from selector.model.quantity import Window


class Shape(BaseModel):
    """A closed set of keys; an unknown key is an error."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


def number(dimension: str) -> Callable[[object], int]:
    """Reader of a figure of this dimension, never negative; ValueError says what is wrong."""

    def read(value: object) -> int:
        number = units.parse(value, dimension)
        if number < 0:
            raise ValueError(f"`{units.shorten(value)}` is negative; it has no sign here")
        return number

    return read


def _date(value: object) -> str:
    try:
        if isinstance(value, str) and len(value) == len("2031-03-14"):
            return date.fromisoformat(value).isoformat()
    except ValueError:
        pass
    raise ValueError(f"expected a date such as 2031-03-14, given `{units.shorten(value)}`")


def window(dimension: str) -> Callable[[object], Window]:
    """Reader of a closed range of this dimension; ValueError says what is wrong."""

    def read(value: object) -> Window:
        return Window(dimension, *units.parse_window(value, dimension))

    return read


def _one_or_more(value: object) -> object:
    return [value] if isinstance(value, str) else value


Length = Annotated[int, BeforeValidator(number("length"))]
Force = Annotated[int, BeforeValidator(number("force"))]
Pressure = Annotated[int, BeforeValidator(number("pressure"))]
Torque = Annotated[int, BeforeValidator(number("torque"))]
Angle = Annotated[int, BeforeValidator(number("angle"))]
Mass = Annotated[int, BeforeValidator(number("mass"))]
LineMass = Annotated[int, BeforeValidator(number("line mass"))]
LengthRange = Annotated[Window, BeforeValidator(window("length"))]
Date = Annotated[str, BeforeValidator(_date)]
Count = Annotated[int, Field(strict=True, ge=1)]
Words = Annotated[tuple[str, ...], BeforeValidator(_one_or_more)]
Status = Literal["published", "measured", "common practice", "judgement", "from memory", "invented"]
Tested = Literal["not tested", "owner's document"]
OWNERS = "owner's document"  # a figure stands in the papers of a profile's owner and not here


def _torque(value: object) -> object:
    return value if value in (OWNERS, "screw stop") else number("torque")(value)


TorqueOrWord = Annotated[int | str, BeforeValidator(_torque)]


@dataclass(frozen=True)
class Price:
    """An exact amount of money in one currency; never a float."""

    amount: Decimal
    currency: str


def _price(value: object) -> Price:
    match = _PRICE.fullmatch(value) if isinstance(value, str) else None
    if match is None:
        shown = units.shorten(value)
        raise ValueError(f"expected a price such as `4.20 EUR`, given `{shown}`")
    return Price(Decimal(match[1]), match[2])


_PRICE = re.compile(r"([0-9]{1,7}(?:\.[0-9]{1,2})?) ([A-Z]{3})")
PriceOf = Annotated[Price, BeforeValidator(_price)]


def _stock(value: object) -> object:
    lengths = [number("length")(one) for one in value] if isinstance(value, list) else []
    if not lengths or min(lengths) <= 0 or lengths != sorted(set(lengths)):
        raise ValueError("write a list of lengths, the shortest first, each once")
    return tuple(lengths)


StockLengths = Annotated[tuple[int, ...], BeforeValidator(_stock)]
