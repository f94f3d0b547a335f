"""Overhead, margin, breaks and minimums, surcharges, rounding and tax."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.costing.items import (
    COST_STAGES,
    FORMS,
    STAGES,
    CostColumn,
    GroupSum,
    Live,
    OrderColumns,
    PricingRule,
    Remark,
)
from meshcore.costing.rates import Rates
from meshcore_mill_costing.finishing import RUSH as RUSH_SERVICE
from meshcore_mill_costing.finishing import driver_of
from meshcore_mill_costing.set_price import set_on

OVERHEAD = "overhead.share"
MARGIN = "margin.share"
BREAK = "break.discount"
MINIMUM_LINE = "minimum.line"
MINIMUM_CLOTH = "minimum.cloth"
MINIMUM_ORDER = "minimum.order"
PART_ROLL = "surcharge.part_roll"
RUSH = "surcharge.rush"
ORDER_SET_UP = "surcharge.order_set_up"
ROUNDING = "rounding.step"
TAX = "tax.rate"

#: A base that no row names: all stages before the overhead.
_BEFORE_OVERHEAD = STAGES[: STAGES.index("overhead")]
_SUBTOTAL = ("subtotal",)


def _overhead(_columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge each row of the book as a share of the stages that it names."""
    for base in rates.bases(OVERHEAD):
        names = tuple(base.split(", ")) if base else _BEFORE_OVERHEAD
        rate = rates.figure(OVERHEAD, "", base=base, default=0.0)
        label = f"overhead on {base}" if base else "overhead"
        yield CostColumn(label, base or "cost so far", 0.0, "", rate, base=names)


def _margin(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge the margin on cost, or so much that it is the named share of the price."""
    own = set_on(columns, rates.book).margin
    bases = rates.bases(MARGIN)
    for base in bases:
        rate = rates.figure(MARGIN, "", base=base)
        if np.isfinite(own).any():
            # One margin is set: it stands for all that the book charges.
            instead = own if base == bases[0] else np.zeros(len(own))
            rate = rate.with_values(np.where(np.isfinite(own), instead, rate.values))
        if base == "price":
            too_much = rate.values >= 1.0
            text = "a margin of 100 % of the price or more cannot be. Lower it in the price book."
            yield Remark(
                too_much & np.ones(len(columns), np.bool_),
                "price",
                text,
                "refused",
                code="price.margin_too_high",
            )
            share = np.where(too_much, 0.0, rate.values)
            rate = rate.with_values(share / (1.0 - share))
            yield CostColumn("margin on price", "cost", 0.0, "", rate, base=COST_STAGES,
                             working="rate: {share} of the price is {share} ÷ (1 − {share}) of "
                             "the cost", terms={"share": share},
                             live=Live(rate="{rate}/(1-{rate})"))  # fmt: skip
        else:
            yield CostColumn("margin on cost", "cost", 0.0, "", rate, base=COST_STAGES)


def _quantity_break(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Credit the discount of the last step that the lines of one cloth in the order reach."""
    if not rates.has(BREAK):
        return
    driver = driver_of(columns, rates.size_unit_of(BREAK))
    size = columns.over_cloth(driver[1]) if driver else None
    rate = rates.figure(BREAK, "", at=size, how="step", default=0.0)
    if driver is None or size is None:
        yield CostColumn("quantity break (credit)", "subtotal", 0.0, "", rate,
                         base=_SUBTOTAL, credit=True)  # fmt: skip
        return
    counted = driver[0]
    yield CostColumn(
        "quantity break (credit)",
        f"subtotal; break by {counted} of the order in this cloth",
        0.0,
        "",
        rate,
        base=_SUBTOTAL,
        credit=True,
        working=f"{{size}} {rates.size_unit_of(BREAK)} of {counted} in this cloth: {{share}}",
        terms={"size": GroupSum("cloth", driver[1], size), "share": rate.values},
        live=Live(at="{size}"),
    )


def _minimum_line(_columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    if rates.has(MINIMUM_LINE):
        rate = rates.money(MINIMUM_LINE, "line", default=0.0)
        yield CostColumn("minimum charge per line", "shortfall of the line", 0.0, "", rate,
                         base=_SUBTOTAL, top_up="floor")  # fmt: skip


def _minimum_cloth(_columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    if rates.has(MINIMUM_CLOTH):
        rate = rates.money(MINIMUM_CLOTH, "cloth", default=0.0)
        label = "shortfall of the order's lines in this cloth, shared by value"
        yield CostColumn("minimum charge per cloth", label, 0.0, "", rate,
                         base=_SUBTOTAL, top_up="floor", per="cloth")  # fmt: skip


def _minimum_order(_columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    if rates.has(MINIMUM_ORDER):
        rate = rates.money(MINIMUM_ORDER, "order")
        yield CostColumn("minimum charge per order", "shortfall of the order, shared by value",
                         0.0, "", rate, base=_SUBTOTAL, top_up="floor", per="order")  # fmt: skip


def _part_rolls(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    if rates.has(PART_ROLL):
        parts: FloatArray = np.where(
            columns.form == FORMS.index("roll"), columns.part_roll_count, 0.0
        )
        rate = rates.money(PART_ROLL, "roll", default=0.0)
        yield CostColumn("part-roll surcharge", "part rolls", parts, "roll", rate)


def _rush(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    asked = columns.services.get(RUSH_SERVICE)
    if asked is not None and asked.any():
        rate = rates.figure(RUSH, "", default=None)
        if np.isnan(rate.values).any():
            text = f"the price book has no {RUSH}. Add it there, or ask for the usual delivery."
            missing = asked & np.isnan(rate.values)
            yield Remark(
                missing,
                "services",
                text,
                "refused",
                RUSH_SERVICE,
                code="services.rush_without_rate",
            )
        share = np.where(asked, np.nan_to_num(rate.values), 0.0)
        yield CostColumn("rush", "price so far of what is in a rush", 0.0, "",
                         rate.with_values(share), base=_SUBTOTAL)  # fmt: skip


def _order_set_up(_columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    if rates.has(ORDER_SET_UP):
        rate = rates.money(ORDER_SET_UP, "order")
        yield CostColumn("order set-up", "orders, shared by value", 1.0, "order", rate, per="order")


def _rounding(_columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Bring the line to the rounding step: up, or to the nearest, which may be a credit."""
    if rates.has(ROUNDING):
        nearest = rates.book.rounding == "nearest"
        label = "rounding (charge or credit)" if nearest else "rounding up"
        yield CostColumn(label, "to the step", 0.0, "", rates.money(ROUNDING, "line"),
                         base=_SUBTOTAL,
                         top_up="step nearest" if nearest else "step up")  # fmt: skip


def _tax(_columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    if rates.has(TAX):
        rate = rates.figure(TAX, "", default=0.0)
        yield CostColumn("tax", "price before tax", 0.0, "", rate, base=_SUBTOTAL)


RULES: tuple[PricingRule, ...] = (
    PricingRule("overhead", "overhead", _overhead, reads=(OVERHEAD,)),
    PricingRule("margin", "margin", _margin, reads=(MARGIN,)),
    PricingRule("quantity break", "breaks and minimums", _quantity_break, reads=(BREAK,)),
    PricingRule("minimum per line", "breaks and minimums", _minimum_line, reads=(MINIMUM_LINE,)),
    PricingRule("minimum per cloth", "breaks and minimums", _minimum_cloth, reads=(MINIMUM_CLOTH,)),
    PricingRule("minimum per order", "breaks and minimums", _minimum_order, reads=(MINIMUM_ORDER,)),
    PricingRule("part-roll surcharge", "surcharges", _part_rolls, reads=(PART_ROLL,)),
    PricingRule("rush", "surcharges", _rush, reads=(RUSH,)),
    PricingRule("order set-up", "surcharges", _order_set_up, reads=(ORDER_SET_UP,)),
)
#: Rules that follow all others of their stage.
LAST_RULES: tuple[PricingRule, ...] = (
    PricingRule("rounding", "surcharges", _rounding, reads=(ROUNDING,)),
    PricingRule("tax", "tax", _tax, reads=(TAX, "tax.destination.")),
)
