"""A plugin whose rules raise when they are asked."""

from __future__ import annotations

from collections.abc import Iterable

from meshcore.costing.items import CostColumn, PricingRule, Remark
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.rates import Rates
from meshcore.hookspecs import hookimpl
from meshcore.weave.cloth import ClothColumns, Judgement, WeaveRule


@hookimpl
def meshcore_pricing_rules() -> tuple[PricingRule, ...]:
    """A rule that raises halfway, after it has given a cost."""
    return (PricingRule("rule that raises", "weaving", _raise_late),)


@hookimpl
def meshcore_weave_rules() -> tuple[WeaveRule, ...]:
    """A rule that raises at once."""
    return (WeaveRule("weave rule that raises", "wire_diameter", "tests", "refused", _raise),)


def _raise_late(columns: OrderColumns, _rates: Rates) -> Iterable[CostColumn | Remark]:
    yield CostColumn("lost", "rolls", columns.quantity, "roll", columns.quantity * 1e6, "tests")
    raise ZeroDivisionError("the loom was set to no picks at all")


def _raise(_cloth: ClothColumns) -> Judgement:
    raise KeyError("no such loom")
