"""Units that price books write: ``kg``, ``m of cut``, ``100 pieces``, ``picks/min``, ``%``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from meshcore.reading.numbers import numerals
from meshcore.reading.texts import tidy
from meshcore.units import unit_registry

#: Things that are counted; each is its own unit.
_COUNTED: dict[str, str] = {
    word: singular
    for singular in (
        "piece", "roll", "strip", "lot", "line", "order", "cut", "end", "pick", "set-up",
        "consignment", "certificate", "crate", "pallet", "cloth", "warp",
    )
    for word in (singular, singular + "s")
} | {"pc": "piece", "pcs": "piece", "ea": "piece", "each": "piece"}  # fmt: skip
#: Measured units as pint writes them.
_MEASURED: dict[str, str] = {
    "kg": "kg", "g": "g", "t": "metric_ton", "tonne": "metric_ton", "lb": "lb", "lbs": "lb",
    "oz": "oz", "m": "m", "metre": "m", "meter": "m", "mm": "mm",
    "cm": "cm", "km": "km", "µm": "micrometer", "um": "micrometer", "ft": "ft", "foot": "ft",
    "in": "inch", "inch": "inch", "yd": "yard", "m2": "m**2", "m²": "m**2", "sq m": "m**2",
    "sqm": "m**2", "ft2": "ft**2", "ft²": "ft**2", "sq ft": "ft**2", "sqft": "ft**2",
    "in2": "inch**2", "in²": "inch**2", "sq in": "inch**2", "h": "hour", "hr": "hour",
    "hour": "hour", "hours": "hour", "min": "minute", "minute": "minute", "s": "second",
    "day": "day", "days": "day",
}  # fmt: skip
_CANONICAL = {"kg": "kg", "m": "m", "m2": "m**2", "h": "hour"}
_SHARES = {"%": 0.01, "percent": 0.01, "per cent": 0.01, "‰": 0.001, "": 1.0, "-": 1.0}


@dataclass(frozen=True, slots=True)
class RateUnit:
    """A unit and its size in the canonical unit of its dimension.

    Parameters
    ----------
    name
        Canonical: ``kg``, ``m``, ``m2``, ``h``, ``1/h``, a thing counted, or empty for a share.
    factor
        Canonical units in one of this unit.
    """

    name: str
    factor: float


@lru_cache(maxsize=1024)
def read_unit(text: str) -> RateUnit | None:
    """Read a unit; None if it is none that a price book may use.

    Examples
    --------
    >>> read_unit("kg"), read_unit("100 pieces")
    (RateUnit(name='kg', factor=1.0), RateUnit(name='piece', factor=100.0))
    >>> read_unit("picks/min"), read_unit("%"), read_unit("m of cut").name, read_unit("barrel")
    (RateUnit(name='1/h', factor=60.0), RateUnit(name='', factor=0.01), 'm', None)
    """
    plain = tidy(text).casefold()
    plain = re.sub(r"^per (?!cent)", "", plain)
    plain = re.sub(r" of [a-z ]+$", "", plain)
    if plain in _SHARES:
        return RateUnit("", _SHARES[plain])
    top, slash, bottom = plain.partition("/")
    if slash:
        counted = top.strip() in _COUNTED or top.strip() == "1"
        below = read_unit(bottom.strip()) if counted else None
        measured = below is not None and below.name in _CANONICAL
        return RateUnit(f"1/{below.name}", 1.0 / below.factor) if below and measured else None
    values, word = numerals.leading(plain)
    base = _single(word)
    if base is None or len(values) > 1:
        return None
    count = values[0] if values else 1.0
    return RateUnit(base.name, base.factor * count) if count > 0 else None


def either_count(text: str) -> str:
    """Both numbers that the count before a unit could be; empty where it is one or none.

    Examples
    --------
    >>> either_count("1.000 kg"), either_count("100 kg")
    ('1 or 1,000', '')
    """
    values, word = numerals.leading(tidy(text).casefold())
    known = len(values) > 1 and _single(word) is not None
    return " or ".join(map(numerals.shown, values)) if known else ""


def _single(word: str) -> RateUnit | None:
    if word in _COUNTED:
        return RateUnit(_COUNTED[word], 1.0)
    if word not in _MEASURED:
        return None
    one = unit_registry().Quantity(1.0, _MEASURED[word])
    for name, canonical in _CANONICAL.items():
        if one.check(canonical):
            return RateUnit(name, float(one.to(canonical).magnitude))
    return None
