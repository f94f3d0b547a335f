"""Numbers as text: fixed places, metric and inch side by side, money."""

from __future__ import annotations

import math

from meshcore.costing.money import money_text
from meshcore.units import unit_registry
from meshcore.weave.search.offers import times_text

#: Stands where there is no value.
NONE = "–"
#: Changes below this are none, and from this on they are told in whole per cent, as shares.
_SAME, _ROUND = 0.0005, 0.1


def fixed(value: float, places: int, unit: str = "") -> str:
    """Write a number with fixed decimal places and its unit.

    Examples
    --------
    >>> fixed(1234.5, 1, "kg"), fixed(float("nan"), 1, "kg")
    ('1,234.5 kg', '–')
    """
    if not math.isfinite(value):
        return NONE
    return f"{value:,.{places}f} {unit}".rstrip()


def short(value: float, digits: int = 4) -> str:
    """Write a number to some significant digits, without trailing zeros or powers of ten.

    Examples
    --------
    >>> short(2.54), short(0.0049999), short(12345.6), short(236.6366)
    ('2.54', '0.005', '12,346', '236.6')
    """
    if not math.isfinite(value):
        return NONE
    magnitude = math.floor(math.log10(abs(value))) + 1 if value else 1
    text = f"{value:,.{max(digits - magnitude, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def size(value: float, unit: str, digits: int = 4) -> str:
    """Write a size to some significant digits with its unit.

    Examples
    --------
    >>> size(0.635, "mm")
    '0.635 mm'
    """
    text = short(value, digits)
    return text if text == NONE else f"{text} {unit}"


def converted(value: float, unit: str, other: str) -> float:
    """Convert by the core's unit registry.

    Examples
    --------
    >>> round(converted(25.4, "mm", "inch"), 6)
    1.0
    """
    return float(unit_registry().Quantity(value, unit).to(other).magnitude)


def percent(share: float, places: int = 1, signed: bool = False) -> str:
    """Write a share as per cent.

    Examples
    --------
    >>> percent(0.562), percent(-0.0021, 2, signed=True)
    ('56.2 %', '−0.21 %')
    """
    if not math.isfinite(share):
        return NONE
    text = f"{share:+.{places}%}" if signed else f"{share:.{places}%}"
    return text.replace("%", " %").replace("-", "−")


def change(share: float) -> str:
    """Write a change as per cent, and one that more than doubles as how many times as much.

    Examples
    --------
    >>> change(0.0482), change(-0.876), change(46.562), change(0.0002), change(float("nan"))
    ('+4.8 %', '−88 %', '48 times', 'same', '')
    """
    if not math.isfinite(share):
        return ""
    if share > 1.0:
        return times_text(1.0 + share)
    if abs(share) < _SAME:
        return "same"
    return percent(share, 0 if abs(share) >= _ROUND else 1, signed=True)


def amount(value: float, digits: int) -> str:
    """Write an amount without its currency."""
    return money_text(value, "", digits).strip().replace("-", "−")
