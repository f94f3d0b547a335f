"""Cutting plans as text: what is bought, how it is cut, what is left."""

from __future__ import annotations

from typing import TYPE_CHECKING

from meshcore.supply.cutting import CuttingPlan
from meshcore.supply.slitting.report import report_lines

if TYPE_CHECKING:
    from meshcore.supply.nesting.plan import NestPlan

_MM = 1e3


def plan_text(plan: CuttingPlan) -> str:
    """Write one plan: cloth, patterns, yield with its bound, overs and offcuts."""
    lines = f"Cutting plan of line{'s' if len(plan.rows) > 1 else ''} "
    lines += ", ".join(str(row + 1) for row in plan.rows.tolist())
    body = report_lines(plan.slit) if plan.slit is not None else []
    body += _nest_text(plan.nest) if plan.nest is not None else []
    body += _kept_text(plan)
    return "\n".join([f"{lines}:", *(f"  {row}" for row in body)])


def plan_svg(plan: CuttingPlan) -> str:
    """Draw one plan to scale, as SVG."""
    from meshcore.supply.drawing.nest_drawing import draw_nest_plan  # noqa: PLC0415 - only when it is drawn
    from meshcore.supply.drawing.slit_drawing import draw_slit_plan  # noqa: PLC0415

    if plan.nest is not None:
        return draw_nest_plan(plan.nest)
    return "" if plan.slit is None else draw_slit_plan(plan.slit)


def plan_dxf(plan: CuttingPlan) -> bytes:
    """Write the nest of one plan for the cutter, as DXF; empty for a slit plan, which has none."""
    from meshcore.supply.drawing.nest_dxf import nest_dxf  # noqa: PLC0415 - only when it is written

    return b"" if plan.nest is None else nest_dxf(plan.nest)


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
    return rows


def _kept_text(plan: CuttingPlan) -> list[str]:
    rows = [
        f"keep {o.count} × {o.width_m * _MM:.0f} mm by {o.length_m:.3f} m {o.where}"
        for o in plan.kept
    ]
    if rows:
        rows.append(f"credited for them: {plan.credit_share:.1%} of the cloth's cost")
    return rows
