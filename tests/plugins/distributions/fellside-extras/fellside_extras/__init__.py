"""An invented mill's extras: one alloy of its own, and a charge for rinsing it."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from meshcore.alloys.reading import read_families
from meshcore.alloys.record import Alloy
from meshcore.costing.items import CostColumn, PricingRule, Remark
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.rates import Rates
from meshcore.hookspecs import hookimpl

#: The alloy that is rinsed, and the key of the rate in the price book.
RINSED = "fellside 18-9"
RINSE = "fellside.rinse"


@hookimpl
def meshcore_alloys() -> tuple[Alloy, ...]:
    """The alloys of the family file beside this module."""
    return read_families(__name__)


@hookimpl
def meshcore_pricing_rules() -> tuple[PricingRule, ...]:
    """One rule: rinsing, by the area of cloth made."""
    return (PricingRule("fellside rinse", "finishing", _rinse, reads=(RINSE,)),)


def _rinse(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    cloth = columns.cloth
    rinsed = np.array([alloy.designation == RINSED for alloy in cloth.alloys] + [False])
    area = np.where(rinsed[cloth.alloy], columns.gross_area_m2, 0.0)
    yield CostColumn("fellside rinse", "cloth made", area, "m2", rates.money(RINSE, "m2"))
