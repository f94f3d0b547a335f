"""What aperture and wire may come out at, and what that does to open area and mass.

Test-sieve cloth follows the formulas of ISO 3310-1. Plain and twilled industrial cloth follows
ISO 9044, whose table of aperture tolerances is not reproduced here; the bands below stand in for
it, and the standard governs wherever an order calls for it. Pre-crimped and welded screens have
standards of their own, whose tolerances are not known here: nothing is said of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, NamedTuple, TypeAlias

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.rounding import SLACK
from meshcore.weave.geometry.path import cloth_path

SieveEdition: TypeAlias = Literal["ISO 3310-1:2016", "ISO 3310-1:2000", "ASTM E11"]

#: Share of the classical formulas that each edition allows. The formulas as remembered give the
#: ASTM E11-17 table; the ISO 3310-1:2016 table is nine tenths of them at every size, a fact read
#: off that table (as the PyPI package `fluids` carries it), not off its text.
SIEVE_EDITIONS: MappingProxyType[str, float] = MappingProxyType(
    {"ISO 3310-1:2016": 0.9, "ISO 3310-1:2000": 1.0, "ASTM E11": 1.0}
)
#: Apertures that the test-sieve standards cover [m].
SIEVE_LEAST_M, SIEVE_GREATEST_M = 20e-6, 125e-3

#: Wire drawn to a common class: ±0.015·√d, both in mm (EN 10218-2 class T4, from memory).
WIRE_TOLERANCE_MM = 0.015
#: Wires that EN 10218-2 is for [m] (from memory); finer wire is agreed with who draws it. The
#: classes of ISO 4782 and ISO 4783 were not found in print; GOST 6613-86, for woven cloth, allows
#: ±3 µm from 30 µm, within half of what the formula carried on would.
WIRE_TOLERANCE_FROM_M, WIRE_TOLERANCE_TO_M = 0.05e-3, 25e-3

#: Standard by which the aperture of each weave is judged, in the order of ``WEAVES`` (from memory).
APERTURE_STANDARDS: tuple[str, ...] = (
    "ISO 9044", "ISO 9044", "ISO 4783-3", "ISO 4783-3", "ISO 4783-3", "ISO 4783-3", "ISO 14315",
)  # fmt: skip
#: The standard in whose place the bands below stand; the tolerances of the others are not known.
COVERED_STANDARD = "ISO 9044"

_UM, _MM = 1e-6, 1e-3


class Band(NamedTuple):
    """Tolerance on the average aperture of industrial cloth, from one aperture up.

    Parameters
    ----------
    from_m
        Least aperture of the band [m].
    share
        Tolerance on the average aperture, as ± a share of it [-].
    """

    from_m: float
    share: float


#: Industrial cloth, average aperture: common practice, no source; each band is looser than
#: test-sieve cloth of its apertures. ISO 9044 has its own table.
INDUSTRIAL_BANDS: tuple[Band, ...] = (
    Band(0.0, 0.12),
    Band(0.063e-3, 0.08),
    Band(0.2e-3, 0.06),
    Band(1.0e-3, 0.05),
)


class SieveTolerance(NamedTuple):
    """Tolerances of test-sieve cloth [m], as ISO 3310-1 names them.

    Parameters
    ----------
    single
        X: no aperture may exceed the nominal by more.
    average
        Y: the average aperture may differ so much either way.
    intermediate
        Z, halfway between: few apertures may exceed the nominal by more than this.
    """

    single: FloatArray
    average: FloatArray
    intermediate: FloatArray


def sieve_tolerance(
    aperture_m: FloatArray, edition: SieveEdition = "ISO 3310-1:2016"
) -> SieveTolerance:
    """Aperture tolerances of test-sieve cloth.

    Parameters
    ----------
    aperture_m
        Nominal apertures [m]; any shape.
    edition
        Which table to follow.

    Returns
    -------
    The tolerances [m]; NaN outside 20 µm to 125 mm, which the standards do not cover.

    Raises
    ------
    ValueError
        If the edition is unknown.

    Notes
    -----
    With w in µm: X = 2·w^0.75/3 + 4·w^0.25, Y = w^0.98/27 + 1.6, Z = (X + Y)/2, times the
    edition's share. Printed tables round to two figures or so.

    References
    ----------
    .. [1] ISO 3310-1, technical requirements of test sieves (formulas from memory).

    Examples
    --------
    >>> x, y, z = sieve_tolerance(np.array([2e-3]), "ASTM E11")
    >>> [round(float(t[0]) * 1e6) for t in (x, y)]
    [226, 65]
    """
    if edition not in SIEVE_EDITIONS:
        raise ValueError(f"edition is one of {', '.join(SIEVE_EDITIONS)}, got {edition!r}")
    aperture_m = np.asarray(aperture_m)
    # the end sizes belong to the standard, however they were computed
    inside = (aperture_m >= SIEVE_LEAST_M * (1 - SLACK)) & (
        aperture_m <= SIEVE_GREATEST_M * (1 + SLACK)
    )
    w = np.where(inside, aperture_m / _UM, np.nan)
    share = SIEVE_EDITIONS[edition] * _UM
    single = share * (2.0 * w**0.75 / 3.0 + 4.0 * w**0.25)
    average = share * (w**0.98 / 27.0 + 1.6)
    return SieveTolerance(single, average, 0.5 * (single + average))


def industrial_tolerance(
    aperture_m: FloatArray, bands: tuple[Band, ...] = INDUSTRIAL_BANDS
) -> FloatArray:
    """Tolerance on the average aperture of industrial cloth.

    Parameters
    ----------
    aperture_m
        Nominal apertures [m]; any shape.
    bands
        Rising, the first from 0; a mill's own, or those of a standard that an order names.

    Returns
    -------
    Tolerance [m], either way.

    Examples
    --------
    >>> industrial_tolerance(np.array([2e-3, 0.1e-3])).round(7).tolist()
    [0.0001, 8e-06]
    """
    starts = np.array([band.from_m for band in bands])
    shares = np.array([band.share for band in bands])
    # an aperture typed as a band's start belongs to it
    band = np.searchsorted(starts, np.asarray(aperture_m) * (1 + SLACK), side="right") - 1
    tolerance: FloatArray = shares[band] * aperture_m
    return tolerance


def largest_opening(aperture_m: FloatArray) -> FloatArray:
    """Largest single opening to be reckoned with where a person or a particle may meet it.

    Parameters
    ----------
    aperture_m
        Nominal apertures [m]; any shape.

    Returns
    -------
    The opening [m]; NaN outside 20 µm to 125 mm.

    Notes
    -----
    An allowance, no tolerance: that of the average of industrial cloth, and on top of it what a
    single opening of a test sieve may be over. Common practice, no source: no standard promises it,
    least of all of pre-crimped and welded screens. Who buys for safety has the largest measured.

    Examples
    --------
    >>> largest_opening(np.array([0.1e-3, 7.1e-3])).round(7).tolist()
    [0.0001417, 0.0080074]
    """
    over = industrial_tolerance(aperture_m) + sieve_tolerance(aperture_m, "ISO 3310-1:2000").single
    largest: FloatArray = aperture_m + over
    return largest


def aperture_tolerance(weave: IntArray, aperture_m: FloatArray) -> FloatArray:
    """Tolerance on the average aperture of cloth, by the standard of its weave.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    aperture_m
        Nominal apertures [m].

    Returns
    -------
    Tolerance [m], either way; NaN of pre-crimped and of welded screens, which ISO 9044 is not for
    and whose own standards (see ``APERTURE_STANDARDS``) are not reproduced here.

    Examples
    --------
    >>> aperture_tolerance(np.array([0, 2, 6]), np.full(3, 2e-3)).tolist()
    [0.0001, nan, nan]
    """
    covered = np.array([standard == COVERED_STANDARD for standard in APERTURE_STANDARDS])[weave]
    return np.where(covered, industrial_tolerance(aperture_m), np.nan)


def wire_tolerance(
    wire_diameter_m: FloatArray, coefficient_mm: float = WIRE_TOLERANCE_MM
) -> FloatArray:
    """Tolerance on the diameter of drawn wire.

    Parameters
    ----------
    wire_diameter_m
        Nominal diameters [m]; any shape.
    coefficient_mm
        Tolerance of a 1 mm wire [mm]; the class of EN 10218-2 that is ordered.

    Returns
    -------
    Tolerance [m], either way; NaN of wire that the standard is not for, finer than 0.05 mm or
    heavier than 25 mm.

    References
    ----------
    .. [1] EN 10218-2, steel wire dimensions and tolerances: ±c·√d in mm (from memory).

    Examples
    --------
    >>> wire_tolerance(np.array([1e-3, 0.25e-3])).round(8).tolist()
    [1.5e-05, 7.5e-06]
    """
    wire = np.asarray(wire_diameter_m)
    # the end sizes belong to the standard, however they were computed
    covered = (wire >= WIRE_TOLERANCE_FROM_M * (1 - SLACK)) & (
        wire <= WIRE_TOLERANCE_TO_M * (1 + SLACK)
    )
    tolerance: FloatArray = coefficient_mm * np.sqrt(wire / _MM) * _MM
    return np.where(covered, tolerance, np.nan)


@dataclass(frozen=True, slots=True)
class ToleranceEffect:
    """What the tolerances leave room for, one row a line.

    Parameters
    ----------
    open_area_low, open_area_high
        Open area with the aperture and the wire both at their worst, and both at their best [-].
    mass_share_low, mass_share_high
        Mass per area over that of the nominal cloth [-]. NaN where so heavy a wire would be
        beyond the jam.
    """

    open_area_low: FloatArray
    open_area_high: FloatArray
    mass_share_low: FloatArray
    mass_share_high: FloatArray


def tolerance_effect(
    weave: IntArray,
    wire_diameter_m: FloatArray,
    aperture_m: FloatArray,
    wire_tolerance_m: FloatArray,
    aperture_tolerance_m: FloatArray,
) -> ToleranceEffect:
    """Open area and mass at the ends of the aperture and wire tolerances.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    wire_diameter_m, aperture_m
        Nominal sizes [m].
    wire_tolerance_m, aperture_tolerance_m
        Tolerances either way [m]; that of the average aperture, since single apertures average
        out.

    Returns
    -------
    The ends. Both tolerances are taken against the line at once, which is rarer than either;
    mass goes with d²·(path ratio)/p, p = w + d.

    Examples
    --------
    >>> effect = tolerance_effect(np.array([0]), np.array([1e-3]), np.array([3e-3]),
    ...                           np.array([0.02e-3]), np.array([0.1e-3]))
    >>> round(float(effect.open_area_low[0]), 3), round(float(effect.open_area_high[0]), 3)
    (0.547, 0.577)
    >>> round(float(effect.mass_share_low[0]), 3), round(float(effect.mass_share_high[0]), 3)
    (0.939, 1.064)
    """
    thin, thick = wire_diameter_m - wire_tolerance_m, wire_diameter_m + wire_tolerance_m
    narrow, wide = aperture_m - aperture_tolerance_m, aperture_m + aperture_tolerance_m
    nominal = _mass_measure(weave, wire_diameter_m, aperture_m)
    return ToleranceEffect(
        open_area_low=np.square(narrow / (narrow + thick)),
        open_area_high=np.square(wide / (wide + thin)),
        mass_share_low=_mass_measure(weave, thin, wide) / nominal,
        mass_share_high=_mass_measure(weave, thick, narrow) / nominal,
    )


def _mass_measure(weave: IntArray, wire_m: FloatArray, aperture_m: FloatArray) -> FloatArray:
    """Mass per area but for its constant factors."""
    pitch = wire_m + aperture_m
    measure: FloatArray = np.square(wire_m) * cloth_path(weave, wire_m, pitch).path_ratio / pitch
    return measure
