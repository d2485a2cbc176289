"""What a person types for a question, read into a sighting as the job file writes it.

Nothing is guessed: a number without a unit takes the unit that the question asks in, one without a
tool the coarsest tolerance that the question knows, and a word that fits several is asked back.
"""

import re
from collections.abc import Sequence
from datetime import date
from typing import Any

from selector import units
from selector.model.rule import Quantity
from selector.questions.wrong import Joined, Near, Phrase, Shown, Words, WrongError, phrase

Data = dict[str, Any]
_LENGTH = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?(mm|cm|m|in|ft)?")
UNKNOWN = {
    "?": "don't know",
    "don't know": "don't know",
    "dont know": "don't know",
    "no idea": "don't know",
    "can't reach": "can't reach",
    "cant reach": "can't reach",
    "not asked": "not asked",
}
HINTS = (
    *("not sure", "perhaps", "maybe", "probably", "i think", "i guess", "about", "roughly"),
    *("ca.", "circa", "~"),
)
# What people write for a unit, in small letters: common practice, no source.
WRITTEN = {
    "\u00b0": "deg",
    "\u00b0c": "C",
    "grad": "deg",
    "degree": "deg",
    "degrees": "deg",
    '"': "in",
    "inch": "in",
    "inches": "in",
    "zoll": "in",
    "feet": "ft",
    "foot": "ft",
    "meter": "m",
    "metre": "m",
    "meters": "m",
    "metres": "m",
    "percent": "%",
    "prozent": "%",
}
FIGURES = (
    "24.8",
    "12",
    "530",
    "6.2",
    "0.65",
    "1998",
    "0.12",
    "120",
)  # the first that fits is shown
LONGEST = 12  # digits of a number; more is a slip of the keyboard
_NUMBER = re.compile(r"([-+]?[0-9]+(?:[.,][0-9]+)?) *([A-Za-z%\u00b0\"][A-Za-z0-9%/\u00b2]*)?")


def sighting(text: str, quantity: Quantity) -> Data:
    """Sighting of an answer: `is`, `places`, `one_of`, `hint` or `unknown`, and the tool if named.

    ValueError says what was given and what is expected.
    """
    said = " ".join(text.split())
    if not said:
        raise WrongError("typed.nothing", expected=expected(quantity))
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


def expected(quantity: Quantity) -> Phrase:
    """What an answer looks like, for a prompt and for messages."""
    if quantity.dimension == "choice":
        return phrase("typed.a_word")
    unit, one = unit_of(quantity), figure_like(quantity)
    if not unit:
        return phrase("talk.figure.count", one=one)
    if quantity.places > 1:
        each = Shown(" ".join([one] * quantity.places))
        return phrase("talk.figure.places", places=quantity.places, unit=Shown(unit), each=each)
    return phrase("talk.figure.single", unit=Shown(unit), one=Shown(one))


def figure_like(quantity: Quantity) -> str:
    """A number as one would type it for this: one that is plausible, where there is one."""
    unit = unit_of(quantity)
    first = FIGURES if unit == "mm" else FIGURES[1:]
    return next((f for f in first if _fits(f, unit, quantity)), first[0])


def _fits(figure: str, unit: str, quantity: Quantity) -> bool:
    if not unit:
        return figure.isdecimal() and _within_window(int(figure), quantity)
    return _within_window(units.parse(f"{figure} {unit}", quantity.dimension), quantity)


def _within_window(value: int, quantity: Quantity) -> bool:
    low, high = quantity.plausible
    return (low is None or value >= low) and (high is None or value <= high)


def unit_of(quantity: Quantity) -> str:
    """The unit that a bare number is taken in."""
    if quantity.dimension == "count":
        return ""
    return quantity.unit or units.SHOWN.get(quantity.dimension, "mm")


def _hint(text: str, quantity: Quantity) -> str | int:
    if quantity.dimension == "choice":
        return _word(text, quantity)
    return _figures([text], quantity, text)[0]


def day(text: str) -> str:
    """A date as the job file writes it, of `2031-03-14` or `14.3.2031`."""
    found = re.fullmatch(r"([0-9]{1,2})\. ?([0-9]{1,2})\. ?([0-9]{4})", text)
    whole = "-".join(p.zfill(2) for p in found.group(3, 2, 1)) if found else text
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", whole):
            raise ValueError
        return date.fromisoformat(whole).isoformat()
    except ValueError:
        raise WrongError("typed.date", given=units.shorten(text)) from None


def figure(text: str, dimension: str, unit: str, window: tuple[int, int]) -> str:
    """One figure with its unit, inside a window; a bare number is taken in `unit`."""
    match = _NUMBER.fullmatch(text)
    like = phrase("typed.figure", unit=Shown(unit), one="12")
    if match is None:
        raise WrongError("typed.no_figure", expected=like, given=units.shorten(text))
    shown = amount(match[1], match[2] or unit, dimension, like)
    if not window[0] <= units.parse(shown, dimension) <= window[1]:
        raise WrongError("typed.implausible", given=shown, window=_window(*window, dimension))
    return shown


def amount(number: str, unit: str, dimension: str, like: Phrase) -> str:
    """A number and a unit as the job file writes them; WrongError where they are no such figure."""
    unit = unit_named(unit, dimension)
    shown = f"{number.replace(',', '.')} {unit}"
    if unit not in units.UNITS:
        known = ", ".join(units.units_of(dimension))
        raise WrongError("typed.no_unit", unit=units.shorten(unit), known=known)
    other = units.UNITS[unit][0]
    if other != dimension:
        raise WrongError(
            "typed.other_kind", given=units.shorten(shown), kind=Shown(other), expected=like
        )
    if len(re.sub("[^0-9]", "", number)) > LONGEST:
        raise WrongError("typed.absurd", given=units.shorten(shown))
    return shown


def unit_named(unit: str, dimension: str) -> str:
    """The unit that is meant by what people write for it; itself where none is."""
    written = unit.replace("\u00b2", "2")
    if written in units.UNITS:
        return written
    alike = [u for u in units.units_of(dimension) if u.lower() == written.lower()]
    return alike[0] if len(alike) == 1 else WRITTEN.get(written.lower(), unit)


def _window(low: int | None, high: int | None, dimension: str) -> Shown:
    return Shown(units.show_window(low, high, dimension))


# --- choices ---------------------------------------------------------------------------


def _choice(text: str, quantity: Quantity) -> Data:
    """One word, several with `or` between (any of them), or layers with `on` between."""
    whole = [w for w in quantity.words if w.lower() == text.lower()]  # some words hold an `or`
    whole = whole or _plain_yes(text, quantity)
    if whole:
        return {"is": whole[0]}
    parts = [p for p in re.split(r"\s+or\s+|\s*[,/|]\s*", text) if p]
    if quantity.stacked and len(parts) > 1 and re.search("[,/|]", text):
        words = tuple(map(units.shorten, parts[:3]))
        raise WrongError("typed.layers", on=Joined(words, "on"), either=Joined(words, "or"))
    found = [_layers(p, quantity) for p in parts]
    if len(found) == 1:
        return {"is": found[0]}
    distinct = [w for i, w in enumerate(found) if w not in found[:i]]
    return {"is": distinct[0]} if len(distinct) == 1 else {"one_of": distinct}


def _plain_yes(text: str, quantity: Quantity) -> list[str]:
    """What a plain yes or no means where a list is `none` and one word beside it."""
    if "none" not in quantity.words or len(quantity.words) != 2:
        return []
    said = {"no": True, "yes": False}.get(text.lower())
    return [] if said is None else [w for w in quantity.words if (w == "none") == said]


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
        raise WrongError("typed.no_number", given=units.shorten(text), most=len(words))
    exact = [w for w in words if w.lower() == given]
    starts = exact or [w for w in words if given and w.lower().startswith(given)]
    if len(starts) == 1:
        return starts[0]
    if starts:
        raise WrongError("typed.fits", given=units.shorten(text), names=Words(tuple(starts)))
    near = Near(given, tuple(words))
    raise WrongError("typed.not_listed", given=units.shorten(text), near=near)


# --- measures --------------------------------------------------------------------------


def _measure(text: str, quantity: Quantity) -> Data:
    rest, tool = _tool(text, quantity)
    rest, within = _within(rest, quantity)
    whole = [w for w in quantity.words if w.lower() == text.lower()]  # some words hold an `or`
    if whole:
        return {"is": whole[0]}
    parts = [p for p in re.split(r"\s*(?:/(?!\w)|/(?=\d)|;)\s*|\s+", _joined(rest)) if p]
    figures = _figures(parts, quantity, rest)
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
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise WrongError(
            "typed.no_measurement", given=units.shorten(text), expected=expected(quantity)
        )
    unit = match[2] or unit_of(quantity)
    return amount(match[1], unit, quantity.dimension, expected(quantity))


def _figures(parts: list[str], quantity: Quantity, text: str) -> list[str | int]:
    """Figures with their units, each plausible; a unit at the end counts for all before it."""
    matches = [m for p in parts if (m := _NUMBER.fullmatch(p.strip(" ,")))]
    if not matches or len(matches) < len(parts):
        raise _no_measurement(text, quantity)
    if quantity.dimension == "count":
        return [_count(m[0], quantity) for m in matches]
    last = matches[-1][2] or unit_of(quantity)
    strange = next((m[2] for m in matches if m[2] and _is_strange(m[2], quantity)), None)
    if strange is not None and quantity.tools:
        raise WrongError(
            "typed.no_tool", given=units.shorten(strange), tools=Words((*quantity.tools,))
        )
    like = expected(quantity)
    figures = [amount(m[1], m[2] or last, quantity.dimension, like) for m in matches]
    for figure in figures:
        _plausible(figure, quantity)
    return [*figures]


def _no_measurement(text: str, quantity: Quantity) -> WrongError:
    """What is said where figures were expected: of a figure with words, that they are no tool."""
    words = [w for w in re.findall(r"[^\W\d_]{3,}", text) if _is_strange(w, quantity)]
    if words and quantity.tools and text[0].isdigit():
        known = Words((*quantity.tools,))
        return WrongError("typed.no_tool", given=units.shorten(" ".join(words)), tools=known)
    return WrongError(
        "typed.no_measurement", given=units.shorten(text), expected=expected(quantity)
    )


def _is_strange(unit: str, quantity: Quantity) -> bool:
    return unit_named(unit, quantity.dimension) not in units.UNITS


def _count(text: str, quantity: Quantity) -> int:
    if not text.isdecimal() or len(text) > LONGEST:
        raise WrongError("typed.no_count", given=units.shorten(text), one=figure_like(quantity))
    value = int(text)
    if not _within_window(value, quantity):
        raise WrongError(
            "typed.implausible", given=text, window=_window(*quantity.plausible, "count")
        )
    return value


def _plausible(figure: str, quantity: Quantity) -> None:
    value = units.parse(figure, quantity.dimension)
    if value < 0:
        raise WrongError("typed.negative", given=figure)
    if not _within_window(value, quantity):
        window = _window(*quantity.plausible, quantity.dimension)
        raise WrongError("typed.implausible", given=figure, window=window)


def lengths_in(text: str, unit: str) -> list[str]:
    """Lengths with their units; a unit at the end counts for all before it that have none."""
    parts = re.sub(r"([0-9])\s+([a-z])", r"\1\2", text.strip().lower()).split()
    matches = [_LENGTH.fullmatch(p.strip(",/")) for p in parts]
    if not matches or None in matches:
        one = "310 760" if unit == "mm" else "12.19 7.50"
        raise WrongError("typed.lengths", one=f"{one} {unit}", given=units.shorten(text))
    read = [m for m in matches if m is not None]
    last = read[-1][2] or unit
    return [f"{m[1].replace(',', '.')} {m[2] or last}" for m in read]
