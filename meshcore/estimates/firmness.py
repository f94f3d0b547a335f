"""How firm a price is, and its range from everything that is still open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.costing import ranges
from meshcore.costing.ranges import Uncertainty
from meshcore.enquiry import ROLL
from meshcore.estimates.lines import line_of, lines_of
from meshcore.estimates.reasons import budget_range
from meshcore.estimates.results import Estimate, EstimateSet

#: Messages that leave a rate itself open, by code.
_RATES_OPEN = (
    "book.none_named", "book.rate_too_old", "book.rate_not_in_force", "book.date_to_come",
    "book.rate_absent", "book.rate_zero", "price.rule_set_aside",
)  # fmt: skip
#: Mass that sizes may leave open before a price is no longer firm, as a share; a judgement.
_MASS_OPEN = 0.02


@dataclass(frozen=True, slots=True)
class BudgetClass:
    """How firm a price is.

    Parameters
    ----------
    name
        ``firm``, ``budget``, ``rough`` or ``none``.
    why
        What is still open; empty where it is firm.
    """

    name: str
    why: str


def budget_class(estimates: EstimateSet | Estimate, line: int = 0) -> BudgetClass:
    """Say how firm the price of a line is, from what is still open.

    Parameters
    ----------
    estimates, line
        The priced list and a line of it, or one line.

    Notes
    -----
    ``rough``: rates are missing, too old or not the mill's own. ``budget``: the rates stand, and
    something of the line is to be looked at or its sizes leave more than 2 % of the mass open.
    ``firm``: neither. ``none``: it has no price.
    """
    held, row = line_of(estimates, line)
    said = held.messages.get(row, [])
    if not held.ledger.priced[row] or held.log.refused()[row]:
        return BudgetClass("none", "the line has no price")
    rates = [m for m in said if m.code in _RATES_OPEN and m.severity == "review"]
    if rates:
        return BudgetClass("rough", "; ".join(dict.fromkeys(str(m.text) for m in rates)))
    open_points = [str(m) for m in said if m.severity == "review"]
    low, high = (float(share[row]) for share in held.mass_open)
    if max(high - 1.0, 1.0 - low) > _MASS_OPEN:
        open_points.append(
            f"the sizes leave {low - 1.0:+.0%} to {high - 1.0:+.0%} of the mass open"
        )
    return BudgetClass("budget" if open_points else "firm", "; ".join(open_points))


@dataclass(frozen=True, slots=True)
class CombinedRange:
    """Range of the bill of an order: what is uncertain in the rates, and in the delivery.

    Parameters
    ----------
    budget
        Nine in ten and one in ten of the price at nominal size.
    delivery
        What would be billed at the delivery tolerances, rates as they are.
    both
        One in ten, half, and nine in ten of the bill with both.
    currency
        Of the amounts.
    """

    budget: tuple[float, float]
    delivery: tuple[float, float]
    both: tuple[float, float, float]
    currency: str


def combined_range(
    estimates: EstimateSet | Estimate,
    lines: Sequence[int] = (0,),
    uncertainties: Sequence[Uncertainty] | None = None,
    *,
    draws: int = ranges.DRAWS,
    seed: int = ranges.SEED,
) -> CombinedRange:
    """Combine the budget range with the delivery tolerances.

    Parameters
    ----------
    estimates, lines, uncertainties, draws, seed
        As for `meshcore.estimates.reasons.budget_range`.

    Raises
    ------
    ValueError
        As there.

    Notes
    -----
    Rolls are billed by the length delivered, which is drawn evenly between its tolerances and by
    itself; all rolls of the order come out alike, which is the wider case. Strips and pieces are
    billed by number. The rates are drawn as in the budget range.
    """
    held, rows = lines_of(estimates, lines)
    drawn = budget_range(held, rows, uncertainties, draws=draws, seed=seed)
    priced = [row for row in rows if held.ledger.priced[row]]
    digits = 10.0**held.ledger.digits
    ends = (held.price_low_minor, held.price_high_minor)
    low, high = (float(minor[priced].sum()) / digits for minor in ends)
    nominal = float(held.ledger.price_minor[priced].sum()) / digits
    by_length = np.asarray(held.orders.form)[priced] == ROLL
    random = np.random.default_rng(seed + 1)
    share = random.uniform(low / nominal, high / nominal, draws) if by_length.any() else 1.0
    p10, p50, p90 = np.quantile(drawn.prices * share, (0.10, 0.50, 0.90)).tolist()
    return CombinedRange((drawn.p10, drawn.p90), (low, high), (p10, p50, p90), drawn.currency)
