"""Test sieves: the designation, the aperture, the wire, the tolerances, and what is certified."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.messages import Message
from meshcore.reading.texts import read_text
from meshcore.reading.vocabulary import fold
from meshcore.units import METRES_PER_INCH
from meshcore.weave.geometry.tolerances import SieveEdition, sieve_tolerance
from meshcore.weave.specification.series import SERIES, cloths, sieve_inches, sieve_numbers

#: To stand beside every figure from this module.
CAUTION = (
    "Cloth for a test sieve is inspected to the standard's number of apertures and certified by "
    "whoever measures it; cloth of the same nominal sizes is not yet a test sieve."
)
#: What a certificate says (ISO 3310-1, from memory).
CERTIFICATES = (
    "compliance: that the cloth was inspected and meets the standard",
    "inspection: the average aperture of warp and of shute as measured",
    "calibration: the number of apertures measured, their average and standard deviation, each way",
)
#: Two sizes are one to within this [-].
_SAME = 1e-6
_SIEVES = next(code for code, one in enumerate(SERIES) if one.file == "iso_3310_1.csv")


@dataclass(frozen=True, slots=True)
class Sieve:
    """One test sieve.

    Parameters
    ----------
    designation
        As it is called: ``"150 µm"``, ``"4 mm"``.
    astm
        Its designation by ASTM E11: ``"No. 100"``, ``"1/4 in"``; empty where it has none.
    aperture_m, wire_m
        Nominal aperture and preferred wire [m].
    single_m, average_m, intermediate_m
        X, Y and Z of the standard [m].
    """

    designation: str
    astm: str
    aperture_m: float
    wire_m: float
    single_m: float
    average_m: float
    intermediate_m: float


def sieve_of(aperture_m: float, edition: SieveEdition = "ISO 3310-1:2016") -> Sieve | None:
    """Return the test sieve of an aperture; None where the standard has none.

    Parameters
    ----------
    aperture_m
        Nominal aperture [m].
    edition
        Whose tolerances.

    References
    ----------
    .. [1] ISO 3310-1, apertures and preferred wires; ASTM E11, numbers (from memory).

    Examples
    --------
    >>> one = sieve_of(150e-6)
    >>> one.designation, one.astm, round(one.wire_m * 1e6)
    ('150 µm', 'No. 100', 100)
    >>> sieve_of(155e-6) is None
    True
    """
    known = cloths(SERIES[_SIEVES].rank)
    rows = np.flatnonzero(known.series == _SIEVES)
    found = rows[np.abs(_apertures() / aperture_m - 1.0) < _SAME]
    if not len(found):
        return None
    limits = [float(x) for x in sieve_tolerance(np.array(aperture_m), edition)]
    wire = float(known.wire_diameter[found[0]])
    return Sieve(written_size(aperture_m), _astm(aperture_m), aperture_m, wire, *limits)


def sieve_numbered(number: float, edition: SieveEdition = "ASTM E11") -> Sieve | None:
    """Return the test sieve of a number of ASTM E11; None where there is none.

    Examples
    --------
    >>> sieve_numbered(200).designation, sieve_numbered(3.5).designation, sieve_numbered(11) is None
    ('75 µm', '5.6 mm', True)
    """
    numbers, apertures = sieve_numbers()
    found = np.flatnonzero(np.abs(numbers * METRES_PER_INCH - number) < _SAME * number)
    return sieve_of(float(apertures[found[0]]), edition) if len(found) else None


#: A number of ASTM E11 as it is written: "No. 100", "#100", "100 mesh", "No. 3 1/2".
_NUMBERED = re.compile(
    r"(?:(?:u\.?s\.?|astm)\s*)?(?:sieve\s*)?"
    r"(?:(?:no\.?|nr\.?|n°|number|#)\s*(?P<number>\d+(?:\s*1/2|\.5)?)(?:\s*mesh|\s*sieve)?"
    r"|(?P<mesh>\d+(?:\s*1/2|\.5)?)[\s-]*mesh|mesh\s*(?P<behind>\d+(?:\s*1/2|\.5)?))"
)


def aperture_numbered(text: str) -> float | None:
    """Aperture [m] of the test sieve of a number of ASTM E11; NaN of none, None of no such number.

    Examples
    --------
    >>> aperture_numbered("No. 100"), aperture_numbered("No. 11"), aperture_numbered("150 µm")
    (0.00015, nan, None)
    """
    matched = _NUMBERED.fullmatch(fold(text.replace("½", " 1/2")))
    if not matched:
        return None
    written = next(filter(None, matched.groups()))
    whole, half, _ = written.partition("1/2")
    sieve = sieve_numbered(float(whole) + (0.5 if half else 0.0))
    return sieve.aperture_m if sieve else math.nan


def aperture_designated(text: str) -> float:
    """Aperture [m] of the test sieve that a designation of ASTM E11 names; NaN where it names none.

    Parameters
    ----------
    text
        As typed: a number of ASTM E11, or inches.

    References
    ----------
    .. [1] ASTM E11, numbers and designations in inches (from memory).

    Examples
    --------
    >>> [aperture_designated(text) for text in ("No. 100", "#4", "200 mesh", "1/4 in", '0.530"')]
    [0.00015, 0.00475, 7.5e-05, 0.0063, 0.0132]
    >>> aperture_designated("No. 11"), aperture_designated("150 µm")
    (nan, nan)
    """
    if (numbered := aperture_numbered(text)) is not None:
        return numbered
    reading = read_text(text, "length", "aperture")
    if isinstance(reading, Message) or reading.unit != "in":
        return math.nan
    inches = reading.value / METRES_PER_INCH
    return next((a for size, (_, a) in sieve_inches().items() if abs(inches / size - 1.0) < _SAME),
                math.nan)  # fmt: skip


def aperture_printed(inches: float, places: int) -> float:
    """Aperture [m] of the sieve that lists print in so many places of an inch; NaN if not one.

    Parameters
    ----------
    inches
        As printed.
    places
        Decimals that are printed.

    Examples
    --------
    >>> round(aperture_printed(0.0059, 4), 9), aperture_printed(0.06, 2)
    (0.00015, nan)
    """
    off = np.abs(_apertures() / METRES_PER_INCH - inches)
    found = np.unique(_apertures()[off <= 0.5 * 10.0**-places * (1.0 + _SAME)])
    return float(found[0]) if len(found) == 1 else math.nan


def near_sieves(aperture_m: float) -> tuple[str, ...]:
    """Designations of the sieves next below and above an aperture [m]; of one at either end.

    Examples
    --------
    >>> near_sieves(155e-6), near_sieves(1.0)
    (('150 µm', '160 µm'), ('125 mm',))
    """
    known = np.sort(_apertures())
    place = int(np.searchsorted(known, aperture_m))
    return tuple(written_size(float(known[n])) for n in (place - 1, place) if 0 <= n < len(known))


def _apertures() -> FloatArray:
    """Apertures of all test sieves [m]."""
    known = cloths(SERIES[_SIEVES].rank)
    rows = np.flatnonzero(known.series == _SIEVES)
    found: FloatArray = known.pitch[rows] - known.wire_diameter[rows]
    return found


def _astm(aperture_m: float) -> str:
    numbers, apertures = sieve_numbers()
    found = np.flatnonzero(np.abs(apertures / aperture_m - 1.0) < _SAME)
    if len(found):
        return f"No. {float(numbers[found[0]]) * METRES_PER_INCH:.4g}"
    named = (n for n, aperture in sieve_inches().values() if abs(aperture / aperture_m - 1) < _SAME)
    return next(named, "")


def written_size(aperture_m: float) -> str:
    """Write a size as sieves are designated: in micrometres below a millimetre."""
    return f"{aperture_m * 1e6:.4g} µm" if aperture_m < _MM else f"{aperture_m * 1e3:.4g} mm"


#: Below this, a sieve is called by micrometres [m].
_MM = 1e-3
