"""Wire: metal by the kilogram, alloy surcharge, and what drawing adds as wire gets finer."""

from __future__ import annotations

from collections.abc import Iterable

from meshcore.costing.items import CostColumn, Live, OrderColumns, PricingRule, Remark
from meshcore.costing.rates import RateColumn, Rates

METAL = "wire.metal"
SURCHARGE = "wire.alloy_surcharge"
DRAWING = "wire.drawing_extra"
SCRAP = "wire.scrap"


def _by_mass_drawn(label: str, columns: OrderColumns, rates: Rates, rate: RateColumn) -> CostColumn:
    """Charge the wire bought: the cloth consumed, and the share of wire lost in weaving."""
    scrap = rates.figure(SCRAP, "", default=0.0)
    return CostColumn(
        label,
        "wire mass incl. weaving scrap",
        columns.gross_mass_kg * (1.0 + scrap.values),
        "kg",
        rate,
        uses=(scrap,),
        working="{mass} kg of cloth × (1 + {scrap} of it scrap)",
        terms={"mass": columns.gross_mass_kg, "scrap": scrap},
        live=Live("{mass}*(1+{scrap})"),
    )


def _metal(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    yield _by_mass_drawn("base metal", columns, rates, rates.money(METAL, "kg"))


def _alloy_surcharge(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge the surcharge; an alloy for which the book lists none bears none."""
    if rates.has(SURCHARGE):
        rate = rates.money(SURCHARGE, "kg", default=0.0)
        yield _by_mass_drawn("alloy surcharge", columns, rates, rate)


def _drawing_extra(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge the drawing extra by wire size, on the straight line between the table's sizes."""
    if rates.has(DRAWING):
        rate = rates.money(DRAWING, "kg", at=columns.cloth.wire_diameter_m)
        yield _by_mass_drawn("drawing extra", columns, rates, rate)


RULES: tuple[PricingRule, ...] = (
    PricingRule("wire metal", "wire", _metal, reads=(METAL, SCRAP)),
    PricingRule("alloy surcharge", "wire", _alloy_surcharge, reads=(SURCHARGE, SCRAP)),
    PricingRule("drawing extra", "wire", _drawing_extra, reads=(DRAWING, SCRAP)),
)
