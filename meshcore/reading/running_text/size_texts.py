"""Sizes as they stand in a running text: their grammar, and two of them by each other."""

from __future__ import annotations

import re

from meshcore.messages import Message
from meshcore.reading.numbers.numerals import readings
from meshcore.reading.numbers.readings import Hints
from meshcore.reading.texts import read_text, tidy

#: Units as they stand behind a number, longest first.
UNIT = (
    r"(?:(?:mm|cm|µm|um|microns?|mic|µ|inch(?:es)?|ins|in|zoll|feet|foot|ft|yds?|yards?|"
    r"lfm|lm|ml|mtrs?|metres?|meters?|m|swg|awg|bwg|thou|mils?|gauge|ga)\.?(?!(?!x\d)[\w²³/])|"
    r"''|[\"″'′])"
)
#: A number; a fraction only before inches, as "8/2" is an aperture and a wire.
NUMBER = (
    r"(?:(?:\d+[\s\-]+)?\d+/\d+(?=\s*(?:\"|''|″|in\b|ins\b|inch|zoll))|\d+(?:[.,]\d+)*|[.,]\d+)"
)
SIZE = rf"(?:\d+'\s*-?\s*\d+(?:[./]\d+)?\"|(?:ø\s*)?{NUMBER}\s*(?:{UNIT})?(?:\s*\([^)]*mm\))?)"
BY = r"\s*(?:x|×|\bby\b|\*)\s*"
PAIR_ONLY = re.compile(rf"({SIZE}){BY}({SIZE})")
#: Words of one meaning in the trade and another outside it.
EVERYDAY = frozenset(
    {"form", "cut", "clean", "press", "cutting", "slit", "slitting", "bend", "seam", "3.1", "weld",
     "rush", "folded", "cut to size"}
)  # fmt: skip
#: Longest side of a piece, and shortest length of a roll, by which an unnamed pair is told [m].
_LONGEST_PIECE, _SHORTEST_ROLL = 3.0, 10.0
#: A bare number of this or more is millimetres of width: in inches it would be 2.5 m [-].
BARE_MM = 100


def form_of_pair(first: str, second: str) -> str:
    r"""Form of two sizes that no word names: a roll where long, a piece where short, else unsaid.

    Examples
    --------
    >>> form_of_pair("48 in", "100'"), form_of_pair("500 mm", "1 m"), form_of_pair("1 m", "5 m")
    ('roll', 'piece', '')
    """
    each = (rough_metres(first), rough_metres(second))
    if each[0] is None or each[1] is None:
        return ""
    if each[1] >= _SHORTEST_ROLL:
        return "roll"
    return "piece" if max(each[0], each[1]) <= _LONGEST_PIECE else ""


def pair_units(first: str, second: str, unit: str) -> tuple[str, str]:
    """Two sizes, each with its unit: a bare one takes the other's where that can be meant.

    Examples
    --------
    >>> pair_units("1220", "30 m", ""), pair_units("1", "25 m", ""), pair_units("48", "72 in", "")
    (('1220 mm', '30 m'), ('1 m', '25 m'), ('48 in', '72 in'))
    >>> pair_units("1000", "2000", ""), pair_units("48", "100", "")
    (('1000 mm', '2000 mm'), ('48', '100'))
    """
    a, b = tidy(first), tidy(second)
    bare = [text[-1:].isdigit() for text in (a, b)]
    if unit:
        return (f"{a} {unit}" if bare[0] else a), (f"{b} {unit}" if bare[1] else b)
    if bare == [True, True]:
        both = rough_value(a) >= BARE_MM and rough_value(b) >= BARE_MM
        return (f"{a} mm", f"{b} mm") if both else (a, b)
    if bare[0]:
        behind = re.search(rf"{UNIT}$", b.lower())
        word = behind[0] if behind else ""
        own = "mm" if word in ("m", "lfm", "lm") and rough_value(a) >= BARE_MM else word
        return f"{a} {own}", b
    if bare[1]:
        behind = re.search(rf"{UNIT}$", a.lower())
        return a, f"{b} {behind[0]}" if behind and behind[0] in ("mm", "in", '"') else b
    return a, b


def rough_value(text: str) -> float:
    """Return a number of a text, the smaller of two readings, to compare it by.

    Examples
    --------
    >>> rough_value("0,63"), rough_value("10x10"), rough_value("mesh")
    (0.63, 10.0, 0.0)
    """
    digits = re.search(r"\d+(?:[.,]\d+)?|[.,]\d+", text)
    found = readings(digits[0]) if digits else ()
    return min((number.value for number in found), default=0.0)


def rough_metres(text: str) -> float | None:
    """Return a size in metres, to tell a wire from a width; None without a unit.

    Examples
    --------
    >>> rough_metres("0.25 mm"), rough_metres("1.220 mm"), rough_metres("1220")
    (0.00025, 1.22, None)
    """
    if tidy(text)[-1:].isdigit():
        return None
    for field, hints in (("", Hints()), ("length", Hints(form="roll"))):
        reading = read_text(text, "length", field, "", hints)
        if not isinstance(reading, Message):
            return round(reading.value, 9)
    return None
