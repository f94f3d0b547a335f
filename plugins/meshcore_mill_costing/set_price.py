"""The price of a line as whoever estimates sets it: by charge or credit, after all surcharges."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import numpy as np

from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.items import CostColumn, OrderColumns, PricingRule, Remark
from meshcore.costing.money import minor_digits
from meshcore.costing.rates import Rates
from meshcore.costing.set_prices import SetPrices, read_set_prices
from meshcore.enquiry import SET_PRICE
from meshcore.supply.together import group_most

_SUBTOTAL = ("subtotal",)
#: Smallest charges of the book, which hold for a set price too, and what one is of.
_MINIMUMS: tuple[tuple[str, Literal["line", "cloth", "order"]], ...] = (
    ("minimum.line", "line"),
    ("minimum.cloth", "cloth"),
    ("minimum.order", "order"),
)


def set_on(columns: OrderColumns, book: PriceBook) -> SetPrices:
    """Return what is set on each line."""
    return read_set_prices(columns.own, len(columns), book.currency, minor_digits(book.currency))


def _set_prices(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Bring each line that has a price set to it, but not below the smallest charges."""
    held = set_on(columns, rates.book)
    for read, (rows, why) in held.wrong.items():
        text = f"cannot be the price of the line: {why}"
        yield Remark(rows, SET_PRICE, text, "refused", read, code="price.set_unreadable")
    is_set = np.isfinite(held.price)
    if not is_set.any():
        return
    target = np.where(is_set, held.price, 0.0)
    yield CostColumn("set price (charge or credit)", "to the price set on the line", 0.0, "",
                     target, origin="set on the line", base=_SUBTOTAL, top_up="net")  # fmt: skip
    for key, unit in _MINIMUMS:
        if rates.has(key):
            rate = rates.money(key, unit, default=0.0)
            near = _of_group(columns, is_set, unit)
            yield CostColumn(f"minimum charge per {unit}, above the set price",
                             f"shortfall of the {unit}", 0.0, "",
                             rate.with_values(np.where(near, rate.values, 0.0)), base=_SUBTOTAL,
                             top_up="floor", per=unit)  # fmt: skip


def _of_group(columns: OrderColumns, is_set: np.ndarray, unit: str) -> np.ndarray:
    """Lines of an order, or of one cloth in it, with any line that has a price set."""
    if unit == "line":
        return is_set
    group = columns.order if unit == "order" else columns.same_cloth
    return group_most(is_set.astype(np.float64), group) > 0.0


#: Follows every surcharge, and comes before the rounding.
RULES: tuple[PricingRule, ...] = (
    PricingRule("set price", "surcharges", _set_prices,
                reads=tuple(key for key, _ in _MINIMUMS)),
)  # fmt: skip
