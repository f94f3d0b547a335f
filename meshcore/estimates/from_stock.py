"""Lines taken from cloth on hand, and what is said of them."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray
from meshcore.costing.order_columns import OrderColumns
from meshcore.enquiry import ROLL
from meshcore.messages import Message, MessageLog
from meshcore.supply.cutting import PlannedSupply
from meshcore.supply.on_hand import on_hand_of, taken_from_stock
from meshcore.supply.policy import SupplyPolicy
from meshcore.weave.cloth import ClothColumns


def from_stock(
    policy: SupplyPolicy, cloth: ClothColumns, planned: PlannedSupply, standing: BoolArray
) -> BoolArray | None:
    """Return the lines that are taken from stock; None where the policy has none on hand.

    Lines that a plan cuts from several widths are woven to order.
    """
    if not policy.on_hand:
        return None
    supply = planned.supply
    return taken_from_stock(
        policy.on_hand, cloth, supply.stock_width_m, supply.run_length_m, standing
    )


def say_from_stock(orders: OrderColumns, policy: SupplyPolicy, log: MessageLog) -> None:
    """Say of each line whose cloth is on hand whether it is taken from there."""
    if orders.from_stock is None:
        return
    standing = ~log.refused()
    for one, same in zip(policy.on_hand, on_hand_of(policy.on_hand, orders.cloth), strict=True):
        there = f"{one.length_m:g} m of it on hand, {one.width_m * 1e3:g} mm wide"
        for row in np.flatnonzero(same & standing).tolist():
            needed, width = float(orders.run_length_m[row]), float(orders.stock_width_m[row]) * 1e3
            if orders.from_stock[row]:
                asked = float(orders.cloth.width_m[row]) * 1e3
                is_wider = orders.form[row] == ROLL and width > asked * (
                    1.0 + policy.rolls.width_over
                )
                trimmed = f" trimmed to {asked:g} mm," if is_wider else ""
                text = f"taken from stock, {there},{trimmed} so it bears no warp set-up."
            else:
                text = (
                    f"woven to order though there are {there}: the line takes {needed:.2f} m of "
                    f"{width:g} mm, which is not left there, or is cheaper so."
                )
            said = Message("alloy", one.alloy, text, "note", code="supply.on_hand")
            log.add([row], said)
