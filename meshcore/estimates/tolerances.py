"""Prices at the delivery tolerances: what would be billed for rolls as short or long as allowed."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.costing.ledger import Ledger
from meshcore.costing.money import to_minor
from meshcore.costing.order_columns import OrderColumns
from meshcore.enquiry import ROLL


def billed_minor(ledger: Ledger, orders: OrderColumns, length_ratio: FloatArray) -> FloatArray:
    """Return what each line would be billed at if each roll came out `length_ratio` long.

    Returns
    -------
    Minor units of the currency; zero where the line has no price.

    Notes
    -----
    A line's rolls are billed by their lengths at the price quoted, and their sum is rounded once,
    as `meshcore.register.billing.bill` does; the cloth is the same, so nothing else of the price
    changes. Strips and pieces are billed by number, whatever their tolerances.
    """
    billed = ledger.price_minor.copy()
    rolls = np.flatnonzero((orders.form == ROLL) & ledger.priced)
    billed[rolls] = to_minor(ledger.price[rolls] * length_ratio[rolls], ledger.digits)
    return billed
