"""Cutting plans as text: what is bought, how it is cut, what is left."""

from __future__ import annotations

from meshcore.supply.cutting import CuttingPlan
from meshcore.supply.nesting import report as nest_report
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.slitting import report as slit_report
from meshcore.supply.slitting.plan import SlitPlan
from meshcore.weave.drawing.svg import Theme

_MM = 1e3


def plan_text(plan: CuttingPlan) -> str:
    """Write one plan: cloth, patterns, yield with its bound, overs and offcuts."""
    lines = f"Cutting plan of line{'s' if len(plan.rows) > 1 else ''} "
    lines += ", ".join(str(row + 1) for row in plan.rows.tolist())
    match plan.layout:
        case SlitPlan() as slit:
            body = slit_report.report_lines(slit)
        case NestPlan() as nest:
            body = nest_report.report_lines(nest)
    return "\n".join([f"{lines}:", *(f"  {row}" for row in (*body, *_kept_text(plan)))])


def plan_svg(plan: CuttingPlan, theme: Theme = "system") -> str:
    """Draw one plan to scale, as SVG."""
    from meshcore.supply.drawing.nest_drawing import draw_nest_plan  # noqa: PLC0415 - only when it is drawn
    from meshcore.supply.drawing.slit_drawing import draw_slit_plan  # noqa: PLC0415

    match plan.layout:
        case SlitPlan() as slit:
            return draw_slit_plan(slit, theme)
        case NestPlan() as nest:
            return draw_nest_plan(nest, theme)


def plan_dxf(plan: CuttingPlan) -> bytes:
    """Write one plan for the machine, as DXF: the nest, or the patterns with their knives."""
    from meshcore.supply.drawing.nest_dxf import nest_dxf  # noqa: PLC0415 - only when it is written
    from meshcore.supply.drawing.slit_dxf import slit_dxf  # noqa: PLC0415

    match plan.layout:
        case SlitPlan() as slit:
            return slit_dxf(slit)
        case NestPlan() as nest:
            return nest_dxf(nest)


def _kept_text(plan: CuttingPlan) -> list[str]:
    rows = [
        f"keep {o.count} × {o.width_m * _MM:.0f} mm by {o.length_m:.3f} m {o.where}"
        for o in plan.kept
    ]
    if rows:
        rows.append(f"credited for them: {plan.credit_share:.1%} of the cloth's cost")
    return rows
