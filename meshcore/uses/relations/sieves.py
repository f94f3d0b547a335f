"""Test sieves: the designation, the aperture, the wire, the tolerances, and what is certified."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from meshcore.units import METRES_PER_INCH
from meshcore.weave.geometry.tolerances import SieveEdition, sieve_tolerance
from meshcore.weave.specification.series import SERIES, cloths, sieve_numbers

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
    number
        Its number by ASTM E11; 0 where it has none.
    aperture_m, wire_m
        Nominal aperture and preferred wire [m].
    single_m, average_m, intermediate_m
        X, Y and Z of the standard [m].
    """

    designation: str
    number: int
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
    >>> one.designation, one.number, round(one.wire_m * 1e6)
    ('150 µm', 100, 100)
    >>> sieve_of(155e-6) is None
    True
    """
    known = cloths(SERIES[_SIEVES].rank)
    rows = np.flatnonzero(known.series == _SIEVES)
    apertures = known.pitch[rows] - known.wire_diameter[rows]
    found = rows[np.abs(apertures / aperture_m - 1.0) < _SAME]
    if not len(found):
        return None
    limits = [float(x) for x in sieve_tolerance(np.array(aperture_m), edition)]
    wire = float(known.wire_diameter[found[0]])
    return Sieve(_designation(aperture_m), _number(aperture_m), aperture_m, wire, *limits)


def sieve_numbered(number: int, edition: SieveEdition = "ASTM E11") -> Sieve | None:
    """Return the test sieve of a number of ASTM E11; None where there is none.

    Examples
    --------
    >>> sieve_numbered(200).designation, sieve_numbered(11) is None
    ('75 µm', True)
    """
    numbers, apertures = sieve_numbers()
    found = np.flatnonzero(np.abs(numbers * METRES_PER_INCH - number) < _SAME * number)
    return sieve_of(float(apertures[found[0]]), edition) if len(found) else None


def _number(aperture_m: float) -> int:
    numbers, apertures = sieve_numbers()
    found = np.flatnonzero(np.abs(apertures / aperture_m - 1.0) < _SAME)
    return round(float(numbers[found[0]]) * METRES_PER_INCH) if len(found) else 0


def _designation(aperture_m: float) -> str:
    return f"{aperture_m * 1e6:.4g} µm" if aperture_m < _MM else f"{aperture_m * 1e3:.4g} mm"


#: Below this, a sieve is called by micrometres [m].
_MM = 1e-3
