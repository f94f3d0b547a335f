"""Working amounts in order: each item's quantity × rate rounded once, and the running sums."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.costing.items import CostColumn
from meshcore.costing.ledger import LedgerItem, Shares
from meshcore.costing.money import MOST_MINOR, apportion, from_minor, to_minor
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.rates import RateColumn
from meshcore.costing.rules.checking import RuleCost
from meshcore.supply.together import each_alone, group_most, group_sums


@dataclass(slots=True)
class RunningTotals:
    """Works amounts in order, keeping running sums in minor units.

    Parameters
    ----------
    columns, alive
        The lines, and which of them are to be priced.
    digits, currency
        Of the price book.
    keep_all
        Whether items that arise on no line are kept too.
    items, price, cost, before_tax, by_stage
        The items worked so far, and their sums [minor units]: of all, through the overhead,
        before tax, and by stage.
    beyond
        Lines on which an item, or the sum so far, is too large to be money, each with the cost
        that made it so; the sums hold for the other lines alone.
    refused, alone
        Lines not priced, None where all are; whether every line is an order, or a cloth, or a
        warp, of its own.
    """

    columns: OrderColumns
    alive: BoolArray
    digits: int
    currency: str
    keep_all: bool = False
    items: list[LedgerItem] = field(default_factory=list)
    price: FloatArray = field(init=False)
    cost: FloatArray = field(init=False)
    before_tax: FloatArray = field(init=False)
    by_stage: dict[str, FloatArray] = field(default_factory=dict)
    beyond: list[tuple[RuleCost, BoolArray]] = field(default_factory=list)
    refused: BoolArray | None = field(init=False)
    alone: dict[str, bool] = field(init=False)

    def __post_init__(self) -> None:
        self.price = np.zeros(len(self.columns))
        self.refused = None if self.alive.all() else ~self.alive
        self.alone = {per: each_alone(self._group(per)) for per in ("order", "cloth", "warp")}

    def mark_cost(self) -> None:
        """Note that the cost is complete."""
        self.cost = self.price.copy()

    def mark_before_tax(self) -> None:
        """Note that all but the tax is worked."""
        self.before_tax = self.price.copy()

    def work(self, cost: RuleCost) -> None:
        """Work one item and add it to the sums."""
        column, shares = cost.column, None
        if column.top_up:
            quantity, minor, shares = self._topped_up(cost)
            whole, rate = quantity, np.broadcast_to(1.0, len(minor))
        else:
            quantity = from_minor(self._base(column.base), self.digits) if column.base else (
                cost.quantity
            )  # fmt: skip
            whole, rate = quantity, cost.rate
            # Lines refused for sizes beyond reason are still among the factors.
            with np.errstate(over="ignore", invalid="ignore"):
                minor = self._rounded(quantity * rate)
            if column.per != "line" and not column.base:
                whole = self._whole(quantity, column.per)
                shares = self._shares(minor, column)
                quantity, minor = self._shared(whole, minor, rate, column)
            if column.credit:
                rate, minor = -rate, -minor
        if not self.keep_all and not minor.any():
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
                per=column.per,
                whole=whole,
                shares=shares,
                working=column.working,
                terms=column.terms,
                credit=column.credit,
                shared_by=column.shared_by,
                live=column.live,
            )
        )

    def _look_beyond(self, cost: RuleCost, amounts: FloatArray) -> None:
        """Note the lines on which an amount is too large to be money."""
        # The comparison is false for NaN too.
        if amounts.size and not max(amounts.max(), -amounts.min()) <= MOST_MINOR:
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

    def _topped_up(self, cost: RuleCost) -> tuple[FloatArray, FloatArray, Shares | None]:
        column = cost.column
        base = self._base(column.base)
        target, shares = self._rounded(cost.rate), None
        if column.top_up == "floor":
            whole, target = self._group_sum(base, column.per), self._whole(target, column.per)
            short = np.maximum(target - whole, 0.0)
            if column.per != "line":
                shares = self._shares(short, column)
                short = self._shared_minor(short, column)
        elif column.top_up == "net":
            short = np.where(target > 0.0, target - base, 0.0)
        else:
            multiple = base / np.maximum(target, 1.0)
            up = column.top_up == "step up"
            short = (np.ceil(multiple) if up else np.floor(multiple + 0.5)) * target - base
            short[target == 0.0] = 0.0
        if self.refused is not None:
            short[self.refused] = 0.0
        return from_minor(short, self.digits), short, shares

    def _target(self, cost: RuleCost) -> FloatArray:
        if not cost.column.top_up:
            return np.broadcast_to(0.0, len(self.columns))
        target = self._whole(self._rounded(cost.rate), cost.column.per)
        return from_minor(target, self.digits)

    def _group(self, per: str) -> IntArray:
        columns = self.columns
        return {"order": columns.order, "cloth": columns.same_cloth, "warp": columns.warp}[per]

    def _group_sum(self, values: FloatArray, per: str) -> FloatArray:
        if per == "line" or self.alone[per]:
            return values
        return group_sums(values, self._group(per))

    def _whole(self, values: FloatArray, per: str) -> FloatArray:
        """Quantity or floor of each line's group: one for all its priced lines."""
        if per == "line" or self.alone[per]:
            return values
        held = values if self.refused is None else np.where(self.refused, 0.0, values)
        return group_most(held, self._group(per))

    def _shared_minor(self, minor: FloatArray, column: CostColumn) -> FloatArray:
        """Share each group's amount over its priced lines: by their subtotals, or as is said."""
        if self.alone[column.per]:
            return minor
        shared = np.zeros(len(minor))
        rows, group = self.alive, self._group(column.per)
        whole = group_most(minor, group)
        shared[rows] = apportion(whole[rows], self._weight(column)[rows], group[rows])
        return shared

    def _shares(self, minor: FloatArray, column: CostColumn) -> Shares | None:
        """Keep what a group's lines share, and by what; None where no line shares with another."""
        if self.alone[column.per]:
            return None
        group = self._group(column.per)
        return Shares(
            minor=group_most(minor, group),
            group=group if self.refused is None else np.where(self.alive, group, -1),
            weight=self._weight(column),
            by_value=column.shared_by is None,
            unit=column.shared_in,
        )

    def _weight(self, column: CostColumn) -> FloatArray:
        by = self.price if column.shared_by is None else column.shared_by
        return np.maximum(by, 0.0)

    def _shared(
        self, whole: FloatArray, minor: FloatArray, rate: FloatArray, column: CostColumn
    ) -> tuple[FloatArray, FloatArray]:
        """Share a group's amount, and say of each line what part of the quantity it bears.

        The part is by weight where that comes to the line's amount; the last minor units of a
        group go where its sum asks for them, and there the part follows from the amount.
        """
        shared = self._shared_minor(minor, column)
        if self.alone[column.per]:
            return np.where(shared != 0.0, whole, 0.0), shared
        part = whole * self._part_of(column)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            agrees = to_minor(part * rate, self.digits) == shared
            quantity = np.where(agrees, part, from_minor(shared, self.digits) / rate)
        return np.where(shared != 0.0, quantity, 0.0), shared

    def _part_of(self, column: CostColumn) -> FloatArray:
        """Each priced line's part of its group; equal parts where nothing tells them apart."""
        priced = self.alive.astype(np.float64)
        weight = np.where(self.alive, self._weight(column), 0.0)
        weight = np.where(self._group_sum(weight, column.per) > 0.0, weight, priced)
        return weight / np.where(self.alive, self._group_sum(weight, column.per), 1.0)
