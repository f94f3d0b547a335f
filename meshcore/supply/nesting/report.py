"""Nest plan in words: what to cut off, what is cut from it, how good it is."""

from __future__ import annotations

from meshcore.supply.nesting.plan import NestPlan

_MM = 1e3


def report_lines(plan: NestPlan) -> list[str]:
    """Describe a plan, one fact a line.

    Examples
    --------
    >>> import numpy as np
    >>> from meshcore.supply.nesting.plan import NestOrder, NestTerms
    >>> from meshcore.supply.nesting.planning import nest
    >>> from meshcore.supply.shapes.outlines import rectangle
    >>> terms = NestTerms((1.0,), edge_trim_m=0.0, spacing_m=0.0, max_length_m=30.0)
    >>> order = NestOrder((rectangle(0.5, 0.2),), np.array([20]))
    >>> for line in report_lines(nest(order, terms, seconds=0)):
    ...     print(line)
    1 × 2.000 m of 1000.0 mm cloth
    20 pieces by rows of boxes; checked: all inside, none overlapping
    yield 100.0%, 10 a metre, at most 0.0% above the least possible length
    """
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
