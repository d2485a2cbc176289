"""Text of a condition, such as `not p.seam.height within c.grips.height`, to its parts."""

import re

from selector import units
from selector.errors import near
from selector.model.quantity import Window
from selector.model.rule import OPERATORS, Condition, Limit, Operand, Path

_PATH = re.compile(r"([a-z]{1,12})\.([A-Za-z0-9_]+(?:\.[A-Za-z0-9_]+)*)")
_FORM = re.compile(
    r"(?P<not>not )?(?P<left>[a-z]{1,12}\.[A-Za-z0-9_.]+)"
    r" (?P<op>is one of|is|within|at most|at least|present|absent|passes|covered by|known)"
    r"(?: (?P<right>.+))?"
)
_NO_OPERAND = ("present", "absent", "passes", "known")


def parse_path(text: str, roles: dict[str, str]) -> Path:
    """Path of `p.seam.height`; the letter must be a role of the rule."""
    match = _PATH.fullmatch(text.strip())
    if match is None:
        raise ValueError(f"`{text}` is not a path such as `p.seam.height`")
    letter, name = match.groups()
    if letter not in roles:
        raise ValueError(f"`{letter}` is no role of this rule; {near(letter, roles)}")
    return Path(roles[letter], name)


def parse(text: object, roles: dict[str, str], places: int = 1) -> Condition:
    """Condition of a text; ValueError says what is wrong with it."""
    if not isinstance(text, str):
        raise ValueError(f"a condition is a text, given `{units.shorten(text)}`")
    match = _FORM.fullmatch(" ".join(text.split()))
    if match is None:
        known = ", ".join(OPERATORS)
        raise ValueError(
            f"`{units.shorten(text)}` is not `PATH OPERATOR VALUE` with one of {known}"
        )
    operator = match["op"]
    left = parse_path(match["left"], roles)
    right = match["right"]
    if (right is None) != (operator in _NO_OPERAND):
        wanted = "takes no value" if operator in _NO_OPERAND else "needs a value"
        raise ValueError(f"`{operator}` {wanted}: `{units.shorten(text)}`")
    operand = None if right is None else _operand(operator, right, roles)
    return Condition(left, operator, operand, match["not"] is not None, places)


def _operand(operator: str, text: str, roles: dict[str, str]) -> Operand:
    letter = text.partition(".")[0]
    if operator == "covered by":
        return text
    if letter in roles and _PATH.fullmatch(text):
        return parse_path(text, roles)
    if operator == "is":
        return text
    if operator == "is one of":
        if not (text.startswith("[") and text.endswith("]")):
            raise ValueError(f"`is one of` needs a list in brackets or a path, given `{text}`")
        words = tuple(w.strip() for w in text[1:-1].split(",") if w.strip())
        if not words:
            raise ValueError("`is one of []` can never hold")
        return words
    dimension = dimension_of(text)
    if operator == "within":
        return Window(dimension, *units.parse_window(text, dimension))
    given: object = int(text) if dimension == "count" else text
    return Limit(dimension, units.parse(given, dimension))


def dimension_of(text: str) -> str:
    """Dimension of the unit that ends a text; a bare whole number is a count."""
    unit = text.split()[-1]
    if unit in units.UNITS:
        return units.UNITS[unit][0]
    if re.fullmatch(r"[0-9]+", text):
        return "count"
    raise ValueError(f"`{text}` has no known unit")
