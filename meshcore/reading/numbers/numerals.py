"""Numbers as people type them: every reading that the digits allow."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache

#: A number without its sign: thousands parted by spaces or apostrophes, points, commas, a power.
NUMBER = (
    r"(?:\d{1,3}(?:[ ']\d{3})+(?![\d'])(?:[.,]\d+)?|\d[\d.,·]*\d|\d|[.,·]\d+)"
    r"(?:e[+-]?\d{1,3}(?!\d))?"
)
_GROUPED = {
    ",": re.compile(r"^\d{1,3}(?:,\d{3})+(?:\.\d+)?$"),
    ".": re.compile(r"^\d{1,3}(?:\.\d{3})+(?:,\d+)?$"),
}
#: Lakhs and crores, as India groups them: 1,00,000 is a hundred thousand.
_LAKHS = re.compile(r"^\d{1,2}(?:,\d{2})+,\d{3}(?:\.\d+)?$")
_SPACED = re.compile(r"^\d{1,3}(?:[ ']\d{3})+(?:[.,]\d+)?$")
_GROUP = 3
#: More digits than this are no size.
_MOST_DIGITS = 30


@dataclass(frozen=True, slots=True)
class Number:
    """One reading of some digits.

    Parameters
    ----------
    value
        The number.
    half
        Half of its last digit; 0 for a fraction.
    digit
        Value of the last digit that is not a nought after the mark: what the number states.
    mark
        The sign taken as the decimal mark, ``"."`` or ``","``; empty where there is none.
    grouped
        Whether a sign was taken to part thousands.
    """

    value: float
    half: float
    digit: float
    mark: str = ""
    grouped: bool = False


@lru_cache(maxsize=65536)
def readings(digits: str) -> tuple[Number, ...]:
    """Every reading of digits with separators; two where one mark stands before three digits.

    Examples
    --------
    >>> [n.value for n in readings("1,050")], [n.value for n in readings("1.050,5")]
    ([1.05, 1050.0], [1050.5])
    >>> [n.value for n in readings("0,635")], readings("1.22.0"), readings("1 250")[0].value
    ([0.635], (), 1250.0)
    """
    mantissa, _, power = digits.replace("·", ".").partition("e")
    if len(mantissa) > _MOST_DIGITS:
        return ()
    if _SPACED.match(mantissa):
        return _one(mantissa.replace(" ", "").replace("'", "").replace(",", "."), power, True)
    commas, points = mantissa.count(","), mantissa.count(".")
    if not commas and not points:
        return _one(mantissa, power)
    if commas + points > 1:
        return _several(mantissa, power)
    mark = "," if commas else "."
    whole, _, places = mantissa.partition(mark)
    decimal = _one(f"{whole or '0'}.{places}", power, mark=mark)
    if len(places) == _GROUP and 0 < len(whole) <= _GROUP and not whole.startswith("0"):
        return decimal + _one(whole + places, power, grouped=True)
    return decimal


def after_a_word(digits: str) -> tuple[Number, ...]:
    """Every reading of digits that touch a word: a stop before them may be the word's.

    Examples
    --------
    >>> [n.value for n in after_a_word(".30")], [n.value for n in after_a_word(".025")]
    ([0.3, 30.0], [0.025])
    """
    whole = digits[1:]
    if digits[0] != "." or not whole.isdecimal() or whole.startswith("0"):
        return readings(digits)
    return (*readings(digits), *readings(whole))


def _several(mantissa: str, power: str) -> tuple[Number, ...]:
    """Read digits with more than one mark: thousands, and perhaps the other mark after them."""
    if _LAKHS.match(mantissa):
        return _one(mantissa.replace(",", ""), power, True)
    for mark, pattern in _GROUPED.items():
        if pattern.match(mantissa):
            other = "." if mark == "," else ","
            plain = mantissa.replace(mark, "").replace(other, ".")
            return _one(plain, power, True, other if other in mantissa else "")
    return ()


def _one(plain: str, power: str, grouped: bool = False, mark: str = "") -> tuple[Number, ...]:
    places = plain.partition(".")[2]
    shift = int(power or 0)
    value = float(f"{plain}e{shift}")
    half = float(f"0.5e{shift - len(places)}")
    digit = float(f"1e{shift - len(places.rstrip('0'))}")
    if not (math.isfinite(value) and math.isfinite(half)):
        return ()
    return (Number(value, half, digit, mark, grouped),)


_LEADING = re.compile(rf"({NUMBER})?(.*)", re.DOTALL)


def leading(text: str) -> tuple[tuple[float, ...], str]:
    """Every value of the number that a text begins with, and what follows it.

    Examples
    --------
    >>> leading("100 pieces"), leading("1.000 kg"), leading("kg")
    (((100.0,), 'pieces'), ((1.0, 1000.0), 'kg'), ((), 'kg'))
    """
    matched = _LEADING.match(text)
    digits, rest = (matched[1] or "", matched[2]) if matched else ("", text)
    return tuple(n.value for n in readings(digits)) if digits else (), rest.strip()


def fraction(whole: str, top: str, bottom: str) -> Number | None:
    """Read a fraction, with a whole number before it or without; None over nought.

    Examples
    --------
    >>> fraction("1", "1", "2").value
    1.5
    """
    if max(len(whole), len(top), len(bottom)) > _MOST_DIGITS or not int(bottom):
        return None
    return Number(int(whole or 0) + int(top) / int(bottom), 0.0, 0.0)


def shown(value: float) -> str:
    """Write a number as a message shows it.

    Examples
    --------
    >>> shown(1050.0), shown(1.05), shown(30_500.0)
    ('1,050', '1.05', '30,500')
    """
    text = f"{value:,.10g}"
    return text
