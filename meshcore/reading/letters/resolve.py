"""Amounts to millimetres: the one plausible reading, or a question."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from meshcore.messages import Message
from meshcore.reading.letters.item import Item
from meshcore.reading.numbers.plausible import is_possible, is_usual
from meshcore.reading.texts import read_text

MM_OF = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "µm": 1e-3,
    "in": 25.4,
    "ft": 304.8,
    "yd": 914.4,
    "thou": 0.0254,
}
#: Wire over pitch that is woven: common practice, no source. Outside it a bare number is in
#: another unit.
_WOVEN = (0.04, 0.75)
_GAUGES = frozenset({"SWG", "BWG", "AWG"})


@dataclass(frozen=True, slots=True)
class Customs:
    """What the letter's other amounts tell of a bare number.

    Parameters
    ----------
    metric, inch
        Whether sizes are stated in millimetres or metres, in inches or feet.
    comma
        Whether decimals are written with a comma.
    """

    metric: bool
    inch: bool
    comma: bool


@dataclass(frozen=True, slots=True)
class Size:
    """A size as resolved: its value and the unit it is in; or why it cannot be."""

    mm: float | None
    unit: str = ""
    number: float = 0.0
    why: str = ""


def customs_of(items: Sequence[Item]) -> Customs:
    """Tell from all amounts of a letter how it writes sizes."""
    units = [i.unit for i in items if i.kind == "num"]
    metric = any(u in ("mm", "cm", "m", "µm", "/cm") for u in units)
    inch = any(u in ("in", "ft", "yd", "thou") for u in units)
    comma = any(
        "," in i.text and len(i.values) == 1 and i.values[0] != int(i.values[0])
        for i in items
        if i.kind == "num"
    )
    return Customs(metric, inch, comma)


def readings(item: Item, customs: Customs) -> tuple[float, ...]:
    """Values of an amount, the letter's own decimal sign preferred where it is known."""
    if len(item.values) < 2 or not customs.comma or "." not in item.text:  # noqa: PLR2004
        return item.values
    grouped = re.search(r"\.\d{3}\b", item.text) and not item.text.startswith("0")
    if grouped and max(item.values) == int(max(item.values)):
        return (max(item.values),)
    return tuple(v for v in item.values if v == int(v)) or item.values


def resolve(
    item: Item,
    field: str,
    form: str,
    customs: Customs,
    beside: str = "",
    pitch_mm: float | None = None,
) -> Size:
    """Return the size that an amount states.

    Parameters
    ----------
    item
        The amount.
    field, form
        Enquiry column, and the line's form, whose windows tell what is plausible.
    customs
        How the letter writes sizes.
    beside
        Unit of the other sizes of its pair.
    pitch_mm
        Pitch or aperture that the line states: a bare wire is in the unit in which it weaves,
        and no side of a piece is less.
    """
    if item.unit in _GAUGES:
        read = read_text(f"{item.values[0]:g} {item.unit}", "length", "wire_diameter")
        if isinstance(read, Message):
            return Size(None, why=f'"{item.text}" is no such gauge')
        return Size(read.value * 1000.0, item.unit, item.values[0])
    if item.unit == "thou" and item.text.casefold().endswith(("mil", "mils")):
        return Size(None, why=f'"{item.text}": millimetres or thousandths of an inch?')
    if item.unit:
        found = [(v, item.unit) for v in readings(item, customs)]
    else:
        found = [
            (v, u) for v in readings(item, customs) for u in _units(item, field, customs, beside)
        ]
    if len(found) > 1 or not item.unit:
        found = _plausible(found, field, form, pitch_mm, item)
    sizes = {round(v * MM_OF[u], 9): (v, u) for v, u in found if u in MM_OF}
    if len(sizes) == 1:
        mm, (number, unit) = next(iter(sizes.items()))
        return (
            Size(mm, unit, number)
            if is_possible(field, mm / 1000.0, form)
            else Size(None, why=f'"{item.text}" is no {field.replace("_", " ")}')
        )
    if not sizes:
        return Size(None, why=f'"{item.text}": in which unit?')
    shown = " or ".join(f"{v:g} {u}" for v, u in sizes.values())
    return Size(None, why=f'"{item.text}": {shown}?')


#: No side of cloth is so many metres: a bare number from here on beside metres may be millimetres.
_NOT_METRES = 4.0


def _units(item: Item, field: str, customs: Customs, beside: str) -> tuple[str, ...]:
    if beside in MM_OF:
        far = min(item.values) >= _NOT_METRES
        return (beside, "mm") if beside == "m" and far else (beside,)
    if field == "wire_diameter":
        pointed = item.text[:1] == "." and len(item.text) >= 4  # noqa: PLR2004
        if pointed and customs.inch:
            return ("in",) if not customs.metric else ("mm", "in")
        return ("mm",) if customs.metric and not customs.inch else ("mm", "in")
    if field in ("aperture", "pitch"):
        return ("mm",) if not customs.inch else ("mm", "in")
    if customs.inch and not customs.metric:
        return ("in", "ft", "mm")
    return ("mm", "m") if not customs.inch else ("mm", "m", "in", "ft")


def _plausible(
    found: list[tuple[float, str]], field: str, form: str, pitch_mm: float | None, item: Item
) -> list[tuple[float, str]]:
    """Keep the readings that are ordered every day, and wire that weaves."""
    if field == "wire_diameter" and pitch_mm:
        woven = [
            (v, u) for v, u in found if _WOVEN[0] <= v * MM_OF.get(u, 0.0) / pitch_mm <= _WOVEN[1]
        ]
        if woven or len(found) > 1:
            return woven
    if field == "dimensions" and pitch_mm:
        # A side that is less than one opening is none.
        found = [(v, u) for v, u in found if v * MM_OF.get(u, 0.0) > pitch_mm] or found
    usual = [
        (v, u) for v, u in found if u in MM_OF and is_usual(field, v * MM_OF[u] / 1000.0, 0.0, form)
    ]
    return usual if usual or not item.unit else found
