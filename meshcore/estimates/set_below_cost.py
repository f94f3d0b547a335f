"""Says of a line whose price is set that it does not bear its cost."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from meshcore.arrays import FloatArray, ObjectArray
from meshcore.costing.ledger import Ledger
from meshcore.costing.money import from_minor, money_text
from meshcore.costing.set_prices import read_set_prices
from meshcore.enquiry import SET_PRICE
from meshcore.messages import Message, MessageLog


def say_below_cost(
    own: Mapping[str, ObjectArray | FloatArray], ledger: Ledger, log: MessageLog
) -> None:
    """Put lines to review whose price, or margin, is set below the cost."""
    if SET_PRICE not in own:
        return
    held = read_set_prices(own, len(ledger.priced), ledger.currency, ledger.digits)
    is_set = np.isfinite(held.price) | np.isfinite(held.margin)
    below = ledger.priced & is_set & (ledger.before_tax_minor < ledger.cost_minor)
    short = from_minor(ledger.cost_minor - ledger.before_tax_minor, ledger.digits)
    for row in np.flatnonzero(below).tolist():
        amount = money_text(float(short[row]), ledger.currency, ledger.digits)
        text = f"set {amount} below the cost. Set more, or none, unless that is meant."
        where = np.arange(len(below)) == row
        read = str(own[SET_PRICE][row]).strip()
        log.add(where, Message(SET_PRICE, read, text, "review", code="price.set_below_cost"))
