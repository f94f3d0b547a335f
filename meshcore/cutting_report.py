"""Cutting plans as text: what is bought, how it is cut, what is left."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from meshcore.supply.cutting import CuttingPlan

if TYPE_CHECKING:
    from meshcore.supply.nest_plan import NestPlan
    from meshcore.supply.offcuts import Offcut
    from meshcore.supply.slit_plan import Run, SlitPlan

_MM = 1e3


def plan_text(plan: CuttingPlan) -> str:
    """Write one plan: cloth, patterns, yield with its bound, overs and offcuts."""
    lines = f"Cutting plan of line{'s' if len(plan.rows) > 1 else ''} "
    lines += ", ".join(str(row + 1) for row in plan.rows.tolist())
    body = _slit_text(plan.slit) if plan.slit is not None else []
    body += _nest_text(plan.nest) if plan.nest is not None else []
    return "\n".join([f"{lines}:", *(f"  {row}" for row in body)])


def _slit_text(plan: SlitPlan) -> list[str]:
    rows = [
        f"{roll.count} {roll.kind} roll{'s' if roll.count > 1 else ''}, "
        f"{stock.width_m * _MM:.1f} mm wide, {roll.length_m:.3f} m long"
        for stock, rolls in zip(plan.terms.stocks, plan.rolls, strict=True)
        for roll in rolls
    ]
    rows += [_run_text(plan, run) for run in plan.runs]
    rows.append(
        f"yield {plan.yield_share:.1%}, at most {plan.gap:.1%} above the least possible cloth"
    )
    overs = int(plan.overs.sum())
    if overs:
        rows.append(f"{overs} strips over fall out of the cloth; they are not billed")
    return rows + _offcut_text(plan.offcuts)


def _run_text(plan: SlitPlan, run: Run) -> str:
    widths = groupby(f"{lane.width_m * _MM:g}" for lane in run.lanes)
    lanes = " + ".join(f"{len(list(alike))} × {width}" for width, alike in widths)
    width = plan.terms.stocks[run.stock].width_m * _MM
    return f"{run.repeats} × {run.length_m:.3f} m of {width:.1f} mm slit to {lanes} mm"


def _nest_text(plan: NestPlan) -> list[str]:
    rows = [
        f"{cloth.repeats} × {cloth.length_m:.3f} m of {plan.width_m * _MM:.1f} mm cloth"
        for cloth in plan.cloths
    ]
    checked = "checked: all inside, none overlapping" if plan.checked else "not checked"
    rows.append(f"{plan.pieces} pieces by {plan.method}; {checked}")
    rows.append(
        f"yield {plan.yield_share:.1%}, {plan.count_per_metre:.3g} a metre, at most "
        f"{plan.gap:.1%} above the least possible length"
    )
    return rows + _offcut_text(plan.kept)


def _offcut_text(offcuts: Sequence[Offcut]) -> list[str]:
    return [
        f"offcut {o.where}: {o.count} × {o.width_m * _MM:.0f} mm by {o.length_m:.3f} m"
        for o in offcuts
    ]
