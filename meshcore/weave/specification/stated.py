"""How closely each size was stated: the rounding of its digits, and sizes that mean themselves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.units import METRES_PER_INCH

if TYPE_CHECKING:
    from meshcore.reading.columns import QuantityColumn

#: Relative difference that is only the arithmetic's own rounding.
DUST = 1e-9
#: How far from the cloth's own count a whole count may be and still stand for it: 12.33 per inch
#: is sold as 12 mesh. Common practice, no source; further off it would be called another mesh.
WHOLE_COUNT_LEEWAY = 0.03
#: A whole millimetre is a nominal size and not a measurement to the millimetre: "2 mm" is 2.00 mm,
#: and nobody calls 1.9 mm so. Half a per cent either way; common practice, no source.
WHOLE_MILLIMETRE_LEEWAY = 0.005
#: Printed tables reckon the open area from rounded apertures, so it is off by up to this [-]:
#: 0.33 per cent points in the market grade (ASTM E2016, from memory).
OPEN_AREA_LEEWAY = 0.0035
#: Counts are woven to the quarter of a wire per inch or per cm; common practice, no source.
_COUNT_STEP = 0.25
#: Decimals that a bare number is searched for; beyond these nobody typed it.
MOST_DECIMALS = 12
_CENTIMETRE_M, _MILLIMETRE_M = 0.01, 0.001
_LENGTHS = frozenset({"pitch", "aperture", "wire_diameter"})


@dataclass(frozen=True, slots=True)
class Stated:
    """Sizes as stated, by field; SI values and half widths, one a line.

    Parameters
    ----------
    values
        The sizes.
    typed
        Half of the last digit typed.
    meant
        How far the size that is meant may be from the one typed: 0 for a count and for a whole
        millimetre, which mean themselves; half of the last digit for the rest.
    own
        How far a size reckoned from the others may be from the one typed: its rounding, but a
        count is exact, and a whole millimetre and an open area have their own leeway.
    nearest
        How far a cloth of a series may be from the size typed and still be called so.
    """

    values: Mapping[str, FloatArray]
    typed: Mapping[str, FloatArray]
    meant: Mapping[str, FloatArray]
    own: Mapping[str, FloatArray]
    nearest: Mapping[str, FloatArray]


def stated(columns: Mapping[str, QuantityColumn]) -> Stated:
    """Tell how closely each size of some lines was stated."""
    values = {field: column.values for field, column in columns.items()}
    typed = {field: half_widths(column) for field, column in columns.items()}
    meant, own, nearest = dict(typed), dict(typed), dict(typed)
    for field, size in values.items():
        if field in _LENGTHS:
            whole = _is_multiple(size, _MILLIMETRE_M)
            least = np.minimum(typed[field], WHOLE_MILLIMETRE_LEEWAY * size)
            own[field] = nearest[field] = np.where(whole, least, typed[field])
            meant[field] = np.where(whole, 0.0, typed[field])
        elif field == "mesh_count":
            counted = is_count(size)
            own[field] = meant[field] = np.where(counted, 0.0, typed[field])
            near = np.minimum(typed[field], WHOLE_COUNT_LEEWAY * size)
            nearest[field] = np.where(counted, near, typed[field])
        elif field == "open_area":
            own[field] = nearest[field] = typed[field] + OPEN_AREA_LEEWAY
    return Stated(values, typed, meant, own, nearest)


def _is_multiple(values: FloatArray, step: float) -> BoolArray:
    steps = values / step
    whole: BoolArray = (np.abs(steps - np.round(steps)) <= DUST * np.abs(steps)) & (steps > 0)
    return whole


def is_whole_count(count_per_m: FloatArray) -> BoolArray:
    """Mask of counts that are whole per inch or per centimetre: counted, not measured."""
    return _is_multiple(count_per_m, 1.0 / METRES_PER_INCH) | _is_multiple(
        count_per_m, 1.0 / _CENTIMETRE_M
    )


def is_count(count_per_m: FloatArray) -> BoolArray:
    """Mask of counts in whole quarters per inch or per centimetre, which mean themselves."""
    return _is_multiple(count_per_m, _COUNT_STEP / METRES_PER_INCH) | _is_multiple(
        count_per_m, _COUNT_STEP / _CENTIMETRE_M
    )


def half_widths(column: QuantityColumn) -> FloatArray:
    """Half of the last digit typed, in SI.

    A column of bare numbers has no typed digits; the shortest decimal that reads back as the
    number stands for them.
    """
    unknown = np.isnan(column.half_width) & ~np.isnan(column.values)
    if not unknown.any():
        return column.half_width
    half = column.half_width.copy()
    numbers = column.texts[unknown].astype(np.float64)
    half[unknown] = 0.5 * decimal_step(numbers) * (column.values[unknown] / numbers)
    return half


def decimal_step(numbers: FloatArray) -> FloatArray:
    """Return the value of the last digit of the shortest decimal that reads back as each number.

    A whole number's is 1, whatever zeros it ends in. Past `MOST_DECIMALS`, or 15 digits in all, it
    is taken as 0.

    Examples
    --------
    >>> decimal_step(np.array([0.075, 10.0, 2.5e-05])).tolist()
    [0.001, 1.0, 1e-06]
    """
    step = np.zeros(numbers.shape)
    open_rows = np.arange(numbers.size)
    for places in range(MOST_DECIMALS + 1):
        # Both the rounded product and the power of ten are whole, so their quotient is the
        # double nearest to that decimal: equal to the number only if it is that decimal.
        scale = 10.0**places
        left = numbers[open_rows]
        found = np.round(left * scale) / scale == left
        step[open_rows[found]] = 1.0 / scale
        open_rows = open_rows[~found]
        if not open_rows.size:
            break
    return step
