"""Numbers as text: fixed places, metric and inch side by side, money."""

from __future__ import annotations

import math

from meshcore.costing.money import money_text
from meshcore.units import unit_registry

#: Stands where there is no value.
NONE = "–"


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


def amount(value: float, digits: int) -> str:
    """Write an amount without its currency."""
    return money_text(value, "", digits).strip().replace("-", "−")
