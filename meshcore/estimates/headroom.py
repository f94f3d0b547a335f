"""What planning the cutting further might save, at most."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from meshcore.costing.money import from_minor, money_text
from meshcore.enquiry import ROLL
from meshcore.estimates.results import EstimateSet

#: Stages whose amounts go with the cloth consumed; the set-up of a warp among them does not.
_OF_THE_CLOTH = ("wire", "weaving")


@dataclass(frozen=True, slots=True)
class Headroom:
    """How much cheaper strips and pieces could be cut, at most.

    Parameters
    ----------
    delivered
        Share of the cloth of strips and pieces that is delivered [-].
    cost
        Cost of the cloth that no plan could save more of, in `currency`.
    currency
        Of the list.
    planned
        Whether all of them are planned already.
    """

    delivered: float
    cost: float
    currency: str
    planned: bool


def planning_headroom(estimates: EstimateSet) -> Headroom | None:
    """Return what planning further might save; None where nothing is cut.

    Notes
    -----
    No layout consumes less cloth than it delivers; and no plan of a group less than its own bound
    says. The cost is that of metal and loom hours of the difference: packing, margin and the like
    are not counted, nor a warp that would be saved.
    """
    orders, supply = estimates.orders, estimates.supply
    cut = estimates.totalled & (orders.form != ROLL) & np.isfinite(supply.gross_area_m2)
    if not cut.any():
        return None
    open_share = np.where(cut, 1.0 - supply.net_area_m2 / supply.gross_area_m2, 0.0)
    in_plans = np.zeros(len(estimates), dtype=np.bool_)
    for plan in estimates.plans:
        gap = plan.layout.gap / (1.0 + plan.layout.gap)
        open_share[plan.rows] = np.minimum(open_share[plan.rows], gap)
        in_plans[plan.rows] = True
    minor = np.zeros(len(estimates))
    for item in estimates.ledger.items:
        if item.stage in _OF_THE_CLOTH and item.per == "line":
            minor += item.minor
    cost = from_minor(np.array([float((minor * np.maximum(open_share, 0.0))[cut].sum())]),
                      estimates.ledger.digits)  # fmt: skip
    delivered = float(supply.net_area_m2[cut].sum() / supply.gross_area_m2[cut].sum())
    return Headroom(delivered, float(cost[0]), estimates.ledger.currency, bool(in_plans[cut].all()))


def headroom_text(estimates: EstimateSet) -> str:
    """Say it in a sentence; empty where nothing is cut."""
    found = planning_headroom(estimates)
    if found is None:
        return ""
    amount = money_text(found.cost, found.currency)
    by = "planning longer (--plan)" if found.planned else "planning the cutting (--plan)"
    return (
        f"Strips and pieces: {found.delivered:.1%} of their cloth is delivered; {by} saves no more "
        f"than {amount} of metal and weaving."
    )
