"""One text to one value: the reader that every list, form, option and file goes through."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import lru_cache

from meshcore.messages import Message
from meshcore.reading import refusals
from meshcore.reading.numbers.choosing import impossible
from meshcore.reading.numbers.lexing import plain, tidy, unwrapped
from meshcore.reading.numbers.numerals import readings
from meshcore.reading.numbers.readings import NO_HINTS, POINT, Hints, Reading, Stated
from meshcore.reading.refusals import about
from meshcore.reading.sizes import gauge_texts
from meshcore.reading.sizes.amounts import Amount, read_amount
from meshcore.reading.sizes.counts import EXAMPLES as COUNT_EXAMPLES
from meshcore.reading.sizes.counts import read_count
from meshcore.reading.sizes.gauges_beside import gauge_and_size, read_gauge_in
from meshcore.reading.sizes.lengths import read_length
from meshcore.reading.sizes.quantities import read_quantity
from meshcore.reading.sizes.sieve_numbers import beside_a_sieve
from meshcore.reading.unit_words import unit_factor, unit_of
from meshcore.reading.vocabulary import fold, follows_words, phrases, words
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
#: Stands before a formula whose value a file does not hold, in place of the value.
FORMULA = "formula without its value:"
#: Most cells: a plain number that has one reading, and a unit.
_PLAINLY = re.compile(
    r"^\s*(\d{1,9}|\d{1,6}\.\d{1,2}|0?\.\d{1,9}|\d{1,6}\.\d{4,9})\s*(/?[^\s\d/.,×x*-][^\d/]*?)\s*$"
)
#: A raised digit that belongs to a unit: m², cm⁻¹.
_RAISED_UNIT = re.compile(r"(?<=[^\W\d])(?:⁻[¹1]|[²³])")
#: A letter that stands for a digit: "1O00 mm", "l.5 mm".
_LETTER_FOR_DIGIT = re.compile(r"(?<=\d)[oOl](?=[\doO])|(?<=\d[oO])[oO]|(?<![\w.])[lI](?=[.,]\d)")
_GAUGE_NUMBER = re.compile(r"^\s*(?:no\.?|nr\.?|#)?\s*[\d./]+\s*$", re.IGNORECASE)
#: A gauge under a heading that may be of sizes as well: a whole number.
_WHOLE_GAUGE = re.compile(r"^\s*(?:no\.?|nr\.?|#)?\s*\d{1,2}\s*$", re.IGNORECASE)
#: A sign between a gauge's system and its number: "SWG: 22".
_GAUGE_SIGN = re.compile(r"^\s*([SABsab][Ww][Gg])\s*[:=\-]\s*(?=\d)")
#: A gauge by its letter, with more behind it: "16g (1.6 mm)".
_GAUGE_LETTER = re.compile(r"^\s*(\d{1,2})\s*[gG]\b\.?(?=\s*[(\[=/])")


@lru_cache(maxsize=65536)
def is_blank(text: str) -> bool:
    """Whether a cell says nothing: empty, a dash, "tbc" and the like.

    Examples
    --------
    >>> is_blank(" - "), is_blank("TBC"), is_blank("0")
    (True, True, False)
    """
    return not text or text.isspace() or fold(tidy(text)) in phrases("blank")


@lru_cache(maxsize=65536)
def is_unsettled(text: str) -> bool:
    """Whether a cell says that what belongs there is not settled yet.

    Examples
    --------
    >>> is_unsettled("t.b.c."), is_unsettled("??"), is_unsettled(""), is_unsettled("-")
    (True, True, False, False)
    """
    return fold(tidy(text)) in words("not_settled")


follows_words(is_blank.cache_clear)
follows_words(is_unsettled.cache_clear)


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
        bare = unwrapped(text, brackets=kind != "number")
        read = _read(bare, kind, field, unit.strip(), hints)
        if isinstance(read, Message) and bare != text:
            read = replace(read, read=text)
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
    if field == "open_area" and (parted := _with_its_wire(text)) is not None:
        return _with_wire_stated(text, *parted, unit, hints)
    amount = _OPEN_AREA if kind == "share" and field == "open_area" else _AMOUNTS[kind]
    name = "1" if unit == "-" else unit_of(unit, kind) if unit else ""
    if name is None:
        return _no_unit(text, field, unit, kind)
    if name == "%" and kind == "share" and field == "open_area":
        name = ""  # "0.36" is typed under "%" as well as "36"
    return read_amount(text, amount, field, name, hints)


#: An open area, and the wire that it is of: "56 %, wire 0.635 mm".
_AREA_AND_WIRE = re.compile(r"(?P<area>[^,;]*\d\s*%?)\s*[,;]\s+(?P<wire>\D.*\d.*)")


def _with_its_wire(text: str) -> tuple[str, Reading] | None:
    """Part an open area from the wire beside it; None where none is named."""
    found = _AREA_AND_WIRE.fullmatch(tidy(text))
    wire = read_length(found["wire"], "wire_diameter", "", NO_HINTS) if found else None
    return (found["area"], wire) if found and isinstance(wire, Reading) else None


def _with_wire_stated(
    text: str, area: str, wire: Reading, unit: str, hints: Hints
) -> Reading | Message:
    stated = Stated("wire_diameter", wire.value, f"{wire.value * 1e3:.10g} mm")
    if stated.field not in hints.takes:
        return about(refusals.states_more("wire diameter", stated.text), "open_area", text)
    read = _read(area, "share", "open_area", unit, hints)
    return replace(read, also=(stated,)) if isinstance(read, Reading) else read


def _read_length(text: str, field: str, unit: str, hints: Hints) -> Reading | Message:
    if unit and gauge_texts.is_system(unit):
        systemless = unit.casefold() == gauge_texts.SYSTEMLESS
        if (_WHOLE_GAUGE if systemless else _GAUGE_NUMBER).match(text):
            return read_gauge_in(f"{text} {unit}", field, text) or _no_unit(
                text, field, unit, "length"
            )
        unit = ""
    if field == "aperture" and beside_a_sieve(plain(text)):
        return read_length(text, field, unit_of(unit, "length") or "", hints)
    gauge = read_gauge_in(_GAUGE_SIGN.sub(r"\1 ", tidy(text)), field, text)
    if gauge is None and _GAUGE_LETTER.match(text):
        gauge = read_gauge_in(_GAUGE_LETTER.sub(r"\1 gauge ", tidy(text)), field, text)
    if gauge is not None and not isinstance(gauge, Message):
        return gauge
    if gauge is not None:
        return gauge_and_size(text, field, hints) or gauge
    name = unit_of(unit, "length") if unit else ""
    if name is None:
        return _no_unit(text, field, unit, "length")
    return read_length(text, field, name, hints)


def _no_unit(text: str, field: str, unit: str, kind: Kind) -> Message:
    return about(refusals.unit_unknown(unit, _noun(kind), _EXAMPLES[kind]), field, text)


def _noun(kind: Kind) -> str:
    return {"count": "mesh count", "number": "number"}.get(kind, kind)


def _not_a_size(text: str, field: str, kind: Kind) -> Message | None:
    """Refuse what folding or counting would misread: raised digits, and endless text."""
    if text.startswith(FORMULA):
        return about(refusals.formula(), field, text.removeprefix(FORMULA).strip())
    if len(text) > _LONGEST_TEXT:
        shown = f"{text[:_SHOWN_TEXT]}…"
        return about(refusals.too_long(_noun(kind), _EXAMPLES[kind]), field, shown)
    if kind in ("length", "count", "number") and (odd := _LETTER_FOR_DIGIT.search(text)):
        mended = _LETTER_FOR_DIGIT.sub(lambda m: "0" if m[0] in "oO" else "1", text)
        return about(refusals.letter_in_digits(odd[0], mended), field, text)
    if any(c.isdigit() and not c.isdecimal() for c in _RAISED_UNIT.sub("", text)):
        return about(refusals.raised_digits(_EXAMPLES[kind]), field, text)
    return None


def beyond_reason(field: str, text: str, kind: Kind) -> Message:
    """Refuse a size above its ceiling in ``CEILINGS``."""
    limit = f", more than {_CEILING_TEXTS[kind]}" if kind in _CEILING_TEXTS else ""
    return about(refusals.beyond(limit), field, text)
