"""What a line's price stands on before any rate: cloth, mass, supply, cuts and ends, in words."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from meshcore.arrays import FloatArray
from meshcore.costing.explain import explain_line
from meshcore.costing.ledger import Ledger
from meshcore.costing.order_columns import OrderColumns
from meshcore.enquiry import PIECE, ROLL, STRIP
from meshcore.rounding import SLACK
from meshcore.supply.cutting import CuttingPlan
from meshcore.supply.forms import SupplyColumns
from meshcore.weave.cloth import WELDED, by_alloy

#: Figures of a size, an area or a mass, enough to redo the amounts to the minor unit.
_FIGURES = 9
_MM = 1e3


@dataclass(frozen=True, slots=True)
class PricedFacts:
    """What an explanation stands on: the lines of a priced list, as they were reckoned.

    Parameters
    ----------
    orders, supply
        The lines as the pricing rules saw them, and the cloth consumed.
    mass_per_area_kg_m2
        Mass of cloth [kg/m²].
    ledger
        Cost items.
    path_model
        The rule of the wire's path.
    plans
        Cutting plans.
    laid
        How the strips or pieces of a line that no plan cuts lie on the cloth, in words.
    """

    orders: OrderColumns
    supply: SupplyColumns
    mass_per_area_kg_m2: FloatArray
    ledger: Ledger
    path_model: str
    plans: Sequence[CuttingPlan]
    laid: Callable[[int], Iterable[str]]


def explain_priced(estimates: PricedFacts, line: int) -> str:
    """Write out how a line's price comes about, from its specification to the total.

    Returns
    -------
    Plain text: the cloth and its mass, what is consumed and how it is cut, then every cost item
    with its arithmetic, and what each base contains.
    """
    priced = explain_line(estimates.ledger, line)
    if not estimates.ledger.priced[line]:
        return priced
    return "\n".join([*_cloth(estimates, line), *_supply(estimates, line), priced])


def _n(value: float) -> str:
    return f"{float(value):.{_FIGURES}g}"


def _weighed(mass: float, wire: float, pitch: float, path: float, density: float) -> str:
    """Factor of the weighed samples, where the mass is not just the reckoned."""
    reckoned = math.pi / 2 * wire**2 * density / pitch * path
    factor = mass / reckoned
    return "" if abs(factor - 1.0) < SLACK else f" × {_n(factor)} as weighed"


def _cloth(estimates: PricedFacts, line: int) -> Iterator[str]:
    cloth = estimates.orders.cloth
    pitch, wire, path = (
        float(column[line]) for column in (cloth.pitch_m, cloth.wire_diameter_m, cloth.path_ratio)
    )
    density = float(by_alloy(cloth, lambda alloy: alloy.density_kg_m3)[line])
    mass = float(estimates.mass_per_area_kg_m2[line])
    yield "Cloth"
    yield (
        f"  pitch {_n(pitch * _MM)} mm, wire {_n(wire * _MM)} mm, {_n(density)} kg/m³; the wire "
        f"runs {_n(path)} times the cloth's length ({estimates.path_model} path)"
    )
    yield (
        f"  mass per area = π/2 × ({_n(wire)} m)² × {_n(density)} kg/m³ ÷ {_n(pitch)} m × "
        f"{_n(path)}{_weighed(mass, wire, pitch, path, density)} = {_n(mass)} kg/m²"
    )


def _supply(estimates: PricedFacts, line: int) -> Iterator[str]:
    orders, supply = estimates.orders, estimates.supply
    quantity, net = float(orders.quantity[line]), float(supply.net_area_m2[line])
    mass = float(estimates.mass_per_area_kg_m2[line])
    width, run, gross = (
        float(column[line])
        for column in (supply.stock_width_m, supply.run_length_m, supply.gross_area_m2)
    )
    yield "Supply"
    yield (f"  delivered {_n(net)} m², {_n(net * mass)} kg: {_delivered(estimates, line)}")
    plan = next((one for one in estimates.plans if line in one.rows), None)
    if plan is None:
        how = _how(int(orders.form[line]))
        yield f"  stock width {_n(width * _MM)} mm, run of {_n(run)} m: {how}"
        if orders.form[line] != ROLL:
            yield from (f"  {text}" for text in estimates.laid(line))
    else:
        yield from _planned(estimates, plan, line)
    yield f"  consumed {_n(width)} m × {_n(run)} m = {_n(gross)} m², {_n(gross * mass)} kg"
    if estimates.orders.cloth.weave[line] != WELDED:
        pitch = float(orders.cloth.pitch_m[line])
        widths = [width] if plan is None else sorted(plan.layout.length_by_width)
        ends = " and ".join(f"{_n(one)} m ÷ {_n(pitch)} m" for one in widths)
        yield (
            f"  ends = {ends}, whole, and one that closes the last; "
            f"picks = {_n(run)} m ÷ {_n(pitch)} m = {_n(run / pitch)}"
        )
    yield f"  {_cut_text(estimates, plan, line)}"
    rolls, parts = float(supply.roll_count[line]), float(supply.part_roll_count[line])
    whole = "neither full nor half" if orders.form[line] == ROLL else "not cut up whole"
    yield f"  from {_n(rolls)} rolls of cloth, {_n(parts)} of them {whole}"
    if quantity > 1.0:
        yield f"  of {_n(quantity)} alike, each consumes {_n(gross / quantity)} m²"


def _delivered(estimates: PricedFacts, line: int) -> str:
    orders, supply = estimates.orders, estimates.supply
    quantity, net = float(orders.quantity[line]), float(supply.net_area_m2[line])
    if orders.form[line] == PIECE:
        return f"{_n(quantity)} pieces of {_n(net / quantity)} m² each"
    width = float(orders.cloth.width_m[line])
    return f"{_n(quantity)} × {_n(width)} m × {_n(net / quantity / width)} m"


def _planned(estimates: PricedFacts, plan: CuttingPlan, line: int) -> Iterator[str]:
    """Tell the cloth of the line's plan, and which part of it is the line's."""
    supply = estimates.supply
    together = ", ".join(str(row + 1) for row in plan.rows.tolist())
    lengths = " and ".join(
        f"{_n(width * _MM)} mm × {_n(length)} m"
        for width, length in sorted(plan.layout.length_by_width.items())
    )
    net, all_net = float(supply.net_area_m2[line]), float(supply.net_area_m2[plan.rows].sum())
    yield f"  cut by a plan with lines {together}: {lengths}, {_n(plan.area_m2)} m² in all"
    yield (
        f"  the line's part by the area delivered = {_n(net)} m² ÷ {_n(all_net)} m² = "
        f"{_n(net / all_net)}: a run of {_n(float(supply.run_length_m[line]))} m of "
        f"{_n(float(supply.stock_width_m[line]) * _MM)} mm"
        f"{', their mean width' if len(plan.layout.length_by_width) > 1 else ''}"
    )


def _cut_text(estimates: PricedFacts, plan: CuttingPlan | None, line: int) -> str:
    supply = estimates.supply
    cut, count = float(supply.cut_length_m[line]), float(supply.cut_count[line])
    if not count:
        return "no cuts"
    in_all = plan.layout.supplied.get("cut_length_m") if plan is not None else None
    if in_all is None:
        return f"cut {_n(cut)} m in {_n(count)} cuts: {_cuts(estimates, line)}"
    return (
        f"cut {_n(cut)} m: the line's part of the {_n(in_all)} m of the plan; {_n(count)} cuts are "
        "handled, as in whole rows"
    )


def _how(form: int) -> str:
    return {
        ROLL: "the rolls, each in full, half and part lengths as costs least",
        STRIP: "rows of strips side by side with their kerfs, between the trimmed edges",
        PIECE: "rows of pieces side by side with their spacing, or laid closer where that is less",
    }[form]


def _cuts(estimates: PricedFacts, line: int) -> str:
    return {
        ROLL: "along the roll where it is trimmed from a wider cloth, across at a part length",
        STRIP: "along each strip and one edge of each row, across at the end of each row",
        PIECE: "round each piece, holes too",
    }[int(estimates.orders.form[line])]
