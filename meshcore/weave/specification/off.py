"""How far sizes are off those typed, and how far their rounding leaves the mass open."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.weave.specification.pairs import NOMINAL_PAIRS, Sizes, corners_of, physical
from meshcore.weave.specification.stated import Stated

#: Relative change from the size typed to the size used that is put up for review, though the typed
#: digits allow it. A choice, no source: 2 % of the wire is 4 % of the mass.
WORTH_A_LOOK = 0.02
#: The same of an open area, in shares of the cloth: its per cent are mostly whole. A choice.
OPEN_AREA_WORTH_A_LOOK = 0.01


def well_off(sizes: Sizes, values: Mapping[str, FloatArray]) -> BoolArray:
    """Lines of which any size used is well off the one typed, though its rounding allows it."""
    off = np.zeros(sizes.pitch.shape, dtype=np.bool_)
    for field, value in values.items():
        off |= size_off(field, sizes, value)
    return off


def size_off(field: str, sizes: Sizes, value: FloatArray) -> BoolArray:
    """Lines of which one size used is well off the one typed."""
    used = sizes.of(field)
    if field == "open_area":
        area_off: BoolArray = np.abs(used - value) > OPEN_AREA_WORTH_A_LOOK
        return area_off
    off: BoolArray = np.abs(used / value - 1.0) > WORTH_A_LOOK
    return off


def area_told(typed: Sizes, named: Sizes, said: Stated) -> BoolArray:
    """Lines whose open area, typed to decimals, the typed sizes give and the named do not."""
    if "open_area" not in said.values:
        return np.zeros(typed.pitch.shape, dtype=np.bool_)
    area, half = said.values["open_area"], said.typed["open_area"]
    told: BoolArray = (half < _TO_DECIMALS) & (np.abs(typed.open_area - area) <= half)
    return told & (np.abs(named.open_area - area) > half)


#: Half of the last digit of an open area that was typed to decimals of a per cent is less [-].
_TO_DECIMALS = 0.004


def mass_uncertainty(sizes: Sizes, low: Sizes, high: Sizes) -> FloatArray:
    """Relative uncertainty of d²/p; infinite where the pair gives no cloth."""
    wire = (high.wire_diameter - low.wire_diameter) / sizes.wire_diameter
    pitch = (high.pitch - low.pitch) / sizes.pitch
    return np.where(physical(sizes), 2.0 * wire + pitch, np.inf)


def mass_spread(
    basis: tuple[str, str],
    values: Mapping[str, FloatArray],
    halves: Mapping[str, FloatArray],
    sizes: Sizes,
) -> tuple[FloatArray, FloatArray]:
    """Least and greatest of d²/p over the rounding of a pair, as shares of its value."""
    if basis in NOMINAL_PAIRS:
        one = np.ones(sizes.pitch.shape)
        return one, one
    mass = np.stack(
        [
            np.where(physical(c), np.square(c.wire_diameter) / c.pitch, 0.0)
            for c in corners_of(basis, values, halves)
        ]
    )
    nominal = np.square(sizes.wire_diameter) / sizes.pitch
    return mass.min(axis=0) / nominal, mass.max(axis=0) / nominal
