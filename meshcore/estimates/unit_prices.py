"""Prices of a line by the unit that a buyer thinks in: roll, metre, area, mass or piece."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.costing.delivered import delivered
from meshcore.costing.money import from_minor, to_minor
from meshcore.estimates.results import EstimateSet


def unit_prices(estimates: EstimateSet, unit: str) -> FloatArray:
    """Return the price of each line by a unit, rounded half-up to the minor unit.

    Parameters
    ----------
    estimates
        The priced list.
    unit
        One of ``meshcore.costing.delivered.UNITS``.

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
    [893.25, 24.04, 2.23]
    """
    ledger = estimates.ledger
    amount = delivered(estimates.orders, unit)
    prices = np.full(len(estimates), np.nan)
    counted = (amount > 0.0) & ledger.priced & ~estimates.log.refused()
    each = ledger.price[counted] / amount[counted]
    prices[counted] = from_minor(to_minor(each, ledger.digits), ledger.digits)
    return prices
