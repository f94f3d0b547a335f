"""Customary and standard cloth as data: whole cloths by series, and standard single sizes."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib import resources

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.reading.sizes.gauges import r20_sizes
from meshcore.rounding import SLACK
from meshcore.units import METRES_PER_INCH

#: Supplementary series R40/3 of ISO 565, one cycle of three decades (from memory).
R40_3 = (
    1.00, 1.18, 1.40, 1.70, 2.00, 2.36, 2.80, 3.35, 4.00, 4.75, 5.60, 6.70, 8.00, 9.50,
    11.2, 13.2, 16.0, 19.0, 22.4, 26.5, 31.5, 37.5, 45.0, 53.0, 63.0, 75.0, 90.0, 106.0,
    125.0, 150.0, 180.0, 212.0, 250.0, 300.0, 355.0, 425.0, 500.0, 600.0, 710.0, 850.0,
)  # fmt: skip
#: Apertures of wire cloth in ISO 565 run from 20 µm to 125 mm (from memory).
FINEST_APERTURE_M, COARSEST_APERTURE_M = 20e-6, 125e-3
#: Wires from the finest customary in square mesh to the heaviest pre-crimped: common practice,
#: no source.
FINEST_WIRE_M, HEAVIEST_WIRE_M = 16e-6, 25e-3
#: Below this, ISO 565 and ISO 4782 round the sizes of R20 to whole micrometres: 32 µm, not 31.5
#: (from memory).
_WHOLE_MICROMETRES_BELOW_M = 40e-6
_MM = 1e-3


@dataclass(frozen=True, slots=True)
class Series:
    """One named series of whole cloths.

    Parameters
    ----------
    name
        As a message calls it, with its standing.
    file
        File of the series in ``data``.
    rank
        Series of a lower rank are asked first.
    """

    name: str
    file: str
    rank: int


SERIES: tuple[Series, ...] = (
    Series("market grade (ASTM E2016, from memory)", "market_grade.csv", 0),
    Series("test-sieve cloth (ISO 3310-1, from memory)", "iso_3310_1.csv", 0),
    Series("mill grade (ASTM E2016, from memory)", "mill_grade.csv", 1),
    Series("bolting grade (ASTM E2016, from memory)", "bolting_grade.csv", 1),
)
#: Code of cloth of an ISO 565 aperture and an R20 wire, which is in no list of whole cloths.
STANDARD_SIZES = len(SERIES)
STANDARD_SIZES_NAME = "an aperture of ISO 565 with a wire of R20 (ISO 3, from memory)"


@dataclass(frozen=True, slots=True)
class Cloths:
    """Whole cloths [m], by rising pitch; ``series`` indexes ``SERIES``."""

    pitch: FloatArray
    wire_diameter: FloatArray
    series: IntArray


@cache
def cloths(rank: int) -> Cloths:
    """Cloths of all series of one rank.

    Examples
    --------
    >>> len(cloths(0).pitch) == 26 + 99
    True
    """
    wire, pitch, series = [np.zeros(0)], [np.zeros(0)], [np.zeros(0, dtype=np.int64)]
    for code, named in enumerate(SERIES):
        if named.rank == rank:
            wires, pitches = _read(named.file)
            wire.append(wires)
            pitch.append(pitches)
            series.append(np.full(len(wires), code, dtype=np.int64))
    order = np.argsort(np.concatenate(pitch), kind="stable")
    return Cloths(
        np.concatenate(pitch)[order], np.concatenate(wire)[order], np.concatenate(series)[order]
    )


def _read(file: str) -> tuple[FloatArray, FloatArray]:
    text = resources.files(__package__).joinpath(f"data/{file}").read_text("utf-8")
    rows = list(csv.DictReader(text.splitlines()))

    def column(name: str, factor: float) -> FloatArray:
        return np.array([float(row[name]) for row in rows]) * factor

    if "aperture_mm" in rows[0]:
        # Written in whole micrometres, so that 1 mm with 0.56 mm is 1.56 mm and no more digits.
        wire = np.round(column("wire_diameter_mm", _MM), 7)
        return wire, np.round(column("aperture_mm", _MM), 7) + wire
    return column("wire_diameter_in", METRES_PER_INCH), METRES_PER_INCH / column(
        "mesh_count_per_in", 1.0
    )


@cache
def customary() -> tuple[FloatArray, FloatArray]:
    """Wire and pitch of the market grade [m] (recalled from ASTM E2016, from memory)."""
    return _read(SERIES[0].file)


@cache
def standard_apertures() -> FloatArray:
    """Apertures of ISO 565 [m]: R20 and R40/3, rising."""
    cycle = np.array(R40_3)
    r20 = _as_listed(r20_sizes(FINEST_APERTURE_M, COARSEST_APERTURE_M))
    sizes = np.concatenate([r20, cycle * 1e-6, cycle * 1e-3])
    return within(distinct(sizes), FINEST_APERTURE_M, COARSEST_APERTURE_M)


@cache
def sieve_numbers() -> tuple[FloatArray, FloatArray]:
    """Numbers of test sieves as counts [1/m], and their apertures [m] (ASTM E11, from memory)."""
    text = resources.files(__package__).joinpath("data/sieve_numbers.csv").read_text("utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    numbers = np.array([float(row["number"]) for row in rows]) / METRES_PER_INCH
    return numbers, np.array([float(row["aperture_mm"]) for row in rows]) * _MM


@cache
def sieve_inches() -> Mapping[float, tuple[str, float]]:
    """Designations of coarse test sieves in inches: size → as written, aperture [m] (ASTM E11).

    Examples
    --------
    >>> sieve_inches()[0.25]
    ('1/4 in', 0.0063)
    """
    text = resources.files(__package__).joinpath("data/sieve_inches.csv").read_text("utf-8")
    return {
        float(sum(map(Fraction, row["inches"].split()))): (
            f"{row['inches']} in", round(float(row["aperture_mm"]) * _MM, 7),
        )
        for row in csv.DictReader(text.splitlines())
    }  # fmt: skip


def numbered_as(count: FloatArray, aperture: FloatArray) -> BoolArray:
    """Lines whose count is the number of the test sieve of their aperture.

    Examples
    --------
    >>> numbered_as(np.array([100, 100]) / 0.0254, np.array([150e-6, 140e-6])).tolist()
    [True, False]
    """
    numbers, apertures = sieve_numbers()
    place = np.clip(np.searchsorted(numbers, count * (1.0 - _FILED)), 0, len(numbers) - 1)
    same: BoolArray = np.abs(numbers[place] / count - 1.0) <= _FILED
    return same & (np.abs(apertures[place] / aperture - 1.0) <= _FILED)


#: Relative difference within which a number of a sieve and its aperture are those typed.
_FILED = 1e-6


@cache
def standard_wires() -> FloatArray:
    """Wires of R20 [m], rising.

    Examples
    --------
    >>> (standard_wires()[:8] * 1e6).round(1).tolist()
    [16.0, 18.0, 20.0, 22.0, 25.0, 28.0, 32.0, 36.0]
    """
    return distinct(_as_listed(r20_sizes(FINEST_WIRE_M, HEAVIEST_WIRE_M)))


@cache
def customary_wires() -> FloatArray:
    """Wires of the series of whole cloths [m], rising."""
    ranks = {series.rank for series in SERIES}
    return distinct(np.concatenate([cloths(rank).wire_diameter for rank in ranks]))


def _as_listed(r20: FloatArray) -> FloatArray:
    micrometres = np.floor(r20 * 1e6 + 0.5 + SLACK)
    listed: FloatArray = np.where(r20 < _WHOLE_MICROMETRES_BELOW_M, micrometres * 1e-6, r20)
    return listed


def distinct(sizes: FloatArray) -> FloatArray:
    """Return different sizes, rising."""
    rising = np.sort(sizes)
    kept: FloatArray = rising[np.append(True, np.diff(rising) > SLACK * rising[1:])]
    return kept


def nearest_of(known: FloatArray, sizes: FloatArray) -> FloatArray:
    """Return the nearest of some known sizes, rising, to each size.

    Examples
    --------
    >>> nearest_of(np.array([1.0, 2.0, 4.0]), np.array([0.5, 1.4, 2.9, 9.0])).tolist()
    [1.0, 1.0, 2.0, 4.0]
    """
    place = np.clip(np.searchsorted(known, sizes), 1, len(known) - 1)
    below, above = known[place - 1], known[place]
    return np.where(sizes - below < above - sizes, below, above)


def within(sizes: FloatArray, least: float, greatest: float) -> FloatArray:
    """Return those of the sizes that lie from the least to the greatest, both included."""
    kept: FloatArray = sizes[(sizes >= least * (1 - SLACK)) & (sizes <= greatest * (1 + SLACK))]
    return kept


def series_name(code: int) -> str:
    """Name of a series of cloths, or of the standard sizes."""
    return STANDARD_SIZES_NAME if code == STANDARD_SIZES else SERIES[code].name
