"""One text to one value: the reader that every list, form, option and file goes through."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from meshcore.messages import Message
from meshcore.reading import refusals, wire_refusals
from meshcore.reading.numbers.choosing import impossible
from meshcore.reading.numbers.lexing import tidy
from meshcore.reading.numbers.numerals import readings
from meshcore.reading.numbers.readings import NO_HINTS, POINT, Hints, Reading, Stated
from meshcore.reading.refusals import about
from meshcore.reading.sizes import gauge_texts
from meshcore.reading.sizes.amounts import Amount, read_amount
from meshcore.reading.sizes.counts import EXAMPLES as COUNT_EXAMPLES
from meshcore.reading.sizes.counts import read_count
from meshcore.reading.sizes.lengths import ROUNDED, read_length
from meshcore.reading.sizes.quantities import read_quantity
from meshcore.reading.unit_words import unit_factor, unit_of
from meshcore.reading.vocabulary import fold, follows_words, phrases
from meshcore.units import ANGLES_RAD, MASSES_KG, SHARES, Kind

__all__ = [
    "CEILINGS", "NO_HINTS", "POINT", "Hints", "Reading", "Stated", "beyond_reason", "is_blank",
    "read_text", "tidy",
]  # fmt: skip

_EXAMPLES: dict[Kind, str] = {
    "length": '"0.635 mm", "0.025 in", "3/4 in", "25 µm" or "100 ft"',
    "count": COUNT_EXAMPLES,
    "share": '"36 %"',
    "angle": '"45°"',
    "mass": '"12 kg" or "26 lb"',
    "number": "a plain number",
}
_AMOUNTS: dict[Kind, Amount] = {
    "share": Amount("unit_share", {k: (v, 0.0) for k, v in SHARES.items()}, "a share",
                    _EXAMPLES["share"]),
    "angle": Amount("unit_angle", {k: (v, 0.0) for k, v in ANGLES_RAD.items()}, "an angle",
                    _EXAMPLES["angle"], "angle"),
    "mass": Amount("unit_mass", {k: (v, 0.0) for k, v in MASSES_KG.items()}, "a mass",
                   _EXAMPLES["mass"]),
}  # fmt: skip
#: An open area is written as a percentage or as a share; either is plausible alone.
_OPEN_AREA = Amount(
    "unit_share", _AMOUNTS["share"].units, "a share", _EXAMPLES["share"], "open_area", ("%", "1")
)
#: A size is a few words; more than this is no size, and no number of so many digits is one [-].
_LONGEST_TEXT = 100
_SHOWN_TEXT = 40
#: Beyond these, in SI units, nothing is woven or ordered: a slip of the keys (our choice). 1000 km
#: of cloth, a thousand times the finest mesh count made, a thousand million pieces.
CEILINGS: dict[Kind, float] = {"length": 1e6, "count": 2.5e7, "mass": 1e9, "number": 1e9}
_CEILING_TEXTS: dict[Kind, str] = {
    "length": "1,000 km", "count": "25,000 / mm", "mass": "a million tonnes",
    "number": "1,000,000,000",
}  # fmt: skip
#: Most cells: a plain number that has one reading, and a unit.
_PLAINLY = re.compile(
    r"^\s*(\d{1,9}|\d{1,6}\.\d{1,2}|0?\.\d{1,9}|\d{1,6}\.\d{4,9})\s*(/?[^\s\d/.,×x*-][^\d/]*?)\s*$"
)
#: A raised digit that belongs to a unit: m², cm⁻¹.
_RAISED_UNIT = re.compile(r"(?<=[^\W\d])(?:⁻[¹1]|[²³])")
_GAUGE_NUMBER = re.compile(r"^\s*(?:no\.?|nr\.?|#)?\s*[\d./]+\s*$", re.IGNORECASE)
#: A sign between a gauge's system and its number: "SWG: 22".
_GAUGE_SIGN = re.compile(r"^\s*([SABsab][Ww][Gg])\s*[:=\-]\s*(?=\d)")
_SECOND_STATEMENT = re.compile(r"[(\[=/]")
#: A gauge and a size that say one thing agree this nearly [-].
_AGREEMENT = 0.01
#: A size that is the gauge to the last digit of printed tables is off by no more than this [-].
GAUGE_DIGITS = 0.005
_WIRELESS = frozenset({"aperture", "pitch", "width", "length"})


@lru_cache(maxsize=65536)
def is_blank(text: str) -> bool:
    """Whether a cell says nothing: empty, a dash, "tbc" and the like.

    Examples
    --------
    >>> is_blank(" - "), is_blank("TBC"), is_blank("0")
    (True, True, False)
    """
    return not text or text.isspace() or fold(tidy(text)) in phrases("blank")


follows_words(is_blank.cache_clear)


def read_text(
    text: str, kind: Kind, field: str, unit: str = "", hints: Hints = NO_HINTS
) -> Reading | Message:
    """Read one cell.

    Parameters
    ----------
    text
        As typed.
    kind
        What it should be.
    field
        The column it stands in: for the message, and for what is plausible there.
    unit
        Unit of a bare number, from the heading; without it a bare number is read only where one
        unit alone can be meant.
    hints
        What its surroundings tell.

    Returns
    -------
    The reading in SI units, or the refusal.

    Examples
    --------
    >>> round(read_text('1-1/2 in', "length", "aperture").value, 9)
    0.0381
    >>> read_text("0,635 mm", "length", "wire_diameter").unit
    'mm'
    >>> print(read_text("0.025", "length", "wire_diameter").text)
    a number without its unit. Write "0.025 mm" or "0.025 in".
    >>> read_text("1.220 mm", "length", "width", hints=Hints(form="roll")).value
    1.22
    >>> print(read_text("1.234 m", "length", "some field").text)
    could be 1.234 m or 1,234 m: the mark may part thousands or decimals. Write it without \
separators, with a point for the decimal.
    """
    read = _plainly(text, kind, field, hints) or _not_a_size(text, field, kind)
    if read is None:
        read = _read(text, kind, field, unit.strip(), hints)
    if isinstance(read, Reading) and abs(read.value) > CEILINGS.get(kind, math.inf):
        return beyond_reason(field, text, kind)
    return read


def _plainly(text: str, kind: Kind, field: str, hints: Hints) -> Reading | None:
    """Read a plain number with a plain unit at once; None for all that needs a closer look."""
    if kind not in ("length", "count"):
        return None
    matched = _PLAINLY.match(text)
    if matched is None:
        return None
    digits, word = matched.groups()
    factor = _plain_factor(word, kind)
    if factor is None:
        return None
    number = readings(digits)[0]
    value = number.value * factor
    if impossible(field, value, hints.form, ""):
        return None
    name = unit_of(word, "length") if kind == "length" else word
    return Reading(value, number.half * factor, name or word)


@lru_cache(maxsize=2048)
def _plain_factor(word: str, kind: Kind) -> float | None:
    """Factor of a unit that is nothing else: "in" and "mm", but not "m" where it is a mesh."""
    doubtful = (kind == "count" and word[0] != "/") or fold(word) == "mil"
    return None if doubtful else unit_factor(word, kind)


follows_words(_plain_factor.cache_clear)


def _read(text: str, kind: Kind, field: str, unit: str, hints: Hints) -> Reading | Message:
    if kind == "length":
        return _read_length(text, field, unit, hints)
    if kind == "count":
        return read_count(text, field, unit, hints)
    if kind == "number":
        return read_quantity(text, field, unit, hints)
    amount = _OPEN_AREA if kind == "share" and field == "open_area" else _AMOUNTS[kind]
    name = "1" if unit == "-" else unit_of(unit, kind) if unit else ""
    if name is None:
        return _no_unit(text, field, unit, kind)
    if name == "%" and kind == "share" and field == "open_area":
        name = ""  # "0.36" is typed under "%" as well as "36"
    return read_amount(text, amount, field, name, hints)


def _read_length(text: str, field: str, unit: str, hints: Hints) -> Reading | Message:
    if unit and gauge_texts.is_system(unit):
        if _GAUGE_NUMBER.match(text):
            return _gauge(f"{text} {unit}", field, text) or _no_unit(text, field, unit, "length")
        unit = ""
    gauge = _gauge(_GAUGE_SIGN.sub(r"\1 ", tidy(text)), field, text)
    if gauge is not None and not isinstance(gauge, Message):
        return gauge
    if gauge is not None:
        return _gauge_and_size(text, field, hints) or gauge
    name = unit_of(unit, "length") if unit else ""
    if name is None:
        return _no_unit(text, field, unit, "length")
    return read_length(text, field, name, hints)


def _gauge(text: str, field: str, shown: str) -> Reading | Message | None:
    gauge = gauge_texts.read_gauge(text, field)
    if isinstance(gauge, Message):
        return about(gauge, field, shown)
    if gauge is None:
        return None
    if field in _WIRELESS:
        return about(wire_refusals.gauge_elsewhere(), field, shown)
    return Reading(gauge, 0.0, "gauge")


def _gauge_and_size(text: str, field: str, hints: Hints) -> Reading | Message | None:
    """Read "16 SWG (1.63 mm)", and hold the one against the other."""
    parts = [p.strip(" )]") for p in _SECOND_STATEMENT.split(tidy(text))]
    if len(parts) != 2:  # noqa: PLR2004 - the gauge and the size
        return None
    read = [_gauge(p, field, text) or read_length(p, field, "", hints) for p in parts]
    if settled := _of_either_system(parts, read, field, text):
        return settled
    gauges = [r for r in read if isinstance(r, Reading) and r.unit == "gauge"]
    sizes = [r for r in read if isinstance(r, Reading) and r.unit != "gauge"]
    if len(gauges) != 1 or len(sizes) != 1:
        return None
    gauge, size = gauges[0], sizes[0]
    slack = max(min(size.half_width, ROUNDED * gauge.value), _AGREEMENT * gauge.value)
    if abs(gauge.value - size.value) > slack:
        shown = f"{gauge.value * 1e3:.3f} mm", f"{size.value * 1e3:.6g} mm"
        return about(wire_refusals.gauge_conflict(*shown), field, text)
    shown = f"{gauge.value * 1e3:.4g} mm", f"{size.value * 1e3:.6g} mm"
    rounded = abs(gauge.value - size.value) > GAUGE_DIGITS * gauge.value
    return replace(gauge, said=wire_refusals.gauge_taken(*shown) if rounded else size.said)


def _of_either_system(
    parts: list[str], read: Sequence[Reading | Message], field: str, text: str
) -> Reading | Message | None:
    """Read "16 ga (0.0625 in)": the size says which system's gauge it is, and is what is meant."""
    asked = [
        p for p, r in zip(parts, read, strict=True)
        if isinstance(r, Message) and r.code == "wire.gauge_ambiguous"
    ]  # fmt: skip
    sizes = [r for r in read if isinstance(r, Reading)]
    if len(asked) != 1 or len(sizes) != 1:
        return None
    size, meant = sizes[0], gauge_texts.sizes_of(asked[0])
    near = [d for d in meant if abs(d - size.value) <= _AGREEMENT * size.value]
    if not near:
        shown = " or ".join(f"{d * 1e3:.3f} mm" for d in meant)
        return about(wire_refusals.gauge_conflict(shown, f"{size.value * 1e3:.6g} mm"), field, text)
    return replace(size, said=wire_refusals.gauge_named_by_size(f"{size.value * 1e3:.6g} mm"))


def _no_unit(text: str, field: str, unit: str, kind: Kind) -> Message:
    return about(refusals.unit_unknown(unit, _noun(kind), _EXAMPLES[kind]), field, text)


def _noun(kind: Kind) -> str:
    return {"count": "mesh count", "number": "number"}.get(kind, kind)


def _not_a_size(text: str, field: str, kind: Kind) -> Message | None:
    """Refuse what folding or counting would misread: raised digits, and endless text."""
    if len(text) > _LONGEST_TEXT:
        shown = f"{text[:_SHOWN_TEXT]}…"
        return about(refusals.too_long(_noun(kind), _EXAMPLES[kind]), field, shown)
    if any(c.isdigit() and not c.isdecimal() for c in _RAISED_UNIT.sub("", text)):
        return about(refusals.raised_digits(_EXAMPLES[kind]), field, text)
    return None


def beyond_reason(field: str, text: str, kind: Kind) -> Message:
    """Refuse a size above its ceiling in ``CEILINGS``."""
    limit = f", more than {_CEILING_TEXTS[kind]}" if kind in _CEILING_TEXTS else ""
    return about(refusals.beyond(limit), field, text)
