"""What a price or margin that is set on a line comes to, beside the price book's own."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from meshcore.costing.money import from_minor, money_text
from meshcore.costing.set_prices import read_set_prices
from meshcore.enquiry import SET_PRICE
from meshcore.estimates.pipeline import estimate_list
from meshcore.estimates.results import EstimateSet

#: Key of the price book under which the margin stands, and what it may be reckoned on.
_MARGIN, _ON_PRICE = "margin.share", "price"


@dataclass(frozen=True, slots=True)
class PriceSet:
    """A price that was set, as what it is. For the mill alone: it tells the cost.

    Parameters
    ----------
    asked
        What was set, as typed.
    asked_minor
        The price asked [minor units]; 0 where a margin was.
    price_minor, book_minor, cost_minor
        Price before tax as set and by the book, and cost [minor units].
    margin, book_margin
        What each price leaves above the cost, as a share of `base` [-].
    base
        ``"price"`` or ``"cost"``, as the book reckons its margin.
    currency, digits
        Of the amounts.
    """

    asked: str
    asked_minor: int
    price_minor: int
    book_minor: int
    cost_minor: int
    margin: float
    book_margin: float
    base: str
    currency: str
    digits: int

    @property
    def is_below_cost(self) -> bool:
        """Whether the price does not bear the cost."""
        return self.price_minor < self.cost_minor

    def text(self) -> str:
        """Say it in a sentence or two.

        Examples
        --------
        >>> PriceSet("90", 9000, 9000, 12500, 10000, -1 / 9, 0.2, "price", "EUR", 2).text()
        'Asked price 90.00 EUR: margin −11.1 % of the price instead of 20.0 %. Below cost by \
10.00 EUR. The price book makes it 125.00 EUR.'
        """
        set_to = f"Asked price {self._money(self.asked_minor)}"
        if not self.asked_minor:
            set_to = f"Margin asked {self.asked}, price {self._money(self.price_minor)}"
        elif self.price_minor != self.asked_minor:
            held = "smallest charge or rounding step"
            set_to += f", {self._money(self.price_minor)} by the {held} of the price book"
        said = (
            f"{set_to}: margin {_share(self.margin)} of the {self.base} instead of "
            f"{_share(self.book_margin)}."
        )
        if self.is_below_cost:
            said += f" Below cost by {self._money(self.cost_minor - self.price_minor)}."
        return f"{said} The price book makes it {self._money(self.book_minor)}."

    def _money(self, minor: int) -> str:
        major = float(from_minor(np.array([float(minor)]), self.digits)[0])
        return money_text(major, self.currency, self.digits)


def _share(share: float) -> str:
    return f"{100.0 * share:.1f} %".replace("-", "−")


def price_set(estimates: EstimateSet, row: int) -> PriceSet | None:
    """Return what is set on a line; None where nothing is, or it has no price.

    Parameters
    ----------
    estimates
        The list.
    row
        Row number of the line.
    """
    ledger = estimates.ledger
    if SET_PRICE not in estimates.enquiries.columns or not ledger.priced[row]:
        return None
    held = read_set_prices(
        {SET_PRICE: estimates.enquiries[SET_PRICE].to_numpy(dtype=object)},
        len(estimates), ledger.currency, ledger.digits,
    )  # fmt: skip
    price, margin = held.price[row], held.margin[row]
    if not (np.isfinite(price) or np.isfinite(margin)):
        return None
    plain = estimate_list(
        estimates.enquiries.drop(columns=SET_PRICE), estimates.book, estimates.policy,
        estimates.path_model, cutting=estimates.cutting, better_quantities=False,
    ).ledger  # fmt: skip
    rows = [rate for rate in estimates.book.rates if rate.key == _MARGIN]
    base = "price" if rows and rows[0].base == _ON_PRICE else "cost"
    mine, book = (int(one.before_tax_minor[row]) for one in (ledger, plain))
    cost = int(ledger.cost_minor[row])
    return PriceSet(
        asked=str(estimates.enquiries[SET_PRICE].iloc[row]).strip(),
        asked_minor=round(float(price) * 10**ledger.digits) if np.isfinite(price) else 0,
        price_minor=mine,
        book_minor=book,
        cost_minor=cost,
        margin=_margin(mine, cost, base),
        book_margin=_margin(book, int(plain.cost_minor[row]), base),
        base=base,
        currency=ledger.currency,
        digits=ledger.digits,
    )


def _margin(price: int, cost: int, base: str) -> float:
    below = price if base == "price" else cost
    return (price - cost) / below if below else 0.0
