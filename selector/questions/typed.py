"""What a person types for a question, read into a sighting as the job file writes it.

Nothing is guessed: a number without a unit takes the unit that the question asks in, one without a
tool the coarsest tolerance that the question knows, and a word that fits several is asked back.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from selector import units
from selector.errors import near
from selector.model.rule import Quantity

Data = dict[str, Any]
UNKNOWN = {
    "?": "don't know",
    "don't know": "don't know",
    "dont know": "don't know",
    "no idea": "don't know",
    "can't reach": "can't reach",
    "cant reach": "can't reach",
    "not asked": "not asked",
}
HINTS = ("not sure", "perhaps", "about", "ca.", "~")
_NUMBER = re.compile(r"([-+]?[0-9]+(?:[.,][0-9]+)?) *([A-Za-z%][A-Za-z0-9%/]*)?")


def sighting(text: str, quantity: Quantity) -> Data:
    """Sighting of an answer: `is`, `places`, `one_of`, `hint` or `unknown`, and the tool if named.

    ValueError says what was given and what is expected.
    """
    said = " ".join(text.split())
    if not said:
        raise ValueError(f"nothing given; {expected(quantity)}, or `?` for don't know")
    if said.lower() in UNKNOWN:
        return {"unknown": UNKNOWN[said.lower()]}
    for hint in HINTS:
        if said.lower().startswith(hint):
            rest = said[len(hint) :].strip(" ,:")
            return {"hint": _hint(rest, quantity)} if rest else {"unknown": "not sure"}
    if quantity.dimension == "choice":
        return _choice(said, quantity)
    return _measure(said, quantity)


def is_doubtful(text: str) -> bool:
    """Whether an answer says itself that it is not sure."""
    return text.lower().startswith(HINTS)


def expected(quantity: Quantity) -> str:
    """What an answer looks like, for a prompt and for messages."""
    if quantity.dimension == "choice":
        return "a number or a word of the list"
    unit, one = unit_of(quantity), figure_like(quantity)
    if not unit:
        return f"a whole number such as `{one}`"
    if quantity.places > 1:
        return f"{quantity.places} places in {unit}, such as `{' '.join([one] * quantity.places)}`"
    return f"a number in {unit}, such as `{one}` or `{one} {unit}`"


def figure_like(quantity: Quantity) -> str:
    """A number as one would type it for this."""
    return "24.8" if unit_of(quantity) == "mm" else "12"


def unit_of(quantity: Quantity) -> str:
    """The unit that a bare number is taken in."""
    if quantity.dimension == "count":
        return ""
    return quantity.unit or units.SHOWN.get(quantity.dimension, "mm")


def _hint(text: str, quantity: Quantity) -> str | int:
    if quantity.dimension == "choice":
        return _word(text, quantity)
    return _figures([text], quantity)[0]


def day(text: str) -> str:
    """A date as the job file writes it, of `2031-03-14` or `14.3.2031`."""
    found = re.fullmatch(r"([0-9]{1,2})\. ?([0-9]{1,2})\. ?([0-9]{4})", text)
    whole = "-".join(p.zfill(2) for p in found.group(3, 2, 1)) if found else text
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", whole):
            raise ValueError
        return date.fromisoformat(whole).isoformat()
    except ValueError:
        shown = units.shorten(text)
        raise ValueError(f"expected a date such as 2031-03-14, given `{shown}`") from None


def figure(text: str, dimension: str, unit: str, window: tuple[int, int]) -> str:
    """One figure with its unit, inside a window; a bare number is taken in `unit`."""
    match = _NUMBER.fullmatch(text)
    if match is None:
        shown = units.shorten(text)
        raise ValueError(f"expected a number in {unit}, such as `12 {unit}`, given `{shown}`")
    shown = f"{match[1].replace(',', '.')} {match[2] or unit}"
    if not window[0] <= units.parse(shown, dimension) <= window[1]:
        possible = units.show_window(*window, dimension)
        raise ValueError(f"`{shown}` cannot be right; {possible} is plausible here")
    return shown


# --- choices ---------------------------------------------------------------------------


def _choice(text: str, quantity: Quantity) -> Data:
    """One word, several with `or` between (any of them), or layers with `on` between."""
    whole = [w for w in quantity.words if w.lower() == text.lower()]  # some words hold an `or`
    if whole:
        return {"is": whole[0]}
    parts = [p for p in re.split(r"\s+or\s+|\s*[,/|]\s*", text) if p]
    found = [_layers(p, quantity) for p in parts]
    if len(found) == 1:
        return {"is": found[0]}
    distinct = [w for i, w in enumerate(found) if w not in found[:i]]
    return {"is": distinct[0]} if len(distinct) == 1 else {"one_of": distinct}


def _layers(text: str, quantity: Quantity) -> str | list[str]:
    if quantity.stacked and " on " in text:
        return [_word(t.strip(), quantity) for t in text.split(" on ")]
    return _word(text, quantity)


def _word(text: str, quantity: Quantity) -> str:
    """A word of the list, by its number, whole, or by a start that no other word has."""
    return one_of(text, quantity.words)


def one_of(text: str, words: Sequence[str]) -> str:
    """A word of a list, by its number, whole, or by a start that no other word has."""
    given = text.strip().lower()
    if given.isdecimal() and given not in words:
        number = int(given[:9])
        if 1 <= number <= len(words):
            return words[number - 1]
        raise ValueError(f"`{units.shorten(text)}` is no number of the list; 1 to {len(words)}")
    exact = [w for w in words if w.lower() == given]
    starts = exact or [w for w in words if given and w.lower().startswith(given)]
    if len(starts) == 1:
        return starts[0]
    if starts:
        raise ValueError(f"`{units.shorten(text)}` fits {_listed(starts)}; type more of it")
    raise ValueError(f"`{units.shorten(text)}` is not in the list; {near(given, words)}")


def _listed(names: Iterable[str]) -> str:
    return " and ".join(f"`{n}`" for n in names)


# --- measures --------------------------------------------------------------------------


def _measure(text: str, quantity: Quantity) -> Data:
    rest, tool = _tool(text, quantity)
    rest, within = _within(rest, quantity)
    whole = [w for w in quantity.words if w.lower() == text.lower()]  # some words hold an `or`
    if whole:
        return {"is": whole[0]}
    parts = [p for p in re.split(r"\s*(?:/(?!\w)|/(?=\d)|;)\s*|\s+", _joined(rest)) if p]
    figures = _figures(parts, quantity)
    found: Data = {"places": figures} if len(figures) > 1 else {"is": figures[0]}
    if tool is not None:
        found["tool"] = tool
    if within is not None:
        found["within"] = within
    return found


def _tool(text: str, quantity: Quantity) -> tuple[str, str | None]:
    """The answer without the tool that is named at its end, and the tool."""
    lower = text.lower()
    for tool in sorted(quantity.tools, key=len, reverse=True):
        if lower.endswith(f" {tool.lower()}"):
            return text[: -len(tool)].strip(" ,"), tool
    return text, None


def _within(text: str, quantity: Quantity) -> tuple[str, str | None]:
    """The answer without a tolerance of its own, such as `+-2`."""
    value, mark, tolerance = text.replace("±", "+-").partition("+-")
    if not mark:
        return text, None
    share = tolerance.strip()
    if share.endswith("%"):
        return value.strip(), f"{units.parse(share, 'share') / 10_000:g} %"
    return value.strip(), _tolerance(share, quantity)


def _joined(text: str) -> str:
    """Numbers with their units closed up, so that blanks divide places only.

    Beside a decimal point a comma divides, too; alone it is a decimal comma.
    """
    text = text.replace(",", " ") if "." in text else text
    return re.sub(r"([0-9])\s+([A-Za-z%])", r"\1\2", text)


def _tolerance(text: str, quantity: Quantity) -> str:
    bare = re.fullmatch(r"[0-9.]+", text) is not None
    shown = f"{text} {unit_of(quantity)}" if bare else text
    units.parse(shown, quantity.dimension)
    return shown


def _figures(parts: list[str], quantity: Quantity) -> list[str | int]:
    """Figures with their units, each plausible; a unit at the end counts for all before it."""
    matches = [m for p in parts if (m := _NUMBER.fullmatch(p.strip(" ,")))]
    if not matches or len(matches) < len(parts):
        shown = units.shorten(" ".join(parts))
        raise ValueError(f"`{shown}` is no measurement; expected {expected(quantity)}")
    if quantity.dimension == "count":
        return [units.parse(int(m[1]) if m[1].isdigit() else m[1], "count") for m in matches]
    last = matches[-1][2] or unit_of(quantity)
    figures: list[str | int] = [f"{m[1].replace(',', '.')} {m[2] or last}" for m in matches]
    strange = next((m[2] for m in matches if m[2] and m[2] not in units.UNITS), None)
    if strange is not None and quantity.tools:
        known = ", ".join(quantity.tools)
        raise ValueError(f"unit `{strange}` is not known here, and no tool of this; tools: {known}")
    for figure in figures:
        _plausible(figure, quantity)
    return figures


def _plausible(figure: object, quantity: Quantity) -> None:
    value = units.parse(figure, quantity.dimension)
    if value < 0:
        raise ValueError(f"`{figure}` is negative; a reading has no sign")
    low, high = quantity.plausible
    if (low is not None and value < low) or (high is not None and value > high):
        window = units.show_window(low, high, quantity.dimension)
        raise ValueError(f"`{figure}` cannot be right; {window} is plausible here")
