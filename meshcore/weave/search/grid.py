"""The grid of specifications in which alternatives are sought."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from functools import cache, lru_cache
from typing import Any

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.reading.sizes.gauges import GAUGE_SIZES_M, r20_sizes
from meshcore.units import METRES_PER_INCH
from meshcore.weave.cloth import ClothColumns, WeaveRule, take_cloth
from meshcore.weave.geometry.path import FLAT_RULE_RATIO
from meshcore.weave.geometry.specifications import specifications
from meshcore.weave.judging.practicality import CAN_BE_WOVEN, assess
from meshcore.weave.specification.series import (
    COARSEST_APERTURE_M,
    FINEST_APERTURE_M,
    FINEST_WIRE_M,
    HEAVIEST_WIRE_M,
    R40_3,
    cloths,
    customary_wires,
    distinct,
    standard_apertures,
    standard_wires,
    within,
)
from meshcore.weave.specification.series import (
    SERIES as CLOTH_SERIES,
)

#: Where a specification of the grid comes from, most customary first.
SERIES: tuple[str, ...] = (
    "customary series",
    "ISO 565 aperture, R20 wire",
    "customary count and wire",
    "ISO 565 or inch aperture, gauge wire",
    "any count, R20 or gauge wire",
    "size as asked",
    "cloth on hand",
)
CUSTOMARY, STANDARD, USUAL_COUNT, GAUGE_APERTURE, ANY_COUNT, AS_ASKED, ON_HAND = range(len(SERIES))
#: Series whose sizes a mill writes on a list: of any other, one size is an odd one.
LISTED = (CUSTOMARY, STANDARD, USUAL_COUNT)

#: What an enquiry may hold, in the order of the rows of `Grid.logs`.
PROPERTIES: tuple[str, ...] = (
    "aperture",
    "wire_diameter",
    "mesh_count",
    "open_area",
    "mass",
    "strength",
)

#: Fractional inch apertures, sixteenths up to 4 in: common practice, no source.
_SIXTEENTHS = np.arange(1, 65) * METRES_PER_INCH / 16
#: Counts per inch and per cm, in steps that get coarser as cloth gets finer: common practice.
_COUNTS_PER_IN = np.concatenate([np.arange(0.25, 60, 0.25), np.arange(60, 636)])
_COUNTS_PER_CM = np.concatenate([np.arange(0.5, 40, 0.25), np.arange(40, 251)])
_CM_M = 0.01
#: Counts per inch that lists of cloth go by: common practice, no source.
USUAL_COUNTS_PER_IN = (
    0.5, 0.75, 1, 1.25, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 22, 24,
    26, 28, 30, 32, 35, 38, 40, 42, 45, 48, 50, 54, 60, 64, 70, 72, 78, 80, 84, 90, 94, 100, 105,
    120, 135, 145, 150, 165, 180, 200, 230, 250, 270, 300, 325, 350, 400, 450, 500, 635,
)  # fmt: skip
#: Wire over pitch that is worth judging at all: from open screens to touching welded wires.
_LEAST_WIRE_TO_PITCH, _MOST_WIRE_TO_PITCH = 0.02, 1.0


@dataclass(frozen=True, slots=True)
class Grid:
    """Specifications to choose from, with the logarithms that distances are measured in.

    Parameters
    ----------
    cloth
        The specifications; of no alloy and no width.
    series
        Index into ``SERIES``.
    logs
        Natural logarithm of each of ``PROPERTIES``, one row a property.
    margin
        How far inside the nearest limit, as a share of it [-].
    """

    cloth: ClothColumns
    series: IntArray
    logs: FloatArray
    margin: FloatArray


def property_logs(cloth: ClothColumns) -> FloatArray:
    """Natural logarithm of each property, up to a constant; one row a property.

    Notes
    -----
    Mass goes as d²·ℓ/p and breaking load per width as d²/p, for one alloy. Cloth beyond the jam
    has no path; the mass that was wanted of it is reckoned by the flat rule.
    """
    ratio = np.where(np.isnan(cloth.path_ratio), FLAT_RULE_RATIO, cloth.path_ratio)
    with np.errstate(divide="ignore", invalid="ignore"):
        aperture, wire = np.log(cloth.aperture_m), np.log(cloth.wire_diameter_m)
        pitch, open_area = np.log(cloth.pitch_m), np.log(cloth.open_area)
    strength = 2.0 * wire - pitch
    return np.stack([aperture, wire, -pitch, open_area, strength + np.log(ratio), strength])


@cache
def wires() -> FloatArray:
    """Wires of the grid [m], R20 and gauge sizes, rising."""
    sizes = np.concatenate([r20_sizes(FINEST_WIRE_M, HEAVIEST_WIRE_M), GAUGE_SIZES_M])
    return within(distinct(sizes), FINEST_WIRE_M, HEAVIEST_WIRE_M)


@cache
def apertures() -> FloatArray:
    """Apertures of the grid [m], ISO 565 and sixteenths of an inch, rising."""
    cycle = np.array(R40_3)
    supplementary = np.concatenate([cycle * 1e-6, cycle * 1e-3])
    sizes = np.concatenate(
        [r20_sizes(FINEST_APERTURE_M, COARSEST_APERTURE_M), supplementary, _SIXTEENTHS]
    )
    return within(distinct(sizes), FINEST_APERTURE_M, COARSEST_APERTURE_M)


@cache
def pitches() -> FloatArray:
    """Pitches of the grid's mesh counts, per inch and per cm [m], rising."""
    return distinct(np.concatenate([METRES_PER_INCH / _COUNTS_PER_IN, _CM_M / _COUNTS_PER_CM]))


@cache
def combinations() -> tuple[FloatArray, FloatArray, IntArray]:
    """Wire [m], pitch [m] and series of every combination, before any weave or judgement.

    Examples
    --------
    >>> len(combinations()[0]) > 100_000
    True
    """
    columns = (
        listed_cloths(),
        _with_apertures(standard_wires(), standard_apertures()),
        _with_pitches(customary_wires(), METRES_PER_INCH / np.array(USUAL_COUNTS_PER_IN)),
        _with_apertures(wires(), apertures()),
        _with_pitches(wires(), pitches()),
    )
    series = np.repeat(np.arange(len(columns)), [len(wire) for wire, _ in columns])
    all_wires, all_pitches = (np.concatenate(column) for column in zip(*columns, strict=True))
    slenderness = all_wires / all_pitches
    kept = (slenderness >= _LEAST_WIRE_TO_PITCH) & (slenderness < _MOST_WIRE_TO_PITCH)
    return all_wires[kept], all_pitches[kept], series[kept].astype(np.int64)


def listed_cloths() -> tuple[FloatArray, FloatArray]:
    """Wire and pitch [m] of every cloth of the series of whole cloths."""
    every = [cloths(rank) for rank in sorted({series.rank for series in CLOTH_SERIES})]
    return (
        np.concatenate([one.wire_diameter for one in every]),
        np.concatenate([one.pitch for one in every]),
    )


def _with_pitches(wire: FloatArray, pitches: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Wire and pitch of each wire with each pitch."""
    each, pitch = np.meshgrid(wire, pitches, indexing="ij")
    return each.ravel(), pitch.ravel()


def _with_apertures(wire: FloatArray, apertures: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Wire and pitch of each wire with each aperture."""
    each, opening = np.meshgrid(wire, apertures, indexing="ij")
    return each.ravel(), (each + opening).ravel()


@lru_cache(maxsize=8)
def weavable(rules: tuple[tuple[str, WeaveRule], ...], weaves: tuple[int, ...]) -> Grid:
    """Return the combinations that the rules let through in any of `weaves`; judged once and kept.

    Parameters
    ----------
    rules
        Each with its plugin's name.
    weaves
        Indices into ``WEAVES``.
    """
    wire, pitch, series = combinations()
    return joined([judged(rules, weave, wire, pitch, series) for weave in weaves])


def judged(
    rules: tuple[tuple[str, WeaveRule], ...],
    weave: int,
    wire_diameter_m: FloatArray,
    pitch_m: FloatArray,
    series: IntArray,
) -> Grid:
    """Return those of the sizes given that can be woven in one weave."""
    codes = np.full(len(wire_diameter_m), weave, dtype=np.int64)
    cloth = specifications(codes, wire_diameter_m, pitch_m)
    assessed = assess(cloth, rules)
    good = (assessed.verdict == CAN_BE_WOVEN) & ~np.isnan(cloth.path_ratio)
    rows = np.flatnonzero(good)
    kept = take_cloth(cloth, rows)
    margin = np.full(len(rows), np.inf)
    for result in assessed.results:
        found = np.where(result.judgement.applies, result.judgement.margin, np.inf)[rows]
        margin = np.fmin(margin, found)
    return Grid(kept, series[rows], property_logs(kept), margin)


def taken(grid: Grid, rows: IntArray) -> Grid:
    """Return some specifications of a grid."""
    return Grid(
        take_cloth(grid.cloth, rows), grid.series[rows], grid.logs[:, rows], grid.margin[rows]
    )


def joined(grids: Sequence[Grid]) -> Grid:
    """Return one grid after another."""
    return Grid(
        stacked([grid.cloth for grid in grids]),
        np.concatenate([grid.series for grid in grids]),
        np.concatenate([grid.logs for grid in grids], axis=1),
        np.concatenate([grid.margin for grid in grids]),
    )


#: Columns of cloth that have one value a line.
_COLUMNS = tuple(f.name for f in fields(ClothColumns) if f.name != "alloys")


def stacked(cloths: Sequence[ClothColumns]) -> ClothColumns:
    """Return the lines of one cloth after those of another; alloys are those of the first."""
    columns: dict[str, Any] = {
        name: np.concatenate([getattr(cloth, name) for cloth in cloths]) for name in _COLUMNS
    }
    return replace(cloths[0], **columns)
