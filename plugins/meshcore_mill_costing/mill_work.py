"""Welding of welded screen, changing a loom over, and what a warp loses at its ends."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.costing.items import CostColumn, GroupSum, Live, OrderColumns, PricingRule, Remark
from meshcore.costing.rates import RateColumn, Rates
from meshcore.weave.cloth import WELDED, by_alloy
from meshcore_mill_costing.weaving import (
    RUN_LENGTH,
    WARP_LENGTH,
    WELDING,
    Runs,
    runs_of,
    warp_ends,
    warps_of,
)
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


def _loom_change(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge once for each run of one cloth and width, whose loom is changed over for it."""
    if rates.has(LOOM_CHANGE):
        rate = rates.money(LOOM_CHANGE, "warp", default=0.0)
        for runs in runs_of(columns):
            yield CostColumn(
                "loom change", "runs of one cloth and width", _is_run(runs), "warp", rate,
                per=runs.per, shared_by=runs.length_m, shared_in=RUN_LENGTH,
            )  # fmt: skip


def _is_run(runs: Runs) -> FloatArray:
    return (runs.together_m > 0.0).astype(np.float64)


def _warp_waste(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge the wire that each warp loses, and the cloth lost at the ends of each run.

    Both at the price of the metal: as scrap they are worth something, which the book may take off.
    """
    metal = rates.money(METAL, "kg")
    for runs in runs_of(columns):
        if rates.has(WARP_WASTE):
            yield _of_warps(runs, columns, rates, metal)
        if rates.has(ENDS_WASTE):
            yield _of_ends(runs, columns, rates, metal)


def _of_ends(runs: Runs, columns: OrderColumns, rates: Rates, metal: RateColumn) -> CostColumn:
    lost = rates.figure(ENDS_WASTE, "m")
    with np.errstate(invalid="ignore", divide="ignore"):
        a_metre = columns.gross_mass_kg / columns.gross_area_m2 * runs.width_m
    is_run = _is_run(runs)
    return CostColumn(
        "ends' waste",
        "cloth lost at the ends of each run",
        is_run * lost.values * a_metre,
        "kg",
        metal,
        per=runs.per,
        shared_by=runs.length_m,
        shared_in=RUN_LENGTH,
        uses=(lost,),
        working="{lost} m of cloth × {a_metre} kg/m",
        terms={"lost": lost, "a_metre": is_run * a_metre},
        live=Live("{lost}*{a_metre}"),
    )


def _of_warps(runs: Runs, columns: OrderColumns, rates: Rates, metal: RateColumn) -> CostColumn:
    waste = rates.figure(WARP_WASTE, "m")
    a_warp = rates.figure(WARP_LENGTH, "m")
    warps = warps_of(runs, a_warp)
    wire = columns.cloth.wire_diameter_m
    density = by_alloy(columns.cloth, lambda alloy: alloy.density_kg_m3)
    ends = warp_ends(runs.width_m, columns.cloth.pitch_m)
    a_metre = ends * np.pi / 4.0 * wire**2 * density
    return CostColumn(
        "warp waste",
        "wire that each warp loses",
        warps * waste.values * a_metre,
        "kg",
        metal,
        per=runs.per,
        shared_by=runs.length_m,
        shared_in=RUN_LENGTH,
        uses=(waste, a_warp),
        working="{warps} warp(s) × {waste} m × {a_metre} kg/m of {ends} ends",
        terms={
            "warps": warps,
            "waste": waste,
            "a_metre": a_metre,
            "ends": ends,
            "together": GroupSum(runs.per, runs.length_m, runs.together_m),
            "a_warp": a_warp,
        },
        live=Live("ROUNDUP({together}/{a_warp}*(1-1E-12),0)*{waste}*{a_metre}"),
    )


RULES: tuple[PricingRule, ...] = (
    PricingRule(
        "warp waste", "wire", _warp_waste, reads=(WARP_WASTE, ENDS_WASTE, WARP_LENGTH, METAL)
    ),
    PricingRule("welding", "weaving", _welding, reads=(WELDING, CROSSINGS)),
    PricingRule("loom change", "weaving", _loom_change, reads=(LOOM_CHANGE,)),
)
