"""Range and drivers of an estimate as text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from meshcore.costing.money import minor_digits, money_text
from meshcore.estimates.firmness import budget_class, combined_range
from meshcore.estimates.reasons import budget_range, tornado

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.estimates.results import EstimateSet

_ENDS = ("price_low", "price_high")


def range_text(estimates: EstimateSet) -> str:
    """Write the budget range of one line and what moves its price most."""
    if not estimates.ledger.priced[0]:
        return "There is no price, so it has no range."
    currency, digits = estimates.book.currency, minor_digits(estimates.book.currency)
    budget = budget_range(estimates)
    both, firm = combined_range(estimates), budget_class(estimates)
    drawn = ", ".join(f"{u.driver} ±{u.spread:.0%}" for u in budget.uncertainties)
    rows = [
        f"Budget range over {len(budget.prices):,} draws (seed {budget.seed}; {drawn}):",
        f"  one in ten below {money_text(budget.p10, currency)}",
        f"  half below       {money_text(budget.p50, currency)}",
        f"  nine in ten below {money_text(budget.p90, currency)}",
        f"Delivery tolerances alone: {_span(both.delivery, currency)}; with the budget range: "
        f"one in ten below {money_text(both.both[0], currency)}, nine in ten below "
        f"{money_text(both.both[2], currency)}.",
        f"Budget class: {firm.name}{f' ({firm.why})' if firm.why else ''}.",
        "Price if one input moves by 10 %:",
        *_moved(tornado(estimates), digits),
        "Price if one input is off by its own uncertainty:",
        *_moved(tornado(estimates, own=True), digits),
    ]
    return "\n".join(rows)


def _moved(drivers: pd.DataFrame, digits: int) -> list[str]:
    return [
        f"  {driver['driver']:<40}"
        + "".join(f"{money_text(driver[end], digits=digits):>14}" for end in _ENDS)
        for driver in drivers.to_dict("records")
    ]


def _span(ends: tuple[float, float], currency: str) -> str:
    return " to ".join(money_text(end, currency) for end in ends)
