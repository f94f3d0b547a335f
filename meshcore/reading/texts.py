"""Text to SI floats: the one door by which units enter.

Everything inside the package is SI floats; this module reads what people type. It never raises
for a cell: what cannot be read comes back as a `Message`.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass

from meshcore.messages import Message
from meshcore.reading import gauges
from meshcore.units import Kind, unit_factor

_EXAMPLES: dict[Kind, str] = {
    "length": '"0.635 mm", "0.025 in", "3/4 in", "25 µm" or "100 ft"',
    "count": '"10 / in", "10 mesh" or "4 / cm"',
    "share": '"36 %"',
    "angle": '"45°"',
    "mass": '"12 kg" or "26 lb"',
    "number": "a plain number",
}
_BLANKS = frozenset({"", "-", "--", "?", "n/a", "na", "nan", "none", "tbc", "tba", "<na>"})
_NUMBER = r"(?:\d+(?:[.,]\d+)*|[.,]\d+)(?:e[+-]?\d+)?"
_VALUE = re.compile(
    rf"^(?P<sign>[+-]?)\s*(?:(?P<whole>\d+)(?:\s*-\s*|\s+))?"
    rf"(?:(?P<top>\d+)\s*/\s*(?P<bottom>\d+)|(?P<plain>{_NUMBER}))\s*(?P<unit>.*)$"
)
#: Sizes that square mesh has once; "10x10" or "2 x 2 mm" says the same one twice.
_ONE_SIZE_EACH_WAY = frozenset({"mesh_count", "pitch", "aperture", "wire_diameter"})
_COUNT_PAIR = re.compile(
    rf"^({_NUMBER})\s*([^\W\d]*|\")\s*(?:\b(?:x|by)\b|(?<=[\d\s\"])x(?=[\d\s.,])|×|\*)\s*({_NUMBER})(.*)$"
)
_DECIMAL_PAIR = re.compile(r"^(\d*[.,]\d+)()\s*/\s*(\d*[.,]\d+)(.*)$")
_FEET_AND_INCHES = re.compile(r"^(\d+)\s*(?:'|′|ft|feet)\s*(\d+(?:\.\d+)?)\s*(?:\"|″|′′|''|in)\.?$")
_INCHES_PER_FOOT = 12
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
_VULGAR_FRACTION = re.compile(r"[¼½¾⅐-⅞]")
_LENGTH_TAIL = re.compile(
    r"\s*\b(?:sq|square|dia|diam|diameter|wire|opening|aperture|clear|wide|width|long|length)\b\.?"
)
_NUMBER_WORDS: dict[str, int] = {
    word: n
    for n, word in enumerate(
        (
            "zero",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
        )
    )
} | {"dozen": 12, "a dozen": 12, "a": 1, "an": 1}
_PIECES = re.compile(r"\s*\b(?:off|pcs?|pieces?|rolls?|strips?|ea|each|nos?|no|discs?)\b\.?$")


@dataclass(frozen=True, slots=True)
class Reading:
    """One cell as read: SI value, the rounding of what was typed, and the unit it was in."""

    value: float
    half_width: float
    unit: str


def tidy(text: str) -> str:
    """Fold full-width digits, odd spaces and dashes to plain ones; one space between words.

    Examples
    --------
    >>> tidy("  ０．６３５  mm ")
    '0.635 mm'
    """
    folded = unicodedata.normalize("NFKC", _VULGAR_FRACTION.sub(r" \g<0>", text))
    folded = folded.replace("μ", "µ").replace("⁄", "/").replace("–", "-").replace("−", "-")
    return " ".join(folded.split())


def is_blank(text: str) -> bool:
    """Whether a cell says nothing: empty, a dash, "tbc" and the like."""
    return tidy(text).casefold() in _BLANKS


def read_text(text: str, kind: Kind, field: str, unit: str = "") -> Reading | Message:
    """Read one cell.

    Parameters
    ----------
    text
        As typed.
    kind
        What it should be.
    field
        The column it stands in, for the message.
    unit
        Unit of a bare number, from the heading; without it a bare length or share is refused.

    Returns
    -------
    The reading in SI units, or the refusal.

    Examples
    --------
    >>> round(read_text('1-1/2 in', "length", "aperture").value, 9)
    0.0381
    >>> read_text("0,635 mm", "length", "wire_diameter").unit
    'mm'
    >>> print(read_text("0.635", "length", "wire_diameter").text)
    a number without its unit. Write "0.635 mm" or "0.635 in".
    """
    return _not_a_size(text, field, kind) or _read_size(text, kind, field, unit)


def _read_size(text: str, kind: Kind, field: str, unit: str) -> Reading | Message:
    plain = tidy(text)
    lower = plain.casefold()
    if kind == "length":
        gauge = gauges.read_gauge(plain, field)
        if isinstance(gauge, Message):
            return gauge
        if gauge is not None:
            return Reading(gauge, 0.0, "gauge")
        lower = _LENGTH_TAIL.sub("", lower).replace("⌀", "").replace("ø", "").strip()
    if kind == "count" or field in _ONE_SIZE_EACH_WAY:
        paired = _read_pair(lower, text, field, " mesh" if kind == "count" else "")
        if isinstance(paired, Message):
            return paired
        lower = paired
    if kind == "number":
        lower = _read_words(lower)
    if kind == "length":
        lower = _FEET_AND_INCHES.sub(_to_inches, lower)
    matched = _VALUE.match(lower)
    if not matched:
        return Message(
            field,
            text,
            f"not a {_noun(kind)}. Write it as {_EXAMPLES[kind]}.",
            code="size.unreadable",
        )
    number = _number(matched, text, field)
    if isinstance(number, Message):
        return number
    value, half_width = number
    typed_unit = matched["unit"].strip()
    return _scaled(value, half_width, typed_unit or unit, kind, (field, text, plain))


def _not_a_size(text: str, field: str, kind: Kind) -> Message | None:
    """Refuse what folding or counting would misread: raised digits, and endless text."""
    if len(text) > _LONGEST_TEXT:
        return Message(
            field, f"{text[:_SHOWN_TEXT]}…",
            f"too long to be a {_noun(kind)}. Write it as {_EXAMPLES[kind]}.",
            code="size.text_too_long",
        )  # fmt: skip
    if any(c.isdigit() and not c.isdecimal() for c in text):
        return Message(
            field,
            text,
            f"raised or lowered digits are not read. Write it as {_EXAMPLES[kind]}.",
            code="size.raised_digits",
        )
    return None


def _to_inches(matched: re.Match[str]) -> str:
    feet, inches = matched.groups()
    places = len(inches.partition(".")[2])
    return f"{int(feet) * _INCHES_PER_FOOT + float(inches):.{places}f} inch"


def _noun(kind: Kind) -> str:
    return {"count": "mesh count", "number": "number"}.get(kind, kind)


def _read_pair(lower: str, text: str, field: str, usual: str) -> str | Message:
    """Fold "10x10 mesh" to "10 mesh"; what differs in warp and shute is not square mesh."""
    pair = _COUNT_PAIR.match(lower) or _DECIMAL_PAIR.match(lower)
    if not pair:
        return lower
    warp, unit, shute, rest = pair.groups()
    rest = rest if rest.strip() else unit
    each = (_decimal(warp), _decimal(shute))
    if None in each:
        return lower
    if float(each[0] or 0) != float(each[1] or 0):
        return Message(
            field, text,
            f"{warp} in warp and {shute} in shute is not square mesh, and only square mesh is "
            f'estimated here. Write one, such as "{warp}{rest or usual}", or ask for a quotation '
            "by hand.",
            code="mesh.not_square",
        )  # fmt: skip
    return f"{warp}{rest or usual}"


def _read_words(lower: str) -> str:
    """Fold "two", "2 off", "1 dozen" to digits."""
    bare = _PIECES.sub("", lower).strip()
    if bare in _NUMBER_WORDS:
        return str(_NUMBER_WORDS[bare])
    dozen = re.match(r"^(\w+)\s*(?:doz|dozen)\.?$", bare)
    if dozen:
        count = _NUMBER_WORDS.get(dozen[1], int(dozen[1]) if dozen[1].isdecimal() else None)
        if count is not None:
            return str(12 * count)
    return bare


def _number(matched: re.Match[str], text: str, field: str) -> tuple[float, float] | Message:
    """Value and half of its last digit; a fraction is exact."""
    sign = -1.0 if matched["sign"] == "-" else 1.0
    whole = float(matched["whole"] or 0)
    if matched["bottom"]:
        if int(matched["bottom"]) == 0:
            return Message(
                field,
                text,
                "a fraction over zero. Write the size as a decimal.",
                code="size.fraction_over_zero",
            )
        return sign * (whole + int(matched["top"]) / int(matched["bottom"])), 0.0
    if matched["whole"]:
        return Message(
            field, text,
            "two numbers with nothing between them. Write one number and its unit, such as "
            f'"{matched["plain"]} mm".',
            code="size.two_numbers",
        )  # fmt: skip
    digits = matched["plain"]
    decimal = _decimal(digits)
    if decimal is None:
        return Message(
            field, text,
            f'"{digits}" reads as thousands or as a decimal. Write it without separators, with '
            "a point for the decimal.",
            code="size.separator_ambiguous",
        )  # fmt: skip
    mantissa, _, exponent = decimal.partition("e")
    places = len(mantissa.partition(".")[2]) - int(exponent or 0)
    value, half_width = float(decimal), float(f"0.5e{-places}")
    if not (math.isfinite(value) and math.isfinite(half_width)):
        return Message(
            field,
            text,
            "too large a power of ten to be a size. Write it in a larger unit.",
            code="size.power_too_large",
        )
    return sign * value, half_width


def _decimal(digits: str) -> str | None:
    """Decimal point form of digits with separators; None where it could be read two ways."""
    commas, points = digits.count(","), digits.count(".")
    if commas == 0 and points <= 1:
        return digits
    if commas == 1 and points == 0:
        whole, _, fraction = digits.partition(",")
        ambiguous = len(fraction) == 3 and whole not in ("", "0") and len(whole) <= 3  # noqa: PLR2004
        return None if ambiguous else f"{whole or '0'}.{fraction}"
    grouped = re.fullmatch(r"\d{1,3}(?:,\d{3})+(\.\d+)?", digits)
    if grouped:
        return digits.replace(",", "")
    grouped = re.fullmatch(r"\d{1,3}(?:\.\d{3})+(,\d+)?", digits)
    return digits.replace(".", "").replace(",", ".") if grouped else None


def _scaled(
    value: float, half_width: float, unit: str, kind: Kind, about: tuple[str, str, str]
) -> Reading | Message:
    """Apply the unit; `about` is the field, what was read and its tidy form."""
    field, text, plain = about
    factor = unit_factor(unit, kind)
    if factor is not None and abs(value * factor) > CEILINGS.get(kind, math.inf):
        return beyond_reason(field, text, kind)
    if factor is not None:
        return Reading(value * factor, half_width * factor, unit)
    if unit:
        return Message(
            field,
            text,
            f'"{unit}" is no unit of {_noun(kind)}. Write it as {_EXAMPLES[kind]}.',
            code="size.unit_unknown",
        )
    if kind == "count":
        hint = f'Write "{plain} / in" or "{plain} / cm".'
    elif kind == "length":
        hint = f'Write "{plain} mm" or "{plain} in".'
    else:
        hint = f"Write it as {_EXAMPLES[kind]}."
    return Message(field, text, f"a number without its unit. {hint}", code="size.unit_missing")


def beyond_reason(field: str, text: str, kind: Kind) -> Message:
    """Refuse a size above its ceiling in ``CEILINGS``."""
    limit = f", more than {_CEILING_TEXTS[kind]}" if kind in _CEILING_TEXTS else ""
    return Message(
        field,
        text,
        f"beyond reason{limit}. Check the figure and its unit.",
        code="size.beyond_reason",
    )
