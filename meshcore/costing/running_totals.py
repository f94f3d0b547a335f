"""Working amounts in order: each item's quantity × rate rounded once, and the running sums."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.costing.ledger import LedgerItem
from meshcore.costing.money import MOST_MINOR, apportion, from_minor, to_minor
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.rates import RateColumn
from meshcore.costing.rules.checking import RuleCost


@dataclass(slots=True)
class RunningTotals:
    """Works amounts in order, keeping running sums in minor units.

    Parameters
    ----------
    columns, alive
        The lines, and which of them are to be priced.
    digits, currency
        Of the price book.
    items, price, cost, before_tax, by_stage
        The items worked so far, and their sums [minor units]: of all, through the overhead,
        before tax, and by stage.
    beyond
        Lines on which an item, or the sum so far, is too large to be money, each with the cost
        that made it so; the sums hold for the other lines alone.
    refused, own_orders
        Lines not priced, None where all are; whether every line is an order of its own.
    """

    columns: OrderColumns
    alive: BoolArray
    digits: int
    currency: str
    items: list[LedgerItem] = field(default_factory=list)
    price: FloatArray = field(init=False)
    cost: FloatArray = field(init=False)
    before_tax: FloatArray = field(init=False)
    by_stage: dict[str, FloatArray] = field(default_factory=dict)
    beyond: list[tuple[RuleCost, BoolArray]] = field(default_factory=list)
    refused: BoolArray | None = field(init=False)
    own_orders: bool = field(init=False)

    def __post_init__(self) -> None:
        self.price = np.zeros(len(self.columns))
        self.refused = None if self.alive.all() else ~self.alive
        order = self.columns.order
        self.own_orders = bool(np.all(order[1:] > order[:-1]))

    def mark_cost(self) -> None:
        """Note that the cost is complete."""
        self.cost = self.price.copy()

    def mark_before_tax(self) -> None:
        """Note that all but the tax is worked."""
        self.before_tax = self.price.copy()

    def work(self, cost: RuleCost) -> None:
        """Work one item and add it to the sums."""
        column = cost.column
        if column.top_up:
            quantity, minor = self._topped_up(cost)
            rate = np.broadcast_to(1.0, len(minor))
        else:
            quantity = from_minor(self._base(column.base), self.digits) if column.base else (
                cost.quantity
            )  # fmt: skip
            rate = cost.rate
            # Lines refused for sizes beyond reason are still among the factors.
            with np.errstate(over="ignore", invalid="ignore"):
                minor = self._rounded(quantity * rate)
            if column.per == "order" and not column.base:
                quantity, minor = self._shared(quantity, minor, rate)
            if column.credit:
                rate, minor = -rate, -minor
        if not minor.any():
            return
        price = self.price + minor
        for amounts in (minor, price) if column.base else (price,):
            self._look_beyond(cost, amounts)
        self.price = price
        stage = cost.rule.stage
        self.by_stage[stage] = self.by_stage[stage] + minor if stage in self.by_stage else minor
        self.items.append(
            LedgerItem(
                stage=stage,
                label=column.label,
                driver=column.driver,
                quantity=quantity,
                unit=self.currency if column.base else column.unit,
                rate=rate,
                minor=minor,
                rule=cost.rule.name,
                plugin=cost.plugin,
                origin=column.rate if isinstance(column.rate, RateColumn) else column.origin,
                base=column.base,
                uses=column.uses,
                top_up=column.top_up,
                target=self._target(cost),
                shared=column.per == "order",
                working=column.working,
                terms=column.terms,
            )
        )

    def _look_beyond(self, cost: RuleCost, amounts: FloatArray) -> None:
        """Note the lines on which an amount is too large to be money."""
        # The comparison is false for NaN too.
        if not max(amounts.max(), -amounts.min()) <= MOST_MINOR:
            self.beyond.append((cost, ~(np.abs(amounts) <= MOST_MINOR)))

    def _rounded(self, amount: FloatArray) -> FloatArray:
        minor = to_minor(amount, self.digits)
        if self.refused is not None:
            minor[self.refused] = 0.0
        if np.isnan(minor.sum()):
            # Lines that need a missing rate are refused by now; the others have none of the
            # quantity, so nothing arises there.
            minor[np.isnan(minor)] = 0.0
        return minor

    def _base(self, names: tuple[str, ...]) -> FloatArray:
        if "subtotal" in names:
            return self.price
        held = [self.by_stage[name] for name in names if name in self.by_stage]
        return np.sum(held, axis=0) if held else np.zeros(len(self.columns))

    def _topped_up(self, cost: RuleCost) -> tuple[FloatArray, FloatArray]:
        base = self._base(cost.column.base)
        target = self._rounded(cost.rate)
        if cost.column.top_up == "floor":
            whole = base if cost.column.per == "line" else self._order_sum(base)
            short = np.maximum(target - whole, 0.0)
            if cost.column.per == "order":
                short = self._shared_minor(short)
        else:
            multiple = base / np.maximum(target, 1.0)
            up = cost.column.top_up == "step up"
            short = (np.ceil(multiple) if up else np.floor(multiple + 0.5)) * target - base
            short[target == 0.0] = 0.0
        if self.refused is not None:
            short[self.refused] = 0.0
        return from_minor(short, self.digits), short

    def _target(self, cost: RuleCost) -> FloatArray:
        if not cost.column.top_up:
            return np.broadcast_to(0.0, len(self.columns))
        return from_minor(self._rounded(cost.rate), self.digits)

    def _order_sum(self, minor: FloatArray) -> FloatArray:
        if self.own_orders:
            return minor
        _, index = np.unique(self.columns.order, return_inverse=True)
        sums: FloatArray = np.bincount(index, weights=minor).astype(np.float64)
        return sums[index]

    def _shared_minor(self, minor: FloatArray) -> FloatArray:
        """Share each order's amount over its priced lines by their subtotals."""
        if self.own_orders:
            return minor
        shared = np.zeros(len(minor))
        rows = self.alive
        shared[rows] = apportion(
            minor[rows], np.maximum(self.price[rows], 0.0), self.columns.order[rows]
        )
        return shared

    def _shared(
        self, whole: FloatArray, minor: FloatArray, rate: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Share an order's amount, and say of each line what part of the quantity it bears.

        The part is by value where that comes to the line's amount; the last minor units of an
        order go where its sum asks for them, and there the part follows from the amount.
        """
        shared = self._shared_minor(minor)
        part = whole * self._part_of_order()
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            agrees = to_minor(part * rate, self.digits) == shared
            quantity = np.where(agrees, part, from_minor(shared, self.digits) / rate)
        return np.where(shared != 0.0, quantity, 0.0), shared

    def _part_of_order(self) -> FloatArray:
        """Each priced line's part of its order's value; equal parts where it has none."""
        if self.own_orders:
            return np.ones(len(self.columns))
        priced = self.alive.astype(np.float64)
        value = np.maximum(self.price, 0.0) * priced
        value = np.where(self._order_sum(value) > 0.0, value, priced)
        return value / np.maximum(self._order_sum(value), 1.0)
