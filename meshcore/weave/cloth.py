"""The columns that describe cloth once its specification is complete."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from meshcore.alloys.record import Alloy
from meshcore.arrays import BoolArray, FloatArray, IntArray

#: Weaves in the order of their codes; a code is an index into this tuple.
WEAVES: tuple[str, ...] = (
    "plain",
    "twilled",
    "double crimp",
    "intermediate crimp",
    "lock crimp",
    "flat top",
    "welded",
)
PLAIN, TWILLED, DOUBLE_CRIMP, INTERMEDIATE_CRIMP, LOCK_CRIMP, FLAT_TOP, WELDED = range(len(WEAVES))


@dataclass(frozen=True, slots=True)
class ClothColumns:
    """Square-mesh cloth, one row a line; all arrays have the same length.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    pitch_m, wire_diameter_m, aperture_m
        Sizes [m]; NaN where the line is refused.
    open_area
        Share of the area that is open [-].
    path_ratio
        Wire length per unit length of cloth [-].
    thickness_m
        Cloth thickness [m].
    alloy
        Index into `alloys`; -1 where unknown.
    alloys
        The alloys that the column refers to.
    width_m
        Cloth width asked for [m]; NaN where none was given.
    """

    weave: IntArray
    pitch_m: FloatArray
    wire_diameter_m: FloatArray
    aperture_m: FloatArray
    open_area: FloatArray
    path_ratio: FloatArray
    thickness_m: FloatArray
    alloy: IntArray
    alloys: tuple[Alloy, ...]
    width_m: FloatArray


def by_alloy(cloth: ClothColumns, value: Callable[[Alloy], float]) -> FloatArray:
    """Return a property of each line's alloy; NaN where the alloy is unknown.

    Examples
    --------
    >>> from meshcore import Enquiry, estimate
    >>> cloth = estimate(Enquiry(alloy="304")).found.orders.cloth
    >>> by_alloy(cloth, lambda alloy: alloy.density_kg_m3).tolist()
    [7930.0]
    """
    # An unknown alloy is -1, and so finds the last place.
    values = np.array([*(value(alloy) for alloy in cloth.alloys), np.nan])
    found: FloatArray = values[cloth.alloy]
    return found


@dataclass(frozen=True, slots=True)
class Judgement:
    """What one weave rule finds, one row a line.

    Parameters
    ----------
    applies
        Lines that the rule speaks of.
    measured, limit
        The value found and the value allowed, in `unit`.
    margin
        How far inside the limit, as a share of the limit [-]; negative is outside.
    unit
        Unit of `measured` and `limit`; empty for a ratio.
    advice
        What a line outside the limit should do about it; one sentence, the same for all lines.
    """

    applies: BoolArray
    measured: FloatArray
    limit: FloatArray
    margin: FloatArray
    unit: str
    advice: str


@dataclass(frozen=True, slots=True)
class WeaveRule:
    """A named test of whether cloth can, or should, be woven.

    Parameters
    ----------
    name
        Short, unique; shown with its verdict, such as ``"geometric jam"``.
    field
        The enquiry column that would have to change.
    origin
        Where the limit comes from: a standard, a derivation, or
        ``"common practice, no source"``.
    severity
        What a line outside the limit becomes.
    judge
        Columns in, columns out; must not change its input.
    """

    name: str
    field: str
    origin: str
    severity: Literal["review", "refused"]
    judge: Callable[[ClothColumns], Judgement]
