"""The rule pipeline: columns of an order to a ledger of rounded cost items.

All rules run first, since none looks at another's amounts; that settles which lines have a
price. Then the amounts are worked stage by stage. Within a stage the order is: quantities times
rates, shares, agreed prices, minimums by line, minimums by order, rounding steps; within each of
these the order of registration. So a share or a minimum finds all that it stands on worked and
rounded.

A long list is worked in blocks that stay in the processor's cache and keep whole orders together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.costing.below import doubt_below_cost, doubt_far_above_cost, refuse_below_zero
from meshcore.costing.book.charging import unknown_rules
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.items import PricingRule
from meshcore.costing.ledger import Ledger, LedgerItem
from meshcore.costing.line_messages import refuse_beyond, settle, warn_of_stale
from meshcore.costing.money import minor_digits
from meshcore.costing.order_columns import OrderColumns, take_lines
from meshcore.costing.rates import Rates
from meshcore.costing.rules.checking import RuleCost, wrong_with_rule
from meshcore.costing.rules.running import RuleResults, run_rules
from meshcore.costing.running_totals import RunningTotals
from meshcore.costing.stages import COST_STAGES, STAGES
from meshcore.messages import Message, MessageLog
from meshcore.plugins import PluginFault

#: Lines worked at a time: some tens of columns of this many floats fit a last-level cache.
BLOCK_LINES = 32_768


def price_columns(
    columns: OrderColumns,
    rules: Sequence[tuple[str, PricingRule]],
    book: PriceBook,
    log: MessageLog,
    *,
    today: date | None = None,
    factors: Mapping[str, FloatArray] | None = None,
    keep_all: bool = False,
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
    keep_all
        Whether items that arise on no line are kept too: they may, where a rate changes.

    Returns
    -------
    The ledger; amounts are whole minor units and totals are sums of them.
    """
    job = _Job(columns, tuple(rules), book, ~log.refused(), today or date.today(), factors or {},
               keep_all)  # fmt: skip
    blocks = _work_blocks(job, _cuts(columns.order))
    for block in blocks:
        log.take_in(block.said, block.start)
    cost, before_tax, price = (
        np.concatenate([block.totals[n] for block in blocks]) for n in range(3)
    )
    last = blocks[-1].results
    return Ledger(
        priced=np.concatenate([block.priced for block in blocks]),
        currency=book.currency,
        digits=minor_digits(book.currency),
        cost_minor=cost,
        before_tax_minor=before_tax,
        price_minor=price,
        faults=last.faults,
        acts=last.acts,
        item_source=_Items(job, last.failed, blocks[0].items if len(blocks) == 1 else None),
    )


@dataclass(frozen=True, slots=True)
class _Job:
    """All that the price of the lines depends on."""

    columns: OrderColumns
    rules: tuple[tuple[str, PricingRule], ...]
    book: PriceBook
    alive: BoolArray
    today: date
    factors: Mapping[str, FloatArray]
    keep_all: bool


@dataclass(frozen=True, slots=True)
class _Block:
    """Some of the lines, worked."""

    start: int
    priced: BoolArray
    totals: tuple[FloatArray, FloatArray, FloatArray]
    results: RuleResults
    said: MessageLog
    items: tuple[LedgerItem, ...]


@dataclass(slots=True)
class _Items:
    """The items of all lines; worked again where only totals were kept."""

    job: _Job
    failed: Mapping[str, PluginFault]
    held: tuple[LedgerItem, ...] | None

    def __call__(self) -> tuple[LedgerItem, ...]:
        if self.held is None:
            self.held = _work(self.job, 0, len(self.job.columns), self.failed).items
        return self.held


def _cuts(order: IntArray) -> list[tuple[int, int]]:
    """Where to cut the lines into blocks, never through an order."""
    lines = len(order)
    if lines <= BLOCK_LINES or bool(np.any(order[1:] < order[:-1])):
        return [(0, lines)]
    begins = np.flatnonzero(np.diff(order, prepend=order[0] - 1))
    wanted = np.arange(BLOCK_LINES, lines, BLOCK_LINES)
    inner = begins[np.minimum(np.searchsorted(begins, wanted), len(begins) - 1)]
    edges = np.unique(np.concatenate(([0], inner, [lines]))).tolist()
    return list(pairwise(edges))


def _work_blocks(job: _Job, cuts: Sequence[tuple[int, int]]) -> list[_Block]:
    """Work all blocks; a rule that fails on one of them is set aside on all."""
    failed: Mapping[str, PluginFault] = {}
    while True:
        blocks: list[_Block] = []
        for start, stop in cuts:
            block = _work(job, start, stop, failed)
            blocks.append(block if len(cuts) == 1 else replace(block, items=()))
            if len(blocks[-1].results.failed) > len(failed) and len(cuts) > 1:
                failed = blocks[-1].results.failed
                break
        else:
            return blocks


def _work(job: _Job, start: int, stop: int, failed: Mapping[str, PluginFault]) -> _Block:
    lines = slice(start, stop)
    columns, alive, book = take_lines(job.columns, lines), job.alive[lines], job.book
    factors = {key: factor[lines] for key, factor in job.factors.items()}
    results = run_rules(job.rules, columns, Rates(book, columns, factors), alive, failed)
    said = MessageLog(len(columns))
    priced = settle(results, columns, book, alive, said)
    for fault in results.faults:
        text = "its cost is not in this price. Mend or remove the plugin, or switch the rule off."
        said.add(
            alive,
            Message(
                "price", fault.where, f"{fault}; {text}", "review", code="price.rule_set_aside"
            ),
        )
    for message in unknown_rules(book, [rule for _, rule in job.rules]):
        said.add(alive, message)
    for name, rule in _replacing_nothing(job.rules):
        text = f"rule {rule} stands in for it, and no plugin has a rule of that name. Check it."
        said.add(
            alive,
            Message("price", f"replaces: {name}", text, "note", code="price.replaced_rule_unknown"),
        )
    running = _worked(columns, priced, book, results.costs, job.keep_all)
    while running.beyond or bool((running.price < 0.0).any()):
        priced = refuse_beyond(running.beyond, priced, said)
        priced = refuse_below_zero(running, priced, said)
        running = _worked(columns, priced, book, results.costs, job.keep_all)
    doubt_below_cost(running, priced, said)
    doubt_far_above_cost(running, priced, said)
    warn_of_stale(running.items, book, job.today, said)
    totals = (running.cost, running.before_tax, running.price)
    return _Block(start, priced, totals, results, said, tuple(running.items))


def _replacing_nothing(rules: Sequence[tuple[str, PricingRule]]) -> list[tuple[str, str]]:
    """Names that a rule stands in for and no rule has, each with that rule's name."""
    known = {rule.name for _, rule in rules}
    return [
        (name, rule.name)
        for _, rule in rules
        if not wrong_with_rule(rule)
        for name in rule.replaces
        if name not in known
    ]


def _worked(
    columns: OrderColumns,
    priced: BoolArray,
    book: PriceBook,
    costs: Sequence[RuleCost],
    keep_all: bool,
) -> RunningTotals:
    """Work the amounts of all lines that are priced."""
    digits = minor_digits(book.currency)
    running = RunningTotals(columns, priced, digits, book.currency, keep_all)
    # Where an amount is beyond all reason, its line is refused when all is worked.
    with np.errstate(over="ignore", invalid="ignore"):
        _work_stages(running, sorted(costs, key=_rank))
    return running


def _work_stages(running: RunningTotals, ranked: Sequence[RuleCost]) -> None:
    for stage in STAGES:
        for cost in (c for c in ranked if c.rule.stage == stage):
            running.work(cost)
        if stage == COST_STAGES[-1]:
            running.mark_cost()
        if stage == STAGES[-2]:
            running.mark_before_tax()


#: What is worked after what within a stage.
_KINDS = (
    "plain", "share", "net", "beside", "floor line", "floor warp", "floor cloth", "floor order",
    "step",
)  # fmt: skip


def _rank(cost: RuleCost) -> tuple[int, int]:
    column = cost.column
    match column.top_up:
        case "":
            kind = "beside" if column.beside else "share" if column.base else "plain"
        case "floor":
            kind = f"floor {column.per}"
        case "net":
            kind = "net"
        case _:
            kind = "step"
    return STAGES.index(cost.rule.stage), _KINDS.index(kind)
