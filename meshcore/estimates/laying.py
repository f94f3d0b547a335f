"""How a line's strips or pieces lie on the cloth, in figures that a person can redo."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from meshcore.alloys.records.registry import installed_registry
from meshcore.arrays import BoolArray, IntArray
from meshcore.costing.order_columns import OrderColumns
from meshcore.enquiry import STRIP
from meshcore.estimates.orders import form_columns
from meshcore.estimates.preparing import read_lines
from meshcore.messages import MessageLog
from meshcore.rounding import SLACK
from meshcore.supply.consumption import box_runs
from meshcore.supply.forms import FormColumns, SupplyColumns
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.columns import read_pieces
from meshcore.supply.shapes.outlines import Shape
from meshcore.weave.cloth import take_cloth

if TYPE_CHECKING:
    import pandas as pd

#: Figures of a length, enough to redo the run of a line.
_FIGURES = 9
_MM = 1e3


@dataclass(frozen=True, slots=True)
class LaidFacts:
    """What is laid: the lines of a priced list as they were asked for and reckoned.

    Parameters
    ----------
    enquiries
        The list.
    orders, supply
        The lines as the pricing rules saw them, and the cloth consumed.
    policy
        Trims, kerf and spacing.
    refused
        Lines that are not cut.
    """

    enquiries: pd.DataFrame
    orders: OrderColumns
    supply: SupplyColumns
    policy: SupplyPolicy
    refused: BoolArray


def laid_text(facts: LaidFacts, line: int) -> Iterator[str]:
    """Yield how many lie side by side, in how many rows of what length, and whose they are.

    Parameters
    ----------
    facts
        The priced list.
    line
        Row number of a line of strips or pieces that no plan cuts.
    """
    rows, forms, shapes = _alike(facts, line)
    place = int(np.flatnonzero(rows == line)[0])
    same = rows[forms.item == forms.item[place]]
    own, pooled = float(facts.orders.quantity[line]), float(facts.orders.quantity[same].sum())
    width = float(facts.supply.stock_width_m[line])
    if facts.orders.form[line] == STRIP:
        yield from _strips(forms, place, pooled, width, facts.policy)
    else:
        yield from _pieces(forms, place, pooled, width, facts.policy, shapes.get(place))
    if len(same) > 1:
        together = ", ".join(str(row + 1) for row in same.tolist())
        yield (
            f"cut with lines {together}, {_n(pooled)} in all; the line's part of the run is "
            f"{_n(own)} ÷ {_n(pooled)}"
        )


def _alike(facts: LaidFacts, line: int) -> tuple[IntArray, FormColumns, dict[int, Shape]]:
    """Return the lines that may be laid with one, what they ask for, and their shapes."""
    orders = facts.orders
    alike = (orders.same_cloth == orders.same_cloth[line]) & (orders.form == orders.form[line])
    rows = np.flatnonzero(alike & ~facts.refused)
    log = MessageLog(len(rows))
    read = read_lines(facts.enquiries.iloc[rows], installed_registry(), facts.policy, log)
    pieces = read_pieces(read.form, read.shape, read.dimensions, read.width, read.length, log)
    forms = form_columns(read, take_cloth(orders.cloth, rows), pieces, log.refused())
    return rows, forms, dict(pieces.shapes)


def _n(value: float) -> str:
    return f"{value:.{_FIGURES}g}"


def _strips(
    forms: FormColumns, place: int, pooled: float, width_m: float, policy: SupplyPolicy
) -> Iterator[str]:
    one, length = float(forms.width_m[place]), float(forms.length_m[place])
    across = _abreast(one, policy.kerf_m, width_m, policy)
    rows = int(np.ceil(pooled / across))
    yield _across_text(across, one, "kerf", policy.kerf_m, width_m, policy)
    yield f"{_n(pooled)} are {rows} rows of {_n(length)} m = {_n(rows * length)} m"


def _abreast(one_m: float, gap_m: float, width_m: float, policy: SupplyPolicy) -> int:
    usable = width_m - 2.0 * policy.edge_trim_m
    return int(np.floor((usable + gap_m) / (one_m + gap_m) + SLACK))


def _across_text(
    across: int, one_m: float, gap: str, gap_m: float, width_m: float, policy: SupplyPolicy
) -> str:
    return (
        f"{across} abreast = ({_n(width_m)} m − 2 × {_n(policy.edge_trim_m)} m trim + "
        f"{_n(gap_m)} m {gap}) ÷ ({_n(one_m)} m + {_n(gap_m)} m), whole"
    )


def _pieces(
    forms: FormColumns,
    place: int,
    pooled: float,
    width_m: float,
    policy: SupplyPolicy,
    shape: Shape | None,
) -> Iterator[str]:
    gap = policy.spacing_m
    one_width = replace(policy, widths_m=(width_m,))
    boxes = float(box_runs(forms, np.full(len(forms.form), pooled), one_width)[place, 0])
    if shape is not None and (closer := _closer(shape, pooled, one_width, boxes)):
        yield from closer
        return
    sides = float(forms.width_m[place]), float(forms.length_m[place])
    for across_m, along_m in (sides, sides[::-1]):
        across = _abreast(across_m, gap, width_m, policy)
        rows = int(np.ceil(pooled / across)) if across else 0
        if across and abs(rows * (along_m + gap) - boxes) <= boxes * SLACK:
            yield _across_text(across, across_m, "spacing", gap, width_m, policy)
            yield (f"{_n(pooled)} are {rows} rows of {_n(along_m)} m + {_n(gap)} m = {_n(boxes)} m")
            return


def _closer(shape: Shape, pooled: float, policy: SupplyPolicy, boxes_m: float) -> list[str]:
    """Tell the closed form that takes less than rows of boxes; empty where none does."""
    from meshcore.supply.nesting.parts import LanePart  # noqa: PLC0415 - only for pieces
    from meshcore.supply.nesting.plan import NestOrder, nest_terms  # noqa: PLC0415
    from meshcore.supply.nesting.planning import quick_nest  # noqa: PLC0415

    plan = quick_nest(NestOrder((shape,), np.array([int(pooled)])), nest_terms(policy))
    if isinstance(plan, list) or plan.length_m >= boxes_m * (1.0 - SLACK):
        return []
    gap = policy.spacing_m
    said = [f"{plan.method}: {_n(plan.length_m)} m, where boxes in rows take {_n(boxes_m)} m"]
    for cloth in plan.cloths:
        times = f"{cloth.repeats} × " if cloth.repeats > 1 else ""
        for part in cloth.parts:
            if isinstance(part, LanePart):
                steps = sorted({_n(step * _MM) for step in part.lanes.step_m.tolist()})
                ends = part.lanes.end_m
                said.append(
                    f"{times}{part.count} pieces in {len(ends)} lanes: the first of each ends at "
                    f"{_n(ends.min())} to {_n(ends.max())} m, the others each {' or '.join(steps)} "
                    f"mm further; the last ends at {_n(part.length_m)} m, spacing {_n(gap)} m"
                )
    return said
