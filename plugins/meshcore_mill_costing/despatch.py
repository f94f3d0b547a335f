"""Packing and freight: by mass, by roll and its width, and by consignment."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from meshcore.costing.items import FORMS, CostColumn, OrderColumns, PricingRule, Remark
from meshcore.costing.rates import Rates

PACK_ROLL = "packing.roll"
PACK_MASS = "packing.kg"
PACK_PIECE = "packing.piece"
FREIGHT_MASS = "freight.kg"
FREIGHT_ROLL = "freight.roll"
FREIGHT_CONSIGNMENT = "freight.consignment"

_ROLL = FORMS.index("roll")


def _packing(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    if rates.has(PACK_ROLL):
        yield _by_roll(columns, rates, PACK_ROLL, "packing of rolls")
    if rates.has(PACK_PIECE):
        pieces = np.where(columns.form == _ROLL, 0.0, columns.quantity)
        rate = rates.money(PACK_PIECE, "piece", default=0.0)
        yield CostColumn("packing of pieces", "strips and pieces", pieces, "piece", rate)
    if rates.has(PACK_MASS):
        rate = rates.money(PACK_MASS, "kg", default=0.0)
        yield CostColumn("packing", "mass delivered", columns.net_mass_kg, "kg", rate)


def _freight(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    if rates.has(FREIGHT_MASS):
        rate = rates.money(FREIGHT_MASS, "kg", default=0.0)
        yield CostColumn("freight", "mass delivered", columns.net_mass_kg, "kg", rate)
    if rates.has(FREIGHT_ROLL):
        yield _by_roll(columns, rates, FREIGHT_ROLL, "freight of long rolls")
    if rates.has(FREIGHT_CONSIGNMENT):
        rate = rates.money(FREIGHT_CONSIGNMENT, "order")
        yield CostColumn(
            "freight, consignment", "orders, shared by value", 1.0, "order", rate, per="order"
        )


def _by_roll(columns: OrderColumns, rates: Rates, key: str, label: str) -> CostColumn:
    """Charge each roll delivered by the step of width that it reaches; below the first, nothing."""
    rolls = np.where(columns.form == _ROLL, columns.roll_count, 0.0)
    width = columns.cloth.width_m if rates.size_unit_of(key) == "m" else None
    rate = rates.money(key, "roll", at=width, how="step", default=0.0)
    return CostColumn(label, "rolls", rolls, "roll", rate)


RULES: tuple[PricingRule, ...] = (
    PricingRule("packing", "packing", _packing, reads=(PACK_ROLL, PACK_PIECE, PACK_MASS)),
    PricingRule(
        "freight", "freight", _freight, reads=(FREIGHT_MASS, FREIGHT_ROLL, FREIGHT_CONSIGNMENT)
    ),
)
