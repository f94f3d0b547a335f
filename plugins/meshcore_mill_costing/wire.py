"""Wire: metal by the kilogram, alloy surcharge, and what drawing adds as wire gets finer."""

from __future__ import annotations

from collections.abc import Iterable

from meshcore.arrays import FloatArray
from meshcore.costing.items import CostColumn, OrderColumns, PricingRule, Remark
from meshcore.costing.rates import RateColumn, Rates

METAL = "wire.metal"
SURCHARGE = "wire.alloy_surcharge"
DRAWING = "wire.drawing_extra"
SCRAP = "wire.scrap"

_DRIVER = "wire mass incl. weaving scrap"


def _mass_drawn(columns: OrderColumns, rates: Rates) -> tuple[FloatArray, RateColumn]:
    """Mass of wire bought [kg]: the cloth consumed, and the share of wire lost in weaving."""
    scrap = rates.figure(SCRAP, "", default=0.0)
    return columns.gross_mass_kg * (1.0 + scrap.values), scrap


def _metal(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    mass, scrap = _mass_drawn(columns, rates)
    yield CostColumn("base metal", _DRIVER, mass, "kg", rates.money(METAL, "kg"), uses=(scrap,))


def _alloy_surcharge(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge the surcharge; an alloy for which the book lists none bears none."""
    if rates.has(SURCHARGE):
        mass, scrap = _mass_drawn(columns, rates)
        rate = rates.money(SURCHARGE, "kg", default=0.0)
        yield CostColumn("alloy surcharge", _DRIVER, mass, "kg", rate, uses=(scrap,))


def _drawing_extra(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge the drawing extra by wire size, on the straight line between the table's sizes."""
    if rates.has(DRAWING):
        mass, scrap = _mass_drawn(columns, rates)
        rate = rates.money(DRAWING, "kg", at=columns.cloth.wire_diameter_m)
        yield CostColumn("drawing extra", _DRIVER, mass, "kg", rate, uses=(scrap,))


RULES: tuple[PricingRule, ...] = (
    PricingRule("wire metal", "wire", _metal, reads=(METAL, SCRAP)),
    PricingRule("alloy surcharge", "wire", _alloy_surcharge, reads=(SURCHARGE, SCRAP)),
    PricingRule("drawing extra", "wire", _drawing_extra, reads=(DRAWING, SCRAP)),
)
