"""Why an estimate is what it is: its arithmetic, its range, what drives it, what would change it.

Each function looks at lines of a priced list and prices variants of them through the same
pipeline.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from meshcore import plugins
from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.costing import ranges
from meshcore.costing.comparison import compare_lines
from meshcore.costing.items import PricingRule
from meshcore.costing.order_columns import OrderColumns, take_lines
from meshcore.costing.ranges import BudgetRange, Uncertainty
from meshcore.costing.set_prices import without_amounts
from meshcore.estimates.lines import line_of, lines_of
from meshcore.estimates.pipeline import priced_as
from meshcore.estimates.results import Estimate, EstimateSet
from meshcore.reading.tables.field_names import ORDER
from meshcore.reading.tables.headings import with_fields

if TYPE_CHECKING:
    import pandas as pd

#: A curve goes to this many times the quantity asked for, and at least to the second number.
_TIMES_ASKED, _LEAST_TOP = 10, 20
#: Up to here every whole quantity is priced; beyond, this many, evenly by ratio.
_EVERY_QUANTITY = 400
#: Sizes as the variants of an enquiry give them.
_SIZES = ("mesh_count", "pitch", "aperture", "wire_diameter", "open_area")
_MM = 1e3


def explain(estimates: EstimateSet | Estimate, line: int = 0) -> str:
    """Write out the arithmetic of a line, for a clerk to redo by hand."""
    held, row = line_of(estimates, line)
    return held.explain(row)


def budget_range(
    estimates: EstimateSet | Estimate,
    lines: Sequence[int] = (0,),
    uncertainties: Sequence[Uncertainty] | None = None,
    *,
    draws: int = ranges.DRAWS,
    seed: int = ranges.SEED,
) -> BudgetRange:
    """Range of the price of an order, from what is uncertain in it.

    Parameters
    ----------
    estimates
        The priced list, or one line of it.
    lines
        Row numbers of the order's lines.
    uncertainties
        What to draw; what the price book states, if None.
    draws, seed
        How many draws, and the seed that gives the same ones again.

    Raises
    ------
    ValueError
        If none of the lines has a price, or nothing is stated to be uncertain.
    """
    held, rows = lines_of(estimates, lines)
    stated = ranges.stated_uncertainties(held.book)
    chosen = stated if uncertainties is None else uncertainties
    if not chosen:
        raise ValueError(
            f"price book {held.book.name} states no uncertainty. Fill uncertainty_pct beside "
            f'a rate, or add a row such as "{ranges.STATED}{ranges.YIELD}" in %.'
        )
    orders, counted = _priced(held, rows)
    return ranges.budget_range(
        orders, _rules(), held.book, chosen, draws=draws, seed=seed, counted=counted
    )


def tornado(
    estimates: EstimateSet | Estimate,
    lines: Sequence[int] = (0,),
    *,
    change: float = ranges.CHANGE,
    own: bool | Sequence[Uncertainty] = False,
) -> pd.DataFrame:
    """Move each driver of an order by a share; return the prices, the widest swing first.

    Parameters
    ----------
    estimates, lines
        The priced list, or one line of it, and row numbers.
    change
        Share by which each driver is moved [-].
    own
        Whether each is moved by its own uncertainty as the price book states it, and only these;
        or the uncertainties that are to count.

    Notes
    -----
    A line is looked at in its order: what it shares with others is shared as it stands. For one
    line the wire diameter and the pitch are moved too, each by what it changes in the line as an
    order of its own; where one so moved has no price, that side is blank.

    Returns
    -------
    As for `meshcore.costing.ranges.tornado`.
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    held, rows = lines_of(estimates, lines)
    orders, counted = _priced(held, rows)
    counts = ranges.stated_uncertainties(held.book) if isinstance(own, bool) else own
    stated = {u.driver: u.spread for u in counts}
    is_own = own if isinstance(own, bool) else True
    by_rates = ranges.tornado(
        orders, _rules(), held.book, change=stated if is_own else change, counted=counted
    )
    if is_own or len(rows) > 1:
        return by_rates
    both = pd.concat([by_rates, _size_drivers(held, rows[0], change)], ignore_index=True)
    return both.sort_values("swing", ascending=False, kind="stable", ignore_index=True)


def quantity_curve(
    estimates: EstimateSet | Estimate, line: int = 0, quantities: Sequence[int] | None = None
) -> pd.DataFrame:
    """Price of a line against its quantity, each quantity priced as an order of its own.

    Parameters
    ----------
    estimates
        The priced list, or one line of it.
    line
        Row number.
    quantities
        Whole numbers; from 1 to ten times what was asked for, if None.

    Returns
    -------
    ``quantity``, ``price``, ``unit_price``, ``credits`` (the sum of breaks and other credits) and
    ``at_break``: whether a break begins at this quantity.
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    held, row = line_of(estimates, line)
    wanted = _curve_quantities(held, row) if quantities is None else np.asarray(quantities)
    variants = with_fields(_variants(held, row, len(wanted)), ["quantity"])
    variants[held.headings.column.get("quantity", "quantity")] = wanted.astype(np.float64)
    priced = priced_as(held, variants)
    table = priced.table
    credit = np.zeros(len(wanted))
    breaks = np.zeros(len(wanted))
    for item in priced.ledger.items:
        credit += np.minimum(item.minor, 0.0)
        breaks += np.where((item.minor < 0.0) & bool(item.base), item.rate, 0.0)
    return pd.DataFrame(
        {
            "quantity": wanted,
            "price": table["price"].to_numpy(),
            "unit_price": table["unit_price"].to_numpy(),
            "credits": credit / 10.0**priced.ledger.digits,
            "at_break": np.diff(breaks, prepend=breaks[0]) < 0.0,
        }
    )


def compare(
    first: EstimateSet, second: EstimateSet, first_line: int = 0, second_line: int = 0
) -> pd.DataFrame:
    """Two estimates side by side, item by item, adding up exactly.

    Returns
    -------
    As for `meshcore.costing.comparison.compare_lines`.
    """
    return compare_lines(first.ledger, first_line, second.ledger, second_line)


def _rules() -> list[tuple[str, PricingRule]]:
    return plugins.installed().collect("meshcore_pricing_rules", PricingRule)


def _priced(estimates: EstimateSet, lines: Sequence[int]) -> tuple[OrderColumns, BoolArray]:
    """Return all priced lines of the orders that some lines stand in, and which these are."""
    rows: IntArray = np.asarray(lines, dtype=np.int64)
    rows = rows[estimates.ledger.priced[rows]]
    if not rows.size:
        raise ValueError("no line of this order has a price. Mend what its messages name first.")
    order = estimates.orders.order
    with_them = np.flatnonzero(np.isin(order, order[rows]) & estimates.ledger.priced)
    return take_lines(estimates.orders, with_them), np.isin(with_them, rows)


def _curve_quantities(estimates: EstimateSet, line: int) -> IntArray:
    asked = estimates.orders.quantity[line]
    top = max(_LEAST_TOP, int(_TIMES_ASKED * (asked if np.isfinite(asked) else 1.0)))
    if top <= _EVERY_QUANTITY:
        return np.arange(1, top + 1)
    return np.unique(np.geomspace(1, top, _EVERY_QUANTITY).round().astype(np.int64))


def _variants(estimates: EstimateSet, line: int, times: int) -> pd.DataFrame:
    """Return copies of one enquiry, each an order of its own."""
    copies = without_amounts(estimates.enquiries.iloc[[line] * times].reset_index(drop=True).copy())
    if ORDER in estimates.headings.column:
        copies = copies.drop(columns=estimates.headings.column[ORDER])
    return copies


def _size_drivers(estimates: EstimateSet, line: int, change: float) -> pd.DataFrame:
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    cloth = estimates.orders.cloth
    by = np.array([1.0 - change, 1.0 + change, 1.0, 1.0, 1.0])
    variants = _variants(estimates, line, len(by))
    headings = [
        estimates.headings.column[name] for name in _SIZES if name in estimates.headings.column
    ]
    variants = variants.drop(columns=headings)
    variants["wire_diameter [mm]"] = cloth.wire_diameter_m[line] * _MM * by
    variants["pitch [mm]"] = cloth.pitch_m[line] * _MM * by[[2, 3, 0, 1, 4]]
    ledger = priced_as(estimates, variants).ledger
    nominal = float(estimates.ledger.price[line])
    price: FloatArray = ledger.price[:4] - ledger.price[4] + nominal
    rows = {"wire diameter": price[:2], "pitch": price[2:]}
    frame = pd.DataFrame(
        [(name, low, high) for name, (low, high) in rows.items()],
        columns=["driver", "price_low", "price_high"],
    )
    frame["change_low"] = (frame["price_low"] - nominal).round(ledger.digits)
    frame["change_high"] = (frame["price_high"] - nominal).round(ledger.digits)
    frame["swing"] = (frame["price_high"] - frame["price_low"]).abs().round(ledger.digits)
    return frame.dropna(subset=["change_low", "change_high"], how="all")
