"""A plugin whose rules leave the program, do not end, or write to what they are given."""

from __future__ import annotations

import sys
from collections.abc import Iterable

import numpy as np

from meshcore.costing.items import CostColumn, PricingRule, Remark
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.rates import Rates
from meshcore.hookspecs import hookimpl


@hookimpl
def meshcore_pricing_rules() -> tuple[PricingRule, ...]:
    """A rule for each way to go wrong."""
    return (
        PricingRule("rule that leaves", "weaving", _leave),
        PricingRule("rule that lingers", "weaving", _linger),
        PricingRule("rule that writes", "weaving", _write),
        PricingRule("rule of words", "weaving", _words),
    )


def _leave(_columns: OrderColumns, _rates: Rates) -> Iterable[CostColumn | Remark]:
    sys.exit(3)


def _linger(_columns: OrderColumns, _rates: Rates) -> Iterable[CostColumn | Remark]:
    while True:
        pass


def _write(columns: OrderColumns, _rates: Rates) -> Iterable[CostColumn | Remark]:
    area = columns.gross_area_m2
    area.flags.writeable = True
    area[:] = 0.0
    return ()


def _words(columns: OrderColumns, _rates: Rates) -> Iterable[CostColumn | Remark]:
    words = np.full(len(columns), "one", dtype=object)
    return (CostColumn("words", "rolls", words, "roll", 1.0, "tests"),)
