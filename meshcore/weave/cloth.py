"""The columns that describe cloth once its specification is complete."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from typing import Any, Literal

import numpy as np

from meshcore.alloys.record import Alloy
from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.enquiry import (
    DOUBLE_CRIMP,
    FLAT_TOP,
    INTERMEDIATE_CRIMP,
    LOCK_CRIMP,
    PLAIN,
    TWILLED,
    WEAVES,
    WELDED,
)

__all__ = [
    "DOUBLE_CRIMP",
    "FLAT_TOP",
    "INTERMEDIATE_CRIMP",
    "LOCK_CRIMP",
    "PLAIN",
    "TWILLED",
    "WEAVES",
    "WELDED",
    "ClothColumns",
    "Judgement",
    "WeaveRule",
    "by_alloy",
    "take_cloth",
]


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
    >>> cloth = estimate(Enquiry(alloy="304")).estimates.orders.cloth
    >>> by_alloy(cloth, lambda alloy: alloy.density_kg_m3).tolist()
    [7930.0]
    """
    # An unknown alloy is -1, and so finds the last place.
    values = np.array([*(value(alloy) for alloy in cloth.alloys), np.nan])
    by_line: FloatArray = values[cloth.alloy]
    return by_line


def take_cloth(cloth: ClothColumns, rows: IntArray | slice) -> ClothColumns:
    """Return some lines of cloth; a slice makes views, line numbers (which may repeat) copies.

    Examples
    --------
    >>> from meshcore import Enquiry, estimate
    >>> cloth = estimate(Enquiry(alloy="304", weave="twill")).estimates.orders.cloth
    >>> take_cloth(cloth, np.array([0, 0])).weave.tolist()
    [1, 1]
    """
    taken: dict[str, Any] = {
        f.name: cells[rows]
        for f in fields(cloth)
        if isinstance(cells := getattr(cloth, f.name), np.ndarray)
    }
    return replace(cloth, **taken)


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
    code
        Code of its messages, as ``room.thing``; ``rule.`` and the rule's name if empty.
    """

    name: str
    field: str
    origin: str
    severity: Literal["review", "refused"]
    judge: Callable[[ClothColumns], Judgement]
    code: str = ""
