"""How closely each size was stated: the rounding of its digits, and sizes that mean themselves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.rounding import SLACK
from meshcore.units import METRES_PER_INCH
from meshcore.weave.specification.series import (
    customary_wires,
    nearest_of,
    standard_apertures,
    standard_wires,
)

if TYPE_CHECKING:
    from meshcore.reading.columns import QuantityColumn

#: How far from the cloth's own count a whole count may be and still stand for it: 12.33 per inch
#: is sold as 12 mesh. Common practice, no source; further off it would be called another mesh.
WHOLE_COUNT_LEEWAY = 0.03
#: A whole millimetre is a nominal size and not a measurement to the millimetre: "2 mm" is 2.00 mm,
#: and nobody calls 1.9 mm so. Half a per cent either way; common practice, no source.
WHOLE_MILLIMETRE_LEEWAY = 0.005
#: A size this near to a standard one is called by it [-]: 0.254 mm by 0.25, 35.6 µm by 36. Common
#: practice, no source.
STANDARD_LEEWAY = 0.02
#: However few digits were typed, cloth whose size is further off than this is another cloth [-]: a
#: choice, no source.
MOST_LEEWAY = 0.05
#: Printed tables reckon the open area from rounded apertures, so it is off by up to this [-]:
#: 0.84 per cent points at 14 mesh of the market grade (ASTM E2016, from memory).
OPEN_AREA_LEEWAY = 0.0085
#: Coarse counts are woven to the half wire per inch or per cm, up to this count per inch; common
#: practice, no source.
_COUNT_STEP, _HALVES_BELOW = 0.5, 10.0
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
        How far the size that is meant may be from the one typed: 0 for a count, for a whole
        millimetre, an aperture of ISO 565 and a wire of R20, which mean themselves; half of the
        last digit for the rest.
    range
        The same, but a wire has the rounding by which it may be called so.
    own
        How far a size reckoned from the others may be from the one typed: its rounding, but a
        count is exact, and a whole millimetre and an open area have their own leeway.
    nearest
        How far a cloth of a series may be from the size typed and still be called so.
    counted
        Lines whose mesh count is whole, and was not typed to decimals: counted, not measured.
    """

    values: Mapping[str, FloatArray]
    typed: Mapping[str, FloatArray]
    meant: Mapping[str, FloatArray]
    range: Mapping[str, FloatArray]
    own: Mapping[str, FloatArray]
    nearest: Mapping[str, FloatArray]
    counted: BoolArray


def stated(columns: Mapping[str, QuantityColumn]) -> Stated:
    """Tell how closely each size of some lines was stated."""
    values = {field: column.values for field, column in columns.items()}
    typed = {field: half_widths(column) for field, column in columns.items()}
    meant, own, nearest = dict(typed), dict(typed), dict(typed)
    counted = np.zeros(len(next(iter(values.values()))), dtype=np.bool_)
    wholes = {f: _is_multiple(v, _MILLIMETRE_M) for f, v in values.items() if f in _LENGTHS}
    for field, size in values.items():
        digits = typed[field]
        if field in _LENGTHS:
            standard = is_standard(field, size)
            called_so = np.where(standard, np.minimum(digits, STANDARD_LEEWAY * size), digits)
            whole = np.minimum(digits, WHOLE_MILLIMETRE_LEEWAY * size)
            own[field] = np.where(wholes[field], whole, called_so)
            nearest[field] = np.minimum(own[field], MOST_LEEWAY * size)
            meant[field] = np.where(_means_itself(field, size, wholes, standard), 0.0, digits)
        elif field == "mesh_count":
            counted = is_whole_count(size) & (digits > _MEASURED_TO / METRES_PER_INCH)
            by_count = counted | _is_half_count(size, digits)
            own[field] = meant[field] = np.where(by_count, 0.0, digits)
            near = np.minimum(_count_digit(size, digits, values), WHOLE_COUNT_LEEWAY * size)
            nearest[field] = np.where(by_count, near, digits)
        else:
            own[field] = nearest[field] = digits + OPEN_AREA_LEEWAY
    ranges = meant | {f: nearest[f] for f in ("wire_diameter",) if f in nearest}
    return Stated(values, typed, meant, ranges, own, nearest, counted)


#: Half of the last digit [1/in]: of a whole count it is more than the first, per cm too; of a count
#: typed to one decimal it is between the two.
_MEASURED_TO, _TO_ONE_DECIMAL = 0.3, 0.04


def _count_digit(
    sizes: FloatArray, digits: FloatArray, values: Mapping[str, FloatArray]
) -> FloatArray:
    """Half of the digit that a whole count is rounded to: of fine sieve cloth, tens or fives.

    Beside its aperture and wire, "100 mesh" is the name of 150 µm with 100 µm, which has 101.6.
    """
    if not {"aperture", "wire_diameter"} <= values.keys():
        return digits
    half = digits
    for step in (_FIVES, _TENS):
        rounded = _is_multiple(sizes, step / METRES_PER_INCH) & (sizes > _FINE / METRES_PER_INCH)
        half = np.where(rounded, 0.5 * step / METRES_PER_INCH, half)
    return half


#: Counts per inch above this are called by whole tens or fives (common practice, no source).
_FINE, _FIVES, _TENS = 30.0, 5.0, 10.0


def _means_itself(
    field: str, sizes: FloatArray, wholes: Mapping[str, BoolArray], standard: BoolArray
) -> BoolArray:
    """Sizes that are nominal; a pitch without decimals beside an aperture with them is rounded."""
    if field == "pitch":
        return wholes["pitch"] & wholes.get("aperture", np.True_)
    return wholes[field] | standard | is_customary_wire(field, sizes)


def is_standard(field: str, sizes: FloatArray) -> BoolArray:
    """Mask of apertures of ISO 565 and wires of R20; a pitch is none of either."""
    if field == "pitch":
        return np.zeros(sizes.shape, dtype=np.bool_)
    return _is_among(sizes, standard_apertures() if field == "aperture" else standard_wires())


def is_customary_wire(field: str, sizes: FloatArray) -> BoolArray:
    """Mask of wires of the inch series."""
    if field != "wire_diameter":
        return np.zeros(sizes.shape, dtype=np.bool_)
    return _is_among(sizes, customary_wires())


def _is_among(sizes: FloatArray, known: FloatArray) -> BoolArray:
    same: BoolArray = np.abs(nearest_of(known, sizes) - sizes) <= _SAME_SIZE * sizes
    return same


#: Standard sizes are typed to four digits at most [-].
_SAME_SIZE = 1e-4


def _is_multiple(values: FloatArray, step: float) -> BoolArray:
    steps = values / step
    whole: BoolArray = (np.abs(steps - np.round(steps)) <= SLACK * np.abs(steps)) & (steps > 0)
    return whole


def is_whole_count(count_per_m: FloatArray) -> BoolArray:
    """Mask of counts that are whole per inch or per centimetre: counted, not measured."""
    return _is_multiple(count_per_m, 1.0 / METRES_PER_INCH) | _is_multiple(
        count_per_m, 1.0 / _CENTIMETRE_M
    )


def _is_half_count(count_per_m: FloatArray, digits: FloatArray) -> BoolArray:
    """Mask of coarse counts in halves per inch or per centimetre, which are woven so."""
    halves = _is_multiple(count_per_m, _COUNT_STEP / METRES_PER_INCH) | _is_multiple(
        count_per_m, _COUNT_STEP / _CENTIMETRE_M
    )
    coarse = count_per_m < _HALVES_BELOW / METRES_PER_INCH
    to_one_decimal = digits > _TO_ONE_DECIMAL / METRES_PER_INCH
    half: BoolArray = halves & ~is_whole_count(count_per_m) & coarse & to_one_decimal
    return half


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
        exact = np.round(left * scale) / scale == left
        step[open_rows[exact]] = 1.0 / scale
        open_rows = open_rows[~exact]
        if not open_rows.size:
            break
    return step
