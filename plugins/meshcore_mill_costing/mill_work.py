"""Welding of welded screen, changing a loom over, and what a warp loses at its ends."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.costing.items import CostColumn, GroupSum, Live, OrderColumns, PricingRule, Remark
from meshcore.costing.rates import RateColumn, Rates
from meshcore.weave.cloth import WELDED, by_alloy
from meshcore_mill_costing.weaving import LAST_BITS, WARP_LENGTH, WELDING, warp_ends
from meshcore_mill_costing.wire import METAL

CROSSINGS = "welding.crossings_per_hour"
LOOM_CHANGE = "weaving.loom_change"
ENDS_WASTE = "weaving.ends_waste"
WARP_WASTE = "weaving.warp_waste"


def _welding(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge the machine for each crossing of a welded screen."""
    if not rates.has(WELDING):
        return
    each = rates.figure(CROSSINGS, "1/h")
    is_welded = columns.cloth.weave == WELDED
    with np.errstate(invalid="ignore"):
        crossings = np.where(is_welded, columns.gross_area_m2 / columns.cloth.pitch_m**2, 0.0)
    yield CostColumn(
        "welding",
        "machine hours",
        crossings / each.values,
        "h",
        rates.money(WELDING, "h"),
        uses=(each,),
        working="{crossings} crossings ÷ {each} an hour",
        terms={"crossings": crossings, "each": each},
        live=Live("{crossings}/{each}"),
    )


def _woven(columns: OrderColumns) -> FloatArray:
    """Length woven to order [m]."""
    woven = np.where(columns.cloth.weave == WELDED, 0.0, columns.run_length_m)
    return columns.woven_to_order(woven)


def _loom_change(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge once for each run of one cloth and width, whose loom is changed over for it."""
    if rates.has(LOOM_CHANGE):
        woven = _woven(columns)
        runs = (columns.over_warp(woven) > 0.0).astype(np.float64)
        rate = rates.money(LOOM_CHANGE, "warp", default=0.0)
        yield CostColumn(
            "loom change", "runs of one cloth and width", runs, "warp", rate, per="warp",
            shared_by=woven,
        )  # fmt: skip


def _warp_waste(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge the wire that each warp loses, and the cloth lost at the ends of each run.

    Both at the price of the metal: as scrap they are worth something, which the book may take off.
    """
    metal = rates.money(METAL, "kg")
    woven = _woven(columns)
    if rates.has(WARP_WASTE):
        waste = rates.figure(WARP_WASTE, "m")
        a_warp = rates.figure(WARP_LENGTH, "m")
        yield _of_warps(columns, woven, waste, a_warp, metal)
    if rates.has(ENDS_WASTE):
        lost = rates.figure(ENDS_WASTE, "m")
        with np.errstate(invalid="ignore", divide="ignore"):
            a_metre = columns.gross_mass_kg / columns.gross_area_m2 * columns.stock_width_m
        runs = (columns.over_warp(woven) > 0.0).astype(np.float64)
        yield CostColumn(
            "ends' waste",
            "cloth lost at the ends of each run",
            runs * lost.values * a_metre,
            "kg",
            metal,
            per="warp",
            shared_by=woven,
            uses=(lost,),
            working="{lost} m of cloth × {a_metre} kg/m",
            terms={"lost": lost, "a_metre": runs * a_metre},
            live=Live("{lost}*{a_metre}"),
        )


def _of_warps(
    columns: OrderColumns,
    woven: FloatArray,
    waste: RateColumn,
    a_warp: RateColumn,
    metal: RateColumn,
) -> CostColumn:
    together = columns.over_warp(woven)
    warps = np.ceil(together / a_warp.values * (1.0 - LAST_BITS))
    wire = columns.cloth.wire_diameter_m
    density = by_alloy(columns.cloth, lambda alloy: alloy.density_kg_m3)
    ends = warp_ends(columns.stock_width_m, columns.cloth.pitch_m)
    a_metre = ends * np.pi / 4.0 * wire**2 * density
    return CostColumn(
        "warp waste",
        "wire that each warp loses",
        warps * waste.values * a_metre,
        "kg",
        metal,
        per="warp",
        shared_by=woven,
        uses=(waste, a_warp),
        working="{warps} warp(s) × {waste} m × {a_metre} kg/m of {ends} ends",
        terms={
            "warps": warps,
            "waste": waste,
            "a_metre": a_metre,
            "ends": ends,
            "together": GroupSum("warp", woven, together),
            "a_warp": a_warp,
        },
        live=Live("ROUNDUP({together}/{a_warp}*(1-1E-12),0)*{waste}*{a_metre}"),
    )


RULES: tuple[PricingRule, ...] = (
    PricingRule("warp waste", "wire", _warp_waste, reads=(WARP_WASTE, ENDS_WASTE)),
    PricingRule("welding", "weaving", _welding, reads=(WELDING, CROSSINGS)),
    PricingRule("loom change", "weaving", _loom_change, reads=(LOOM_CHANGE,)),
)
