"""The rule pipeline: columns of an order to a ledger of rounded cost items.

All rules run first, since none looks at another's amounts; that settles which lines have a
price. Then the amounts are worked stage by stage. Within a stage the order is: quantities times
rates, shares, minimums by line, minimums by order, rounding steps; within each of these the
order of registration. So a share or a minimum finds all that it stands on worked and rounded.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.costing.book import PriceBook
from meshcore.costing.items import COST_STAGES, STAGES, OrderColumns, PricingRule
from meshcore.costing.ledger import Ledger, LedgerItem
from meshcore.costing.money import apportion, from_minor, minor_digits, to_minor
from meshcore.costing.rates import RateColumn, Rates
from meshcore.costing.rule_run import RuleCost, RuleResults, run_rules
from meshcore.messages import Message, MessageLog


def price_columns(
    columns: OrderColumns,
    rules: Sequence[tuple[str, PricingRule]],
    book: PriceBook,
    log: MessageLog,
    *,
    today: date | None = None,
    factors: Mapping[str, FloatArray] | None = None,
) -> Ledger:
    """Price every line.

    Parameters
    ----------
    columns
        The lines; those that `log` has as refused are not priced.
    rules
        Plugin name and rule, as ``PluginSet.collect`` gathers them.
    book
        The price book.
    log
        Receives refusals for rates that are missing, what rules remark, warnings of stale rates,
        and a review on every line for each rule set aside, since its cost is not in the price.
    today
        Day on which rates are judged stale; the calendar's, if None.
    factors
        Price-book key → factor per line on its values, for ranges and sensitivities.

    Returns
    -------
    The ledger; amounts are whole minor units and totals are sums of them.
    """
    rates = Rates(book, columns, factors or {})
    alive = ~log.refused()
    results = run_rules(rules, columns, rates, alive)
    alive = _settle(results, columns, book, alive, log)
    for fault in results.faults:
        text = "its cost is not in this price. Mend or remove the plugin, or switch the rule off."
        log.add(alive, Message("price", fault.where, f"{fault}; {text}", "review"))
    bench = _Bench(columns, alive, minor_digits(book.currency), book.currency)
    ranked = sorted(results.costs, key=_rank)
    for stage in STAGES:
        for cost in (c for c in ranked if c.rule.stage == stage):
            bench.work(cost)
        if stage == COST_STAGES[-1]:
            bench.mark_cost()
        if stage == STAGES[-2]:
            bench.mark_before_tax()
    ledger = bench.ledger(results)
    _warn_of_stale(ledger, book, today or date.today(), log)
    return ledger


def _rank(cost: RuleCost) -> tuple[int, int]:
    column = cost.column
    kinds = ["plain", "share", "floor line", "floor order", "step"]
    if column.top_up == "floor":
        kind = f"floor {column.per}"
    else:
        kind = "step" if column.top_up else "share" if column.base else "plain"
    return STAGES.index(cost.rule.stage), kinds.index(kind)


def _settle(
    results: RuleResults,
    columns: OrderColumns,
    book: PriceBook,
    alive: BoolArray,
    log: MessageLog,
) -> BoolArray:
    """Say what is missing or remarked; return the lines that are left to be priced."""
    left = alive.copy()
    for entry in results.remarks:
        remark = entry.remark
        by = f" (rule {entry.rule.name}, plugin {entry.plugin})"
        rows = remark.applies & alive
        log.add(rows, Message(remark.field, remark.read, remark.text + by, remark.severity))
        if remark.severity == "refused":
            left &= ~rows
    for cost in results.costs:
        for used in cost.looked_up:
            left = _refuse_missing(cost, used, columns, book, left, log)
        if not isinstance(cost.column.rate, RateColumn):
            rows = left & np.isnan(cost.rate)
            text = f"rule {cost.rule.name} (plugin {cost.plugin}) has no rate for this line."
            log.add(rows, Message("price", cost.column.label, text))
            left &= ~rows
    return left


def _refuse_missing(
    cost: RuleCost,
    used: RateColumn,
    columns: OrderColumns,
    book: PriceBook,
    left: BoolArray,
    log: MessageLog,
) -> BoolArray:
    values = used.values
    if not values.size or not np.isnan(values[0] if values.strides == (0,) else values.sum()):
        return left
    needed = left & np.isnan(values)
    if not cost.column.base:
        needed &= cost.quantity != 0.0
    codes = columns.cloth.alloy[needed]
    for code in np.unique(codes).tolist():
        alloy = columns.cloth.alloys[code].designation
        text = f"price book {book.name} has {used.lacks}. Add it there, or ask for another alloy."
        log.add(needed & (columns.cloth.alloy == code), Message("alloy", alloy, text))
    return left & ~needed


def _warn_of_stale(ledger: Ledger, book: PriceBook, today: date, log: MessageLog) -> None:
    masks: dict[tuple[str, str], BoolArray] = {}
    for item in ledger.items:
        looked_up = (*item.uses, item.origin)
        for used in (column for column in looked_up if isinstance(column, RateColumn)):
            stale, said = used.stale(today, book.stale_after_days)
            if stale is not None and stale.any():
                rows = stale & (item.minor != 0.0)
                key = (used.key, said)
                masks[key] = rows if key not in masks else masks[key] | rows
    for (name, said), rows in masks.items():
        text = f"{said}; the book's rates are warned about after {book.stale_after_days} days."
        log.add(rows, Message("price book", name, text, "note"))


@dataclass(slots=True)
class _Bench:
    """Works amounts in order, keeping running sums in minor units."""

    columns: OrderColumns
    alive: BoolArray
    digits: int
    currency: str
    items: list[LedgerItem] = field(default_factory=list)
    running: FloatArray = field(init=False)
    cost: FloatArray = field(init=False)
    before_tax: FloatArray = field(init=False)
    by_stage: dict[str, FloatArray] = field(default_factory=dict)
    refused: BoolArray | None = field(init=False)

    def __post_init__(self) -> None:
        self.running = np.zeros(len(self.columns))
        self.refused = None if self.alive.all() else ~self.alive

    def mark_cost(self) -> None:
        self.cost = self.running.copy()

    def mark_before_tax(self) -> None:
        self.before_tax = self.running.copy()

    def work(self, cost: RuleCost) -> None:
        """Work one item and add it to the sums."""
        column = cost.column
        if column.top_up:
            quantity, rate, minor = self._topped_up(cost)
        else:
            quantity = from_minor(self._base(column.base), self.digits) if column.base else (
                cost.quantity
            )  # fmt: skip
            rate = cost.rate
            minor = self._rounded(quantity * rate)
            if column.per == "order" and not column.base:
                quantity, minor = self._shared(minor, rate)
            if column.credit:
                quantity, minor = -quantity, -minor
        if not minor.any():
            return
        self.running += minor
        stage = cost.rule.stage
        self.by_stage[stage] = self.by_stage[stage] + minor if stage in self.by_stage else minor
        self.items.append(
            LedgerItem(
                stage, column.label, column.driver, quantity,
                self.currency if column.base else column.unit, rate, minor, cost.rule.name,
                cost.plugin, column.rate if isinstance(column.rate, RateColumn) else column.origin,
                column.base, column.uses, column.top_up, self._target(cost), column.per == "order",
            )
        )  # fmt: skip

    def _rounded(self, amount: FloatArray) -> FloatArray:
        minor = to_minor(amount, self.digits)
        if self.refused is not None:
            minor[self.refused] = 0.0
        return minor

    def _base(self, names: tuple[str, ...]) -> FloatArray:
        if "subtotal" in names:
            return self.running
        held = [self.by_stage[name] for name in names if name in self.by_stage]
        return np.sum(held, axis=0) if held else np.zeros(len(self.columns))

    def _topped_up(self, cost: RuleCost) -> tuple[FloatArray, FloatArray, FloatArray]:
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
        return from_minor(short, self.digits), np.broadcast_to(1.0, len(base)), short

    def _target(self, cost: RuleCost) -> FloatArray:
        if not cost.column.top_up:
            return np.broadcast_to(0.0, len(self.columns))
        return from_minor(self._rounded(cost.rate), self.digits)

    def _order_sum(self, minor: FloatArray) -> FloatArray:
        _, index = np.unique(self.columns.order, return_inverse=True)
        sums: FloatArray = np.bincount(index, weights=minor).astype(np.float64)
        return sums[index]

    def _shared_minor(self, minor: FloatArray) -> FloatArray:
        """Share each order's amount over its priced lines by their subtotals."""
        shared = np.zeros(len(minor))
        rows = self.alive
        shared[rows] = apportion(
            minor[rows], np.maximum(self.running[rows], 0.0), self.columns.order[rows]
        )
        return shared

    def _shared(self, minor: FloatArray, rate: FloatArray) -> tuple[FloatArray, FloatArray]:
        shared = self._shared_minor(minor)
        with np.errstate(divide="ignore", invalid="ignore"):
            quantity = from_minor(shared, self.digits) / rate
        return np.where(shared != 0.0, quantity, 0.0), shared

    def ledger(self, results: RuleResults) -> Ledger:
        return Ledger(
            tuple(self.items), self.alive, self.currency, self.digits, self.cost, self.before_tax,
            self.running, results.faults, results.acts,
        )  # fmt: skip
