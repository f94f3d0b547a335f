"""What each line delivers, by the units that a buyer thinks in: roll, metre, area, mass, piece."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.costing.order_columns import OrderColumns
from meshcore.enquiry import PIECE, ROLL
from meshcore.units import METRES_PER_FOOT


def _metres(columns: OrderColumns) -> FloatArray:
    """Length delivered [m]: of rolls and strips; pieces are not sold by it."""
    with np.errstate(invalid="ignore", divide="ignore"):
        length = columns.net_area_m2 / columns.cloth.width_m
    return np.where((columns.form == PIECE) | ~np.isfinite(length), 0.0, length)


#: Unit → how many of it a line delivers; zero where it delivers none that are so counted.
_DELIVERED: dict[str, Callable[[OrderColumns], FloatArray]] = {
    "roll": lambda c: np.where(c.form == ROLL, c.quantity, 0.0),
    "m": _metres,
    "ft": lambda c: _metres(c) / METRES_PER_FOOT,
    "m2": lambda c: c.net_area_m2,
    "ft2": lambda c: c.net_area_m2 / METRES_PER_FOOT**2,
    "kg": lambda c: c.net_mass_kg,
    "piece": lambda c: np.where(c.form == ROLL, 0.0, c.quantity),
}
#: Units that a price can be asked by.
UNITS: tuple[str, ...] = tuple(_DELIVERED)


def delivered(columns: OrderColumns, unit: str) -> FloatArray:
    """Return how many of a unit each line delivers; zero where it is not counted so.

    Raises
    ------
    ValueError
        If no line is counted by such a unit.
    """
    if unit not in _DELIVERED:
        raise ValueError(f'no price is made by "{unit}"; there are {", ".join(UNITS)}.')
    return _DELIVERED[unit](columns)
