"""Finishing services, by whatever unit the price book charges them in; and cutting."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from meshcore.alloys.record import Alloy
from meshcore.arrays import BoolArray, FloatArray
from meshcore.costing.items import CostColumn, OrderColumns, PricingRule, Remark
from meshcore.costing.rates import Rates
from meshcore.enquiry import Service
from meshcore.plugins import installed

#: What a mill commonly does after weaving; common practice, no source.
SERVICES: tuple[Service, ...] = (
    Service("cut", ("cutting", "cut to size", "shear", "shearing"), "metre of cut"),
    Service("slit", ("slitting",), "metre of cut"),
    Service(
        "weld seam",
        ("weld", "weld seams", "welding", "welded seam", "seam"),
        "metre of cut",
        "weld",
    ),
    Service("form", ("forming", "press", "pressing", "bend", "bending"), "piece", "form"),
    Service("anneal", ("annealing", "annealed"), "kg", "anneal"),
    Service("calender", ("calendering", "calendered", "rolled flat"), "m2", "form"),
    Service("coat", ("coating", "coated", "paint", "powder coat"), "m2", "coat"),
    Service("clean", ("cleaning", "degrease", "degreasing", "degreased"), "m2"),
    Service(
        "edge finish",
        (
            "edge finishing",
            "edging",
            "edges bound",
            "bound edges",
            "edge binding",
            "taped edges",
            "hemmed edges",
        ),
        "metre of cut",
    ),
    Service("certificate", ("certificates", "mill certificate", "test report", "3.1"), "lot"),
    Service("rush", ("urgent", "express", "priority"), "share of the price"),
)
#: Services that the cutting stage charges by the cuts that a form needs.
CUTTING_SERVICES = ("cut", "slit")
RUSH = "rush"

SERVICE = "service."
SET_UP = ".set_up"
CUT_METRE = "cutting.metre"
CUT_EACH = "cutting.cut"
#: Canonical unit of a rate → what it is reckoned on, and the column that counts it.
_DRIVERS: dict[str, tuple[str, str]] = {
    "piece": ("pieces", "quantity"),
    "roll": ("rolls", "roll_count"),
    "cut": ("cuts", "cut_count"),
    "m": ("metres of cut", "cut_length_m"),
    "m2": ("area delivered", "net_area_m2"),
    "kg": ("mass delivered", "net_mass_kg"),
}
#: Units that are charged once a line.
_ONCE = ("lot", "line", "certificate", "set-up")


def driver_of(columns: OrderColumns, unit: str) -> tuple[str, FloatArray] | None:
    """Return what a rate per `unit` counts, and how many per line; None for no such unit."""
    if unit in _ONCE:
        return unit + "s", np.broadcast_to(1.0, len(columns))
    driver = _DRIVERS.get(unit)
    return None if driver is None else (driver[0], getattr(columns, driver[1]))


def _services(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    needs = {s.name: s.needs for _, s in installed().collect("meshcore_services", Service)}
    for name, asked in columns.services.items():
        if name == RUSH or not asked.any():
            continue
        yield from _unfit(columns, name, asked, needs.get(name, ""))
        if name in CUTTING_SERVICES:
            uncut = asked & ~(columns.cut_length_m > 0.0)
            text = "this form needs no cut. Ask for strips or pieces, with their sizes."
            yield Remark(uncut, "services", text, "review", name, code="services.cut_not_needed")
        else:
            yield from _charged(columns, rates, name, asked)


def _charged(
    columns: OrderColumns, rates: Rates, name: str, asked: BoolArray
) -> Iterable[CostColumn | Remark]:
    key = SERVICE + name
    unit = rates.unit_of(key) if rates.has(key) else "lot"
    driver = driver_of(columns, unit)
    if driver is None:
        text = f"the price book charges {key} per {unit}, which no line has. Mend the price book."
        yield Remark(asked, "services", text, "refused", name, code="services.unit_unknown")
        return
    counted, quantity = driver
    yield CostColumn(name, counted, np.where(asked, quantity, 0.0), unit, rates.money(key, unit))
    absent = asked & ~(quantity > 0.0)
    text = f"it is charged by {counted}, of which this line has none; nothing is charged for it."
    yield Remark(absent, "services", text, "review", name, code="services.nothing_to_charge")
    if rates.has(key + SET_UP):
        rate = rates.money(key + SET_UP, rates.unit_of(key + SET_UP))
        set_ups = (asked & (quantity > 0.0)).astype(np.float64)
        yield CostColumn(f"{name}, set-up", "set-ups", set_ups, "lot", rate)


def _unfit(
    columns: OrderColumns, name: str, asked: BoolArray, needs: str
) -> Iterable[CostColumn | Remark]:
    """Flag the lines whose alloy does not take the service, or takes it badly."""
    if not needs:
        return
    codes = columns.cloth.alloy
    for code in np.unique(codes[asked]).tolist():
        if code < 0:
            continue
        alloy = columns.cloth.alloys[code]
        if remark := _fitness(alloy, name, needs, asked & (codes == code)):
            yield remark


def _fitness(alloy: Alloy, name: str, needs: str, rows: BoolArray) -> Remark | None:
    rating = alloy.services.get(needs)
    if rating is None:
        text = f"whether {alloy.designation} takes it is not known here. Ask the works first."
        return Remark(rows, "services", text, "review", name, code="services.alloy_not_known")
    said = f"({needs}: {rating.reason})"
    if rating.level == "no":
        text = f"{alloy.designation} does not take it {said}. Leave it out or take another alloy."
        return Remark(rows, "services", text, "refused", name, code="services.alloy_refuses")
    if rating.level == "poor":
        text = f"{alloy.designation} takes it poorly {said}. Ask the works before promising it."
        return Remark(rows, "services", text, "review", name, code="services.alloy_poor")
    return None


def _cutting(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    if rates.has(CUT_METRE):
        rate = rates.money(CUT_METRE, "m", default=0.0)
        yield CostColumn("cutting", "metres of cut", columns.cut_length_m, "m", rate)
    if rates.has(CUT_EACH):
        rate = rates.money(CUT_EACH, "cut", default=0.0)
        yield CostColumn("handling of cuts", "cuts", columns.cut_count, "cut", rate)


def _offcuts(columns: OrderColumns, _rates: Rates) -> Iterable[CostColumn | Remark]:
    """Credit what a cutting plan leaves over and the mill takes back to stock.

    Before the minimums, or a line at its minimum would get cheaper as its cloth gets dearer; and
    after cutting, whose sum it could turn negative under the overhead.
    """
    if np.any(columns.offcut_credit):
        yield CostColumn(
            "offcut credit",
            "cloth, wire and weaving",
            np.zeros(len(columns)),
            "",
            columns.offcut_credit,
            origin="supply policy: what offcuts worth keeping are credited at",
            base=("wire", "weaving"),
            credit=True,
        )


RULES: tuple[PricingRule, ...] = (
    PricingRule("services", "finishing", _services, reads=(SERVICE,)),
    PricingRule("cutting", "cutting", _cutting, reads=(CUT_METRE, CUT_EACH)),
    PricingRule("offcut credit", "packing", _offcuts),
)
