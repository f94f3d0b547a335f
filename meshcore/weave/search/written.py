"""Sizes as a mill writes them: the shortest text of a list that reads back as the size."""

from __future__ import annotations

import math
import re

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.enquiry import WEAVES
from meshcore.reading.sizes.gauges import GAUGES
from meshcore.rounding import SLACK
from meshcore.units import METRES_PER_INCH
from meshcore.weave.specification.series import standard_apertures, standard_wires

#: Digits of a metric size, and places of an inch, that lists give at most.
_METRIC_DIGITS, _INCH_PLACES = 4, 4
#: Fractions of an inch that apertures are written in.
_SIXTEENTHS = 16
#: Relative difference at which a text reads back as the size; tables of gauges are rounded so.
_READS_BACK = 1e-6
#: Below this, sizes are written in micrometres [m].
_MICROMETRES_BELOW_M = 0.1e-3
#: From here on, sizes are written in millimetres, and those of their list with them [m].
_NEVER_FROM_M = 1e-3
_CM_M = 0.01


def in_micrometres(*sizes_m: FloatArray | float) -> bool:
    """Whether sizes that stand in one list are written in micrometres: fine ones among no coarse.

    Examples
    --------
    >>> in_micrometres(np.array([0.1e-3, 0.2e-3]), 50e-6), in_micrometres(2e-3, 50e-6)
    (True, False)
    """
    every = np.concatenate([np.ravel(one) for one in sizes_m])
    finest, coarsest = np.nanmin(every, initial=np.inf), np.nanmax(every, initial=0.0)
    return bool(finest < _MICROMETRES_BELOW_M * (1.0 - SLACK) and coarsest < _NEVER_FROM_M)


def written_length(metres: float, fine: bool | None = None) -> str:
    """Write a length as a list of cloth has it.

    Parameters
    ----------
    metres
        Length [m].
    fine
        Whether metric sizes of its list are in micrometres, see `in_micrometres`; None where it
        stands alone.

    Returns
    -------
    Millimetres or micrometres of a standard size; a fraction or four decimals of an inch where
    those do; else as many metric digits as it takes.

    Examples
    --------
    >>> [written_length(m) for m in (2e-3, 0.635e-3, 36e-6, 0.01905, 1.2345678e-3)]
    ['2 mm', '0.025 in', '36 µm', '3/4 in', '1.2345678 mm']
    """
    if fine is None:
        fine = in_micrometres(metres)
    number, unit = (metres * 1e6, "µm") if fine else (metres * 1e3, "mm")
    inches = metres / METRES_PER_INCH
    metric = _shortest(number, _METRIC_DIGITS)
    if metric and (_listed(metres, standard_wires()) or _listed(metres, standard_apertures())):
        return f"{metric} {unit}"
    if (fraction := _fraction(inches)) is not None:
        return f"{fraction} in"
    if _same(round(inches, _INCH_PLACES), inches):
        return f"{round(inches, _INCH_PLACES):.4f}".rstrip("0") + " in"
    if metric:
        return f"{metric} {unit}"
    exact = next(d for d in range(_METRIC_DIGITS, 18) if _near(_rounded(number, d), number))
    return f"{_plain(number, exact)} {unit}"


def _shortest(number: float, digits: int) -> str:
    """Shortest text of a number of so many digits at most; empty where it takes more."""
    fitting = (d for d in range(1, digits + 1) if _near(_rounded(number, d), number))
    return next((_plain(number, d) for d in fitting), "")


def written_count(pitch_m: float) -> str | None:
    """Write a pitch as a mesh count; None where it is no count in quarters per inch or cm.

    Examples
    --------
    >>> written_count(2.54e-3), written_count(2.5e-3), written_count(2.6e-3)
    ('10 / in', '4 / cm', None)
    """
    for unit, metres in (("in", METRES_PER_INCH), ("cm", _CM_M)):
        count = metres / pitch_m
        if _near(round(count * 4) / 4, count) and round(count * 4) > 0:
            return f"{round(count * 4) / 4:g} / {unit}"
    return None


def written_cells(
    weave: int, wire_m: float, pitch_m: float, fine: bool | None = None
) -> dict[str, str]:
    """Return enquiry cells that ask for one cloth, in the sizes by which it is sold.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    wire_m, pitch_m
        Sizes [m].
    fine
        Whether metric sizes are in micrometres; None where the cloth stands in no list.

    Returns
    -------
    Enquiry column → text; sizes that are not used are blank, so that they clear what stood there.

    Examples
    --------
    >>> {name: text for name, text in written_cells(0, 0.635e-3, 2.54e-3).items() if text}
    {'mesh_count': '10 / in', 'wire_diameter': '0.025 in', 'weave': 'plain'}
    >>> written_cells(2, 2e-3, 8.3e-3)["aperture"]
    '6.3 mm'
    >>> [written_cells(0, 50e-6, 150e-6)[name] for name in ("aperture", "wire_diameter")]
    ['100 µm', '50 µm']
    """
    if fine is None:
        fine = in_micrometres(wire_m, pitch_m - wire_m)
    cells = dict.fromkeys(("mesh_count", "pitch", "aperture", "open_area"), "")
    aperture, count = pitch_m - wire_m, written_count(pitch_m)
    if count is None or _listed(aperture, standard_apertures()):
        cells["aperture"] = written_length(aperture, fine)
    else:
        cells["mesh_count"] = count
    return cells | {"wire_diameter": written_wire(wire_m, fine), "weave": WEAVES[weave]}


def written_wire(metres: float, fine: bool | None = None) -> str:
    """Write a wire as `written_length` does; by its gauge where that alone is short.

    Examples
    --------
    >>> written_wire(0.635e-3), written_wire(0.0075 * 0.0254)
    ('0.025 in', '0.0075 in')
    >>> written_wire(0.005 * 0.0254 * 92 ** (31 / 39))
    '5 AWG'
    """
    text = written_length(metres, fine)
    if len(re.sub(r"^0?\.?0*|\D", "", text)) <= _METRIC_DIGITS:
        return text
    named = (
        f"{number} {gauge.suffix}"
        for gauge in GAUGES
        for number, diameter in gauge.diameters_m.items()
        if number > 0 and _near(diameter, metres)
    )
    return next(named, text)


def _listed(size: float, known: FloatArray) -> bool:
    return bool((np.abs(known / size - 1.0) < SLACK * 10).any())


def _fraction(inches: float) -> str | None:
    """Whole inches and sixteenths, in lowest terms; None where it is not that."""
    parts = round(inches * _SIXTEENTHS)
    if parts < 1 or not _near(parts / _SIXTEENTHS, inches):
        return None
    whole, rest = divmod(parts, _SIXTEENTHS)
    if not rest:
        return str(whole)
    common = int(np.gcd(rest, _SIXTEENTHS))
    return f"{f'{whole} ' if whole else ''}{rest // common}/{_SIXTEENTHS // common}"


def _plain(number: float, digits: int) -> str:
    """Digits without an exponent."""
    return np.format_float_positional(_rounded(number, digits), trim="-")


def _rounded(size: float, places: int) -> float:
    """Round to so many digits."""
    return round(size, places - 1 - math.floor(math.log10(size)))


def _same(text: float, value: float) -> bool:
    return text > 0.0 and abs(text / value - 1.0) < _READS_BACK


def _near(text: float, value: float) -> bool:
    return text > 0.0 and abs(text / value - 1.0) < SLACK
