"""Slit plan in words: what to buy, how to slit it, what is left."""

from __future__ import annotations

from collections import Counter

from meshcore.supply.slitting.plan import Run, SlitPlan

_MM = 1e3


def report_lines(plan: SlitPlan) -> list[str]:
    """Describe a plan, one fact a line, as the slitter needs it.

    Examples
    --------
    >>> import numpy as np
    >>> from meshcore.supply.policy import default_supply_policy
    >>> from meshcore.supply.slitting.plan import StripOrder, slit_terms
    >>> from meshcore.supply.slitting.planning import slit
    >>> order = StripOrder(np.array([0.45]), np.array([30.0]), np.array([2]))
    >>> for line in report_lines(slit(order, slit_terms(default_supply_policy()))):
    ...     print(line)
    buy 1 part roll 914.4 mm × 30.000 m
    slit 1 × 30.000 m of 914.4 mm cloth: 2 × 450 mm
    left 1 × 4.4 mm × 30.000 m beside the strips
    27.43 m² bought, 98.4 % of it ordered; optimal: no plan costs less
    """
    lines = [
        f"buy {roll.count} {roll.kind} roll{'s' if roll.count > 1 else ''} "
        f"{stock.width_m * _MM:.5g} mm × {roll.length_m:.3f} m"
        for stock, rolls in zip(plan.terms.stocks, plan.rolls, strict=True)
        for roll in rolls
    ]
    lines += [f"slit {run_text(plan, run)}" for run in plan.runs]
    lines += [
        f"left {o.count} × {o.width_m * _MM:.5g} mm × {o.length_m:.3f} m {o.where}"
        for o in plan.offcuts
    ]
    for item, over in enumerate(plan.overs.tolist()):
        if over:
            lines.append(
                f"over {over} strips of {plan.items.width_m[item] * _MM:.5g} mm × "
                f"{plan.items.length_m[item]:.3f} m: not ordered, not billed"
            )
    if plan.joined_strips:
        lines.append(f"join {plan.joined_strips} strips that are longer than a roll")
    return [*lines, summary(plan)]


def run_text(plan: SlitPlan, run: Run) -> str:
    """Describe a pattern: repeats, length and width of the cloth, and its lanes."""
    width = plan.terms.stocks[run.stock].width_m
    lanes = Counter(lane.width_m for lane in run.lanes)
    held = ", ".join(f"{count} × {lane * _MM:.5g} mm" for lane, count in lanes.items())
    return f"{run.repeats} × {run.length_m:.3f} m of {width * _MM:.5g} mm cloth: {held}"


def summary(plan: SlitPlan) -> str:
    """Say how much is bought, how much of it is ordered, and how good the plan is."""
    gap = f"at most {plan.gap * 100:.2g} % above the least possible cost"
    return (
        f"{plan.area_m2:.2f} m² bought, {plan.yield_share * 100:.1f} % of it ordered; "
        f"{gap if plan.gap > _PROVEN else 'optimal: no plan costs less'}"
    )


#: A gap below this [-] is rounding of the solver.
_PROVEN = 1e-6
