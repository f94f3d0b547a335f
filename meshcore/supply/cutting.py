"""Cutting planned: strips slit and pieces nested together, order by order."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.enquiry import PIECE, STRIP
from meshcore.messages import Message, MessageLog
from meshcore.supply.forms import FormColumns, SupplyColumns
from meshcore.supply.offcuts import KeepTerms, Offcut, credited_share, worth_keeping
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.together import CLOTH_DECIMALS

if TYPE_CHECKING:
    from meshcore.supply.nesting.plan import NestPlan
    from meshcore.supply.slitting.plan import SlitPlan


@dataclass(frozen=True, slots=True)
class CuttingEffort:
    """How hard to look for a better cutting plan.

    Parameters
    ----------
    seconds
        Time budget of each plan [s]; 0 for whole rows and closed forms, without any plan.
    seed
        Of the random choices; the same seed gives the same plan unless the time runs out.
    bias_45
        Whether pieces are cut on the bias, 45° to the wires.
    warp_along_long_side
        Whether the warp must run along the longer side of each piece.
    """

    seconds: float = 10.0
    seed: int = 0
    bias_45: bool = False
    warp_along_long_side: bool = False

    @property
    def none(self) -> bool:
        """Whether nothing is to be planned; pieces that must lie one way always are."""
        return self.seconds == 0 and not (self.bias_45 or self.warp_along_long_side)


#: Effort without a clock: slitting by steps of the search, pieces without the strip packer. The
#: same order has the same plan on every machine.
UNASKED = CuttingEffort(seconds=math.inf)


@dataclass(frozen=True, slots=True)
class WidthCosts:
    """What cloth of each stock width adds to the price of an order, in any currency.

    Parameters
    ----------
    a_metre
        What a metre adds; a wide loom weaves it in no more time than a narrow one.
    to_use
        What is added once, however much there is: the set-up of a warp.
    """

    a_metre: Sequence[float]
    to_use: Sequence[float]

    @classmethod
    def by_area(cls, policy: SupplyPolicy) -> WidthCosts:
        """Return the costs where all cloth costs the same by area, and nothing else."""
        return cls(policy.widths_m, (0.0,) * len(policy.widths_m))

    def of_width(self, number: int) -> WidthCosts:
        """Return the costs of one width alone."""
        return WidthCosts((self.a_metre[number],), (self.to_use[number],))


#: Line numbers → what the stock widths of the cloth of each cost.
WidthCosting: TypeAlias = Callable[[IntArray], list[WidthCosts]]


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    """A plan, and the lines that are cut from it together.

    Parameters
    ----------
    rows
        Row numbers of the lines.
    keep
        What is worth keeping of what is left over; None where nothing is.
    layout
        How the cloth is slit to strips, or how the pieces lie on it.
    firsts
        Row number of each strip or shape of the layout: of equal shapes, the first.
    shape_of_row
        Number in the layout of each row's strip or shape.
    """

    rows: IntArray
    keep: KeepTerms | None
    layout: SlitPlan | NestPlan
    firsts: IntArray
    shape_of_row: IntArray

    @property
    def notes(self) -> tuple[Message, ...]:
        """What is to be said about the plan."""
        return self.layout.notes

    @property
    def kept(self) -> tuple[Offcut, ...]:
        """Offcuts that are worth keeping."""
        return worth_keeping(self.layout.offcuts, self.keep) if self.keep is not None else ()

    @property
    def credit_share(self) -> float:
        """Share of the cloth's cost that is credited for the offcuts kept [-]."""
        if self.keep is None:
            return 0.0
        return credited_share(self.kept, self.area_m2, self.keep)

    @property
    def area_m2(self) -> float:
        """Area of the cloth that the plan takes [m²]."""
        return self.layout.area_m2

    @property
    def length_m(self) -> float:
        """Length of the cloth that the plan takes [m]."""
        return self.layout.length_m


@dataclass(frozen=True, slots=True)
class PlannedSupply:
    """Supply columns with the planned lines in place of whole-row arithmetic, and the plans."""

    supply: SupplyColumns
    plans: tuple[CuttingPlan, ...]

    @property
    def runs_by_width(self) -> dict[float, FloatArray]:
        """Length that each line has of each stock width [m]; empty where no plan has several.

        A plan's cloth is shared over its lines; every other line's is all of its own width.
        """
        mixed = [p for p in self.plans if len(p.layout.length_by_width) > 1]
        if not mixed:
            return {}
        supply = self.supply
        rows = np.concatenate([plan.rows for plan in mixed])
        is_mixed = np.zeros(len(supply.run_length_m), dtype=np.bool_)
        is_mixed[rows] = True
        own = np.where(is_mixed, np.nan, np.round(supply.stock_width_m, CLOTH_DECIMALS))
        of_plans = [w for plan in mixed for w in plan.layout.length_by_width]
        widths = {round(w, CLOTH_DECIMALS) for w in (*of_plans, *own[np.isfinite(own)].tolist())}
        runs = {w: np.where(own == w, supply.run_length_m, 0.0) for w in sorted(widths)}
        for plan in mixed:
            share = supply.run_length_m[plan.rows] / plan.length_m
            for width, length in plan.layout.length_by_width.items():
                runs[round(width, CLOTH_DECIMALS)][plan.rows] = length * share
        return runs


def plan_cutting(
    forms: FormColumns,
    shapes: Mapping[int, Shape],
    cloth_group: IntArray,
    supply: SupplyColumns,
    policy: SupplyPolicy,
    effort: CuttingEffort,
    log: MessageLog,
    costing: WidthCosting | None = None,
    progress: Callable[[float], None] = lambda _share: None,
) -> PlannedSupply:
    """Plan the cutting of every group of strips, and of every group of pieces.

    Parameters
    ----------
    forms
        What is to be delivered.
    shapes
        Row → shape, of the lines of pieces.
    cloth_group
        Lines of one number are cut from the same cloth: one order, one mesh, one alloy.
    supply
        What whole-row arithmetic found, kept for all other lines.
    policy, effort
        Stock and trims; time and seed.
    log
        Receives what cannot be cut, and notes of the plans.
    costing
        Tells what stock widths cost; by their area unless given.
    progress
        Told the share of the groups that are done.

    Notes
    -----
    The cloth of a plan is shared over its lines by the area that each takes delivered.
    """
    waiting = waiting_to_be_cut(forms, supply, log)
    jobs = [
        (form, rows)
        for form in (STRIP, PIECE)
        for rows in groups_of(waiting & (forms.form == form), cloth_group)
    ]
    return plan_groups(jobs, forms, shapes, supply, policy, effort, log, costing, progress)


def plan_groups(
    jobs: Sequence[tuple[int, IntArray]],
    forms: FormColumns,
    shapes: Mapping[int, Shape],
    supply: SupplyColumns,
    policy: SupplyPolicy,
    effort: CuttingEffort,
    log: MessageLog,
    costing: WidthCosting | None = None,
    progress: Callable[[float], None] = lambda _share: None,
) -> PlannedSupply:
    """Plan the cutting of some groups, each of one form and one cloth; the others stay.

    Parameters are those of `plan_cutting`. Where the effort is unasked, a group that no plan is
    found for stays as it is too.
    """
    columns = {name: getattr(supply, name).copy() for name in PLANNED_COLUMNS}
    plans: list[CuttingPlan] = []
    firsts = np.array([rows[0] for _, rows in jobs], dtype=np.int64)
    by_area = [WidthCosts.by_area(policy)] * len(jobs)
    costs = by_area if costing is None or not jobs else costing(firsts)
    for number, (form, rows) in enumerate(jobs):
        progress(number / len(jobs))
        tell = _part_of(progress, number, len(jobs))
        planned = (
            slit_group(forms, rows, policy, effort, costs[number])
            if form == STRIP
            else _nest_group(forms, shapes, rows, policy, effort, tell)
        )
        if isinstance(planned, list) and effort is UNASKED:
            continue
        for message in planned if isinstance(planned, list) else planned.notes:
            log.add(rows, message)
        if isinstance(planned, CuttingPlan):
            plans.append(planned)
            share_cloth(columns, rows, supply.net_area_m2, planned)
    return PlannedSupply(replace(supply, **columns), tuple(plans))


def waiting_to_be_cut(forms: FormColumns, supply: SupplyColumns, log: MessageLog) -> BoolArray:
    """Lines of strips and pieces that stand, and that cloth is consumed for."""
    return ~log.refused() & np.isfinite(supply.gross_area_m2) & np.isin(forms.form, (STRIP, PIECE))


def _part_of(progress: Callable[[float], None], number: int, jobs: int) -> Callable[[float], None]:
    """Progress of one job, told as that of all."""
    return lambda share: progress((number + share) / jobs)


#: Cloth that a part roll more may save at the least [m²]: of plans that take the same cloth, the
#: one with fewer rolls is the cheaper to handle. Small against any order.
FEWER_ROLLS_M2 = 0.01
#: Columns that a plan changes.
PLANNED_COLUMNS = (
    "stock_width_m",
    "run_length_m",
    "gross_area_m2",
    "cut_length_m",
    "roll_count",
    "part_roll_count",
    "offcut_credit",
)


def groups_of(mask: BoolArray, group: IntArray) -> list[IntArray]:
    """Lines of each group, of those in a mask."""
    return [np.flatnonzero(mask & (group == code)) for code in np.unique(group[mask])]


def slit_group(
    forms: FormColumns,
    rows: IntArray,
    policy: SupplyPolicy,
    effort: CuttingEffort,
    costs: WidthCosts,
) -> CuttingPlan | list[Message]:
    """Plan a group of strips at what widths cost; or say what cannot be slit."""
    from meshcore.supply.slitting.plan import StripOrder, slit_terms  # noqa: PLC0415 - only when used
    from meshcore.supply.slitting.planning import slit  # noqa: PLC0415

    order = StripOrder(
        forms.width_m[rows], forms.length_m[rows], forms.quantity[rows].astype(np.int64)
    )
    charge = max(policy.part_roll_charge_m, FEWER_ROLLS_M2 / policy.widths_m[0])
    terms = slit_terms(policy, costs.a_metre, charge * costs.a_metre[0], costs.to_use)
    plan = slit(order, terms, effort.seconds, effort.seed)
    return (
        plan
        if isinstance(plan, list)
        else CuttingPlan(rows, policy.keep, plan, rows, np.arange(len(rows), dtype=np.int64))
    )


def _nest_group(
    forms: FormColumns,
    shapes: Mapping[int, Shape],
    rows: IntArray,
    policy: SupplyPolicy,
    effort: CuttingEffort,
    report: Callable[[float], None],
) -> CuttingPlan | list[Message]:
    from meshcore.supply.nesting.plan import NestOrder, nest_terms  # noqa: PLC0415 - only when used
    from meshcore.supply.nesting.planning import nest  # noqa: PLC0415

    terms = nest_terms(
        policy,
        keep=policy.keep,
        bias_45=effort.bias_45,
        warp_along_long_side=effort.warp_along_long_side,
    )
    # Equal shapes on several lines are one, so that parting a line changes no plan.
    of_row = [shapes[row] for row in rows.tolist()]
    different = tuple(dict.fromkeys(of_row))
    number = {shape: n for n, shape in enumerate(different)}
    counts = np.bincount([number[shape] for shape in of_row], forms.quantity[rows])
    order = NestOrder(different, counts.astype(np.int64))
    seconds = 0.0 if effort is UNASKED else effort.seconds
    plan = nest(order, terms, seconds, effort.seed, lambda share, _: report(share))
    firsts = rows[[of_row.index(shape) for shape in different]]
    if isinstance(plan, list):
        return plan
    of_rows = np.array([number[shape] for shape in of_row], dtype=np.int64)
    return CuttingPlan(rows, policy.keep, plan, firsts, of_rows)


def share_cloth(
    columns: dict[str, FloatArray],
    rows: IntArray,
    net_area_m2: FloatArray,
    plan: CuttingPlan,
) -> None:
    """Share a plan's cloth, cuts and rolls over its lines by net area."""
    share = net_area_m2[rows] / net_area_m2[rows].sum()
    columns["stock_width_m"][rows] = plan.area_m2 / plan.length_m
    columns["offcut_credit"][rows] = plan.credit_share
    for name, total in plan.layout.supplied.items():
        columns[name][rows] = total * share
