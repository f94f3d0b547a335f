"""Whether three or more given sizes agree within their rounding, and which two fix the rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.units import METRES_PER_INCH
from meshcore.weave.specification.pairs import BASES, Sizes, physical, solve

if TYPE_CHECKING:
    from meshcore.reading.columns import QuantityColumn

#: Relative difference that is only the arithmetic's own rounding.
DUST = 1e-9
#: How far from the cloth's own count a whole count may be and still stand for it: 12.33 per inch
#: is sold as 12 mesh. Common practice, no source; further off it would be called another mesh.
WHOLE_COUNT_LEEWAY = 0.03
#: A later pair in `BASES` is preferred only if its uncertainty is below this share of the earlier
#: one's: one digit more is a tenth, while sizes of like digits differ by mere circumstance.
CLEARLY_BETTER = 0.5
#: Decimals that a bare number is searched for; beyond these nobody typed it.
MOST_DECIMALS = 12
_CENTIMETRE_M = 0.01


@dataclass(frozen=True, slots=True)
class Agreement:
    """What three or more sizes say together, one row a line.

    Parameters
    ----------
    sizes
        By the best-determined pair.
    basis
        Index into ``BASES`` of that pair.
    agrees
        Lines whose other sizes agree with it within rounding.
    rounded_count
        Lines that agree only if their whole mesh count was rounded; the count is not used there.
    """

    sizes: Sizes
    basis: IntArray
    agrees: BoolArray
    rounded_count: BoolArray


def agree(columns: Mapping[str, QuantityColumn]) -> Agreement:
    """Find the best-determined pair of each line and check the other sizes against it.

    Parameters
    ----------
    columns
        Three or more fields, given in every line.

    Returns
    -------
    The agreement, line for line.
    """
    values = {field: column.values for field, column in columns.items()}
    halves = {field: half_widths(column) for field, column in columns.items()}
    if "mesh_count" not in columns:
        return _best(values, halves)
    typed = halves["mesh_count"]
    whole = is_whole_count(values["mesh_count"])
    exact = _best(values, halves | {"mesh_count": np.where(whole, 0.0, typed)})
    retry = whole & ~exact.agrees
    rest = tuple(field for field in columns if field != "mesh_count")
    if not retry.any() or not _bases(rest):
        return exact
    without = _best({f: values[f] for f in rest}, {f: halves[f] for f in rest})
    counted = values["mesh_count"]
    leeway = np.minimum(typed, WHOLE_COUNT_LEEWAY * counted)
    near = np.abs(without.sizes.of("mesh_count") - counted) <= leeway * (1.0 + DUST)
    rounded = retry & without.agrees & near
    sizes = Sizes(
        *(np.where(rounded, a, b) for a, b in zip(without.sizes, exact.sizes, strict=True))
    )
    basis = np.where(rounded, without.basis, exact.basis)
    return Agreement(sizes, basis, exact.agrees | rounded, rounded)


def _bases(fields: tuple[str, ...]) -> list[tuple[str, str]]:
    return [basis for basis in BASES if set(basis) <= set(fields)]


def is_whole_count(count_per_m: FloatArray) -> BoolArray:
    """Mask of counts that are whole per inch or per centimetre: counted, not measured."""
    whole = np.zeros(count_per_m.shape, dtype=np.bool_)
    for unit_m in (METRES_PER_INCH, _CENTIMETRE_M):
        count = count_per_m * unit_m
        whole |= np.abs(count - np.round(count)) <= DUST * np.abs(count)
    return whole


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


def _best(values: Mapping[str, FloatArray], halves: Mapping[str, FloatArray]) -> Agreement:
    """Take the pair that clearly fixes d²/p best, and check the others against its range.

    Where a wire was typed it is the wire that is drawn: no pair may move it.
    """
    bases = _bases(tuple(values))
    bases = [basis for basis in bases if "wire_diameter" in basis] or bases
    best: Agreement | None = None
    least: FloatArray = np.array(np.inf)
    for basis in bases:
        sizes = solve(basis, values)
        low, high = _range(basis, values, halves)
        score = _mass_uncertainty(sizes, low, high)
        agrees = _others_agree(basis, values, halves, low, high)
        code = np.int64(BASES.index(basis))
        if best is None:
            nowhere = np.zeros(score.shape, dtype=np.bool_)
            best = Agreement(sizes, np.full(score.shape, code), agrees, nowhere)
            least = score
            continue
        better = score < CLEARLY_BETTER * least
        least = np.where(better, score, least)
        best = Agreement(
            Sizes(*(np.where(better, a, b) for a, b in zip(sizes, best.sizes, strict=True))),
            np.where(better, code, best.basis),
            np.where(better, agrees, best.agrees),
            best.rounded_count,
        )
    if best is None:
        raise ValueError(f"no pair among {', '.join(values)} fixes the sizes")
    return best


def _range(
    basis: tuple[str, str], values: Mapping[str, FloatArray], halves: Mapping[str, FloatArray]
) -> tuple[Sizes, Sizes]:
    """Least and greatest sizes over the rounding of a pair; they lie at its corners."""
    corners = [
        solve(
            basis,
            {f: values[f] + sign * halves[f] for f, sign in zip(basis, signs, strict=True)},
        )
        for signs in product((-1.0, 1.0), repeat=2)
    ]
    low = Sizes(*(np.minimum.reduce(sizes) for sizes in zip(*corners, strict=True)))
    high = Sizes(*(np.maximum.reduce(sizes) for sizes in zip(*corners, strict=True)))
    return low, high


def _mass_uncertainty(sizes: Sizes, low: Sizes, high: Sizes) -> FloatArray:
    """Relative uncertainty of d²/p; infinite where the pair gives no cloth."""
    wire = (high.wire_diameter - low.wire_diameter) / sizes.wire_diameter
    pitch = (high.pitch - low.pitch) / sizes.pitch
    return np.where(physical(sizes), 2.0 * wire + pitch, np.inf)


def _others_agree(
    basis: tuple[str, str],
    values: Mapping[str, FloatArray],
    halves: Mapping[str, FloatArray],
    low: Sizes,
    high: Sizes,
) -> BoolArray:
    agrees = np.ones(low.pitch.shape, dtype=np.bool_)
    for field in values.keys() - set(basis):
        least, greatest = low.of(field), high.of(field)
        if field == "mesh_count":
            least, greatest = greatest, least
        # Relative to the pitch where lengths are concerned: a small wire is a difference of two.
        dust = DUST * (low.pitch if field in _LENGTHS else values[field])
        agrees &= least - halves[field] - dust <= values[field]
        agrees &= values[field] <= greatest + halves[field] + dust
    return agrees


_LENGTHS = frozenset({"pitch", "aperture", "wire_diameter"})
