"""Prices of a line by the unit that a buyer thinks in: roll, metre, area, mass or piece."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.costing.money import from_minor, to_minor
from meshcore.enquiry import PIECE, ROLL
from meshcore.estimates.results import EstimateSet
from meshcore.units import METRES_PER_FOOT


def _metres(estimates: EstimateSet) -> FloatArray:
    """Length delivered [m]: of rolls and strips; pieces are not sold by it."""
    width = estimates.orders.cloth.width_m
    with np.errstate(invalid="ignore", divide="ignore"):
        length = estimates.supply.net_area_m2 / width
    return np.where((estimates.orders.form == PIECE) | ~np.isfinite(length), 0.0, length)


#: Unit → how many of it a line delivers; zero where it delivers none that are so counted.
_DELIVERED: dict[str, Callable[[EstimateSet], FloatArray]] = {
    "roll": lambda e: np.where(e.orders.form == ROLL, e.orders.quantity, 0.0),
    "m": _metres,
    "ft": lambda e: _metres(e) / METRES_PER_FOOT,
    "m2": lambda e: e.supply.net_area_m2,
    "ft2": lambda e: e.supply.net_area_m2 / METRES_PER_FOOT**2,
    "kg": lambda e: e.orders.net_mass_kg,
    "piece": lambda e: np.where(e.orders.form == ROLL, 0.0, e.orders.quantity),
}
#: Units that a price can be asked by.
UNITS: tuple[str, ...] = tuple(_DELIVERED)


def delivered(estimates: EstimateSet, unit: str) -> FloatArray:
    """Return how many of a unit each line delivers; zero where it is not counted so.

    Raises
    ------
    ValueError
        If no line is counted by such a unit.
    """
    if unit not in _DELIVERED:
        raise ValueError(f'no price is made by "{unit}"; there are {", ".join(UNITS)}.')
    return _DELIVERED[unit](estimates)


def unit_prices(estimates: EstimateSet, unit: str) -> FloatArray:
    """Return the price of each line by a unit, rounded half-up to the minor unit.

    Parameters
    ----------
    estimates
        The priced list.
    unit
        One of ``UNITS``.

    Returns
    -------
    In the currency of the list; NaN where the line has no price, or is not counted so.

    Raises
    ------
    ValueError
        If no line is priced by such a unit.

    Examples
    --------
    Three rolls of 48 in by 100 ft are 111.48 m², or 1,200 ft².

    >>> import meshcore as mc
    >>> one = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    ...     form=mc.Roll("48 in", "100 ft"), quantity=3), mc.demo_price_book())
    >>> [float(unit_prices(one.estimates, unit)[0]) for unit in ("roll", "m2", "ft2")]
    [833.05, 22.42, 2.08]
    """
    ledger = estimates.ledger
    amount = delivered(estimates, unit)
    prices = np.full(len(estimates), np.nan)
    counted = (amount > 0.0) & ledger.priced & ~estimates.log.refused()
    each = ledger.price[counted] / amount[counted]
    prices[counted] = from_minor(to_minor(each, ledger.digits), ledger.digits)
    return prices
