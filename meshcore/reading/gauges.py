"""Wire gauge systems as named data, preferred sizes, and gauges read as people type them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from types import MappingProxyType

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.messages import Message
from meshcore.units import METRES_PER_INCH

#: ASTM B258: No. 36 is 0.005 in, No. 0000 is 0.46 in (92 times as much), 39 equal ratios between.
_AWG_NO_36_IN, _AWG_SPAN, _AWG_STEPS = 0.005, 92.0, 39
#: Numbers that ASTM B258 covers, No. 0000 (written -3) to No. 56; 5/0 and 6/0 extend the formula.
_AWG_NUMBERS = range(-5, 57)

#: Imperial standard wire gauge, inches, from No. 7/0 (Order in Council, 1883; from memory).
_IMPERIAL_IN = (
    0.5, 0.464, 0.432, 0.4, 0.372, 0.348, 0.324, 0.3, 0.276, 0.252, 0.232, 0.212, 0.192, 0.176,
    0.16, 0.144, 0.128, 0.116, 0.104, 0.092, 0.08, 0.072, 0.064, 0.056, 0.048, 0.04, 0.036, 0.032,
    0.028, 0.024, 0.022, 0.02, 0.018, 0.0164, 0.0148, 0.0136, 0.0124, 0.0116, 0.0108, 0.01, 0.0092,
    0.0084, 0.0076, 0.0068, 0.006, 0.0052, 0.0048, 0.0044, 0.004, 0.0036, 0.0032, 0.0028, 0.0024,
    0.002, 0.0016, 0.0012, 0.001,
)  # fmt: skip
#: Steel wire gauge of the United States, inches, from No. 7/0 (published tables; from memory).
_STEEL_IN = (
    0.49, 0.4615, 0.4305, 0.3938, 0.3625, 0.331, 0.3065, 0.283, 0.2625, 0.2437, 0.2253, 0.207,
    0.192, 0.177, 0.162, 0.1483, 0.135, 0.1205, 0.1055, 0.0915, 0.08, 0.072, 0.0625, 0.054, 0.0475,
    0.041, 0.0348, 0.0318, 0.0286, 0.0258, 0.023, 0.0204, 0.0181, 0.0173, 0.0162, 0.015, 0.014,
    0.0132, 0.0128, 0.0118, 0.0104, 0.0095, 0.009, 0.0085, 0.008, 0.0075, 0.007, 0.0066, 0.0062,
    0.006, 0.0058, 0.0055, 0.0052, 0.005, 0.0048, 0.0046, 0.0044,
)  # fmt: skip
#: Birmingham wire gauge, inches, from No. 5/0 (published tables; from memory).
_BIRMINGHAM_IN = (
    0.5, 0.454, 0.425, 0.38, 0.34, 0.3, 0.284, 0.259, 0.238, 0.22, 0.203, 0.18, 0.165, 0.148,
    0.134, 0.12, 0.109, 0.095, 0.083, 0.072, 0.065, 0.058, 0.049, 0.042, 0.035, 0.032, 0.028,
    0.025, 0.022, 0.02, 0.018, 0.016, 0.014, 0.013, 0.012, 0.01, 0.009, 0.008, 0.007, 0.005, 0.004,
)  # fmt: skip

#: R20 preferred numbers in one decade (ISO 3; wires for screens follow it, ISO 4782, from memory).
R20 = (
    1.00, 1.12, 1.25, 1.40, 1.60, 1.80, 2.00, 2.24, 2.50, 2.80,
    3.15, 3.55, 4.00, 4.50, 5.00, 5.60, 6.30, 7.10, 8.00, 9.00,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Gauge:
    """One wire gauge system.

    Parameters
    ----------
    name
        As a refusal calls it, such as ``"imperial"``.
    suffix
        What is written after the number, such as ``"SWG"``.
    pattern
        Regular expression of the words that name it, in folded text.
    diameters_m
        Gauge number → diameter [m]. No. 0 is 0, No. 00 (2/0) is -1, No. 000 (3/0) is -2, and so on.
    origin
        Where the sizes come from.
    """

    name: str
    suffix: str
    pattern: str
    diameters_m: Mapping[int, float]
    origin: str


def _metres(inches: float) -> float:
    """Metres as written in decimals: tables have 4 places of an inch, so 8 of a metre are exact."""
    return round(inches * METRES_PER_INCH, 9)


def _numbered(first: int, inches: tuple[float, ...]) -> Mapping[int, float]:
    return MappingProxyType({first + n: _metres(size) for n, size in enumerate(inches)})


def _american(number: int) -> float:
    return float(_AWG_NO_36_IN * METRES_PER_INCH * _AWG_SPAN ** ((36 - number) / _AWG_STEPS))


#: The systems, in the order in which a refusal lists them.
GAUGES: tuple[Gauge, ...] = (
    Gauge(
        "American",
        "AWG",
        r"awg|american(?: standard)?(?: wire)?(?: gauge)?",
        MappingProxyType({n: _american(n) for n in _AWG_NUMBERS}),
        "formula of ASTM B258; No. 5/0 and 6/0 extend it",
    ),
    Gauge(
        "imperial",
        "SWG",
        r"i?swg|(?:imperial|british|english)(?: standard)?(?: wire)?(?: gauge)?"
        r"|standard wire gauge",
        _numbered(-6, _IMPERIAL_IN),
        "imperial standard wire gauge, Order in Council 1883 (from memory)",
    ),
    Gauge(
        "steel wire",
        "steel wire gauge",
        r"(?:us |u s )?steel(?: wire)? gauge|stwg",
        _numbered(-6, _STEEL_IN),
        "steel wire gauge of the United States, published tables (from memory)",
    ),
    Gauge(
        "Birmingham",
        "BWG",
        r"bwg|birmingham(?: wire)?(?: gauge)?",
        _numbered(-4, _BIRMINGHAM_IN),
        "Birmingham wire gauge, published tables (from memory)",
    ),
)

_UNITS_WORDS: tuple[str, ...] = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen",
)  # fmt: skip
_TENS_WORDS = ("twenty", "thirty", "forty", "fifty")
_NUMBER_WORDS: dict[str, int] = {word: n for n, word in enumerate(_UNITS_WORDS)} | {
    f"{tens} {ones}".strip(): 10 * n + m
    for n, tens in enumerate(_TENS_WORDS, start=2)
    for m, ones in enumerate(["", *_UNITS_WORDS[1:10]])
}

#: Signs by which a text is a gauge at all; checked first, since most cells are plain sizes.
_MENTION = re.compile(
    r"(?<![a-z])(?:gauge|gage|gge|ga|gau|[is]?swg|awg|bwg|stwg|s\.w\.g|a\.w\.g|b\.w\.g)(?![a-z])"
    r"|^(?:#|nos?\b|nr\b)\.?\s*\d|^\d+\s*g\.?$"
)
_SPELLINGS = re.compile(r"(?<![a-z])(?:gage|gge|gau|ga|g)(?![a-z])")
_INNER_DOTS = re.compile(r"(?<=[a-z])\.(?=[a-z])")
_MARKS = re.compile(r"(?<=[a-z])[./-]|-(?=[a-z])|[#(),]")
_FILLERS = re.compile(r"(?<![a-z])(?:gauge|wire|no|nos|nr|number|dia|diam|diameter|size)(?![a-z])")
_TWO_NUMBERS = re.compile(r"\d\s*(?:/|x|×|\*|\bby\b|\band\b|\s)\s*[1-9]")
_ZEROS = re.compile(r"^(\d)/0$")
_SYSTEMS = tuple((g, re.compile(rf"(?<![a-z])(?:{g.pattern})(?![a-z])")) for g in GAUGES)


def designation(number: int) -> str:
    """Write a gauge number as people do: ``"16"``, ``"0"``, ``"2/0"``.

    Examples
    --------
    >>> designation(16), designation(0), designation(-1)
    ('16', '0', '2/0')
    """
    return str(number) if number >= 0 else f"{1 - number}/0"


def read_gauge(text: str, field: str) -> float | Message | None:
    """Read a wire gauge.

    Parameters
    ----------
    text
        As typed, such as ``"16 SWG"``, ``"28 ga AWG"`` or ``"#16 BWG"``.
    field
        The column it stands in, for the message.

    Returns
    -------
    The diameter [m]; None if the text is no gauge; a refusal if it is a gauge of no known system
    or size. "SWG" is the imperial standard gauge; the steel wire gauge is to be written out.

    Examples
    --------
    >>> read_gauge("16 SWG", "wire_diameter")
    0.0016256
    >>> read_gauge("0.025 in", "wire_diameter") is None
    True
    >>> print(read_gauge("16 ga", "wire_diameter"))
    wire_diameter: read "16 ga" — a gauge number without its system: 1.291 mm (American), \
1.626 mm (imperial), 1.588 mm (steel wire), 1.651 mm (Birmingham). Write "16 SWG", or the size \
in mm or in.
    """
    folded = text.casefold()
    if not _MENTION.search(folded):
        return None
    folded = _SPELLINGS.sub("gauge", _MARKS.sub(" ", _INNER_DOTS.sub("", folded)))
    named = [gauge for gauge, pattern in _SYSTEMS if pattern.search(" ".join(folded.split()))]
    number = _number(folded)
    if number is None:
        return Message(field, text, _unnumbered(folded), code="wire.gauge_number_unclear")
    if not named:
        return Message(field, text, _without_system(number), code="wire.gauge_ambiguous")
    if len(named) > 1:
        either = " or ".join(f"{designation(number)} {g.suffix}" for g in named)
        return Message(
            field,
            text,
            f"two gauge systems at once. Write {either}.",
            code="wire.gauge_two_systems",
        )
    gauge = named[0]
    diameter = gauge.diameters_m.get(number)
    if diameter is None:
        low, high = designation(min(gauge.diameters_m)), designation(max(gauge.diameters_m))
        return Message(
            field,
            text,
            f"no such size: the {gauge.name} gauge runs from {low} to {high}. "
            "Write the size in mm or in.",
            code="wire.gauge_size_unknown",
        )
    return diameter


_WRITE = '"16 SWG", "16 AWG", "16 BWG" or "16 steel wire gauge", or the size in mm or in'


def _number(folded: str) -> int | None:
    """Gauge number that is left once the system and the filling words are taken away."""
    rest = " ".join(folded.split())
    for _, pattern in _SYSTEMS:
        rest = pattern.sub(" ", rest)
    rest = " ".join(_FILLERS.sub(" ", rest).split())
    zeros = _ZEROS.match(rest)
    if zeros:
        return 1 - int(zeros[1])
    if re.fullmatch(r"0+", rest):
        return 1 - len(rest)
    return int(rest) if re.fullmatch(r"[1-9]\d?", rest) else _NUMBER_WORDS.get(rest)


def _unnumbered(folded: str) -> str:
    if _TWO_NUMBERS.search(folded):
        return (
            "two gauges are not square mesh, which has one wire in warp and shute. Write one, or "
            "ask for a quotation by hand."
        )
    return f"not read as a gauge. Write it as {_WRITE}."


def _millimetres(metres: float) -> str:
    """Size to a micrometre, halves up, as the printed tables round."""
    micrometres = Decimal(repr(round(metres * 1e6, 6))).quantize(Decimal(1), ROUND_HALF_UP)
    return f"{micrometres / 1000:.3f}"


def _without_system(number: int) -> str:
    meanings = [
        f"{_millimetres(g.diameters_m[number])} mm ({g.name})"
        for g in GAUGES
        if number in g.diameters_m
    ]
    if not meanings:
        return f"a gauge number that no system has. Write it as {_WRITE}."
    suffix = "SWG" if number in GAUGES[1].diameters_m else "AWG"
    return (
        f"a gauge number without its system: {', '.join(meanings)}. "
        f'Write "{designation(number)} {suffix}", or the size in mm or in.'
    )


def r20_sizes(least_m: float, greatest_m: float) -> FloatArray:
    """R20 preferred sizes from `least_m` to `greatest_m`, both included.

    Parameters
    ----------
    least_m, greatest_m
        Ends of the range [m]; 0 < least_m ≤ greatest_m.

    Returns
    -------
    Sizes [m], rising.

    Raises
    ------
    ValueError
        If the range is empty or does not start above zero.

    References
    ----------
    .. [1] ISO 3, preferred numbers; ISO 565, apertures; ISO 4782, screen wires (from memory).

    Examples
    --------
    >>> (r20_sizes(0.9e-3, 1.25e-3) * 1e3).round(3).tolist()
    [0.9, 1.0, 1.12, 1.25]
    """
    if not 0.0 < least_m <= greatest_m:
        raise ValueError(f"0 < least_m ≤ greatest_m is needed, got {least_m} and {greatest_m}")
    decades = np.arange(np.floor(np.log10(least_m)), np.ceil(np.log10(greatest_m)) + 1)
    sizes = (np.array(R20) * 10.0 ** decades[:, np.newaxis]).ravel()
    dust = 1e-9  # relative: a size typed as an end belongs to the range
    kept: FloatArray = sizes[(sizes >= least_m * (1 - dust)) & (sizes <= greatest_m * (1 + dust))]
    return kept


#: Wire diameters of every gauge system, for searching [m].
GAUGE_SIZES_M: FloatArray = np.unique([d for g in GAUGES for d in g.diameters_m.values()])
