"""Wire gauge systems as named data, and preferred sizes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.rounding import SLACK
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
        r"awg|american(?: standard)?(?: wire)?(?: gauge)?"
        r"|b ?& ?s(?: gauge)?|brown(?: ?&| and) sharpe(?: gauge)?",
        MappingProxyType({n: _american(n) for n in _AWG_NUMBERS}),
        "formula of ASTM B258; No. 5/0 and 6/0 extend it",
    ),
    Gauge(
        "imperial",
        "SWG",
        r"i?swg|imp swg|(?:imperial|british|english)(?: standard)?(?: wire)?(?: gauge)?"
        r"|standard wire gauge",
        _numbered(-6, _IMPERIAL_IN),
        "imperial standard wire gauge, Order in Council 1883 (from memory)",
    ),
    Gauge(
        "steel wire",
        "steel wire gauge",
        r"(?:us |u s )steel(?: wire)?(?: gauge)?|steel(?: wire)? gauge|stwg|usswg"
        r"|w ?& ?m(?: gauge)?|washburn(?: ?&| and) moen(?: gauge)?",
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


def designation(number: int) -> str:
    """Write a gauge number as people do: ``"16"``, ``"0"``, ``"2/0"``.

    Examples
    --------
    >>> designation(16), designation(0), designation(-1)
    ('16', '0', '2/0')
    """
    return str(number) if number >= 0 else f"{1 - number}/0"


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
    # a size typed as an end belongs to the range
    kept: FloatArray = sizes[(sizes >= least_m * (1 - SLACK)) & (sizes <= greatest_m * (1 + SLACK))]
    return kept


#: Wire diameters of every gauge system, for searching [m].
GAUGE_SIZES_M: FloatArray = np.unique([d for g in GAUGES for d in g.diameters_m.values()])
