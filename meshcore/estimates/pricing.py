"""Supply and price of the lines of a list, those of one order together."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.items import PricingRule
from meshcore.costing.ledger import Ledger
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.pipeline import price_columns
from meshcore.enquiry import ROLL
from meshcore.estimates.choosing import Pricing, widths_by_price
from meshcore.estimates.from_stock import from_stock
from meshcore.estimates.orders import form_columns, order_columns, same_cloth
from meshcore.estimates.width_costs import width_costing
from meshcore.messages import Message, MessageLog
from meshcore.reading.tables.intake import EnquiryColumns
from meshcore.supply.closer import closer_runs
from meshcore.supply.consumption import consume
from meshcore.supply.cutting import (
    UNASKED,
    CuttingEffort,
    CuttingPlan,
    PlannedSupply,
    WidthCosting,
)
from meshcore.supply.forms import FormColumns, SupplyColumns
from meshcore.supply.nest_widths import parted_over_widths
from meshcore.supply.on_hand import numbers_of, stocked_widths
from meshcore.supply.planning import plan_cutting
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.columns import PieceColumns
from meshcore.supply.together import group_sums
from meshcore.supply.unasked import from_one_width, plan_unasked
from meshcore.weave.cloth import ClothColumns

#: Called with the stage about to start and the share of the work already done.
Progress = Callable[[str, float], None]
#: Share of the work that is done before cutting is planned, and that planning is.
_BEFORE_CUTTING, _CUTTING = 0.6, 0.1


@dataclass(frozen=True, slots=True)
class PricingJob:
    """All that supply and price of a list depend on."""

    read: EnquiryColumns
    cloth: ClothColumns
    pieces: PieceColumns
    mass_kg_m2: FloatArray
    policy: SupplyPolicy
    cutting: CuttingEffort | None
    book: PriceBook
    rules: Sequence[tuple[str, PricingRule]]
    own: Mapping[str, ObjectArray | FloatArray]


@dataclass(frozen=True, slots=True)
class PricedOrders:
    """Supply and price of every line, and all that has been said of them.

    `fallen` are the lines that the rules refused; what cannot be cut is refused before.
    """

    supply: SupplyColumns
    plans: tuple[CuttingPlan, ...]
    orders: OrderColumns
    ledger: Ledger
    log: MessageLog
    fallen: BoolArray


def price_orders(job: PricingJob, log: MessageLog, progress: Progress) -> PricedOrders:
    """Work out what each line consumes, and price it with the lines that it is ordered with.

    Parameters
    ----------
    job
        The lines, and what they are priced with.
    log
        What has been said of them so far.
    progress
        Told of each stage.

    Notes
    -----
    A line that pricing refuses is neither woven nor cut with the others. Where it shares cloth
    with lines that stand, these are worked out again without it.
    """
    while True:
        priced = _priced_once(job, log.copy(), progress)
        fallen = _fallen_among_others(job, priced)
        if not fallen.any():
            return priced
        log = _refused_too(log, priced.log, fallen)


def _priced_once(job: PricingJob, log: MessageLog, progress: Progress) -> PricedOrders:
    forms = form_columns(job.read, job.cloth, job.pieces, log.refused())
    whole = _whole_rows(job, forms, log)
    unplanned = log.copy()
    apart, pricing = log.refused(), Pricing(job.book, job.rules, job.mass_kg_m2)
    costing = width_costing(
        lambda: order_columns(job.read, job.cloth, whole, job.mass_kg_m2, apart, job.own),
        job.policy,
        pricing,
    )
    planned = _planned(job, forms, whole, log, costing, progress)
    if planned is None:
        return _without_plans(job, forms, whole, unplanned, progress)
    made = _at_prices(job, planned, log, progress)
    effort = UNASKED if job.cutting is None else job.cutting
    if job.cutting is not None and (job.cutting.bias_45 or job.cutting.warp_along_long_side):
        # Whole rows do not mind how a piece must lie, so they are no other way to cut it.
        return made
    for width in job.policy.widths_m if len(job.policy.widths_m) > 1 else ():
        other = from_one_width(planned, forms, job.policy, width, costing)
        if other is not None:
            tried = _at_prices(job, other, unplanned.copy(), progress)
            made = _cheaper(job, made, tried, unplanned, progress)
    parted = parted_over_widths(planned, forms, job.pieces.shapes, job.policy, effort, costing)
    if parted is not None:
        tried = _at_prices(job, parted, unplanned.copy(), progress)
        made = _cheaper(job, made, tried, unplanned, progress)
    rows = _without_plans(job, forms, whole, unplanned.copy(), progress)
    return _never_dearer(job, made, rows, unplanned, progress)


def _planned(
    job: PricingJob,
    forms: FormColumns,
    whole: SupplyColumns,
    log: MessageLog,
    costing: WidthCosting,
    progress: Progress,
) -> PlannedSupply | None:
    """Plans that were asked for, or that take no time; None where there are none."""
    group = same_cloth(job.read, job.cloth, log.refused())

    def tell(share: float, words: str) -> None:
        stage = f"Planning the cutting, {words}" if words else "Planning the cutting"
        progress(stage, _BEFORE_CUTTING + _CUTTING * share)

    if job.cutting is None:
        return plan_unasked(forms, job.pieces.shapes, group, whole, job.policy, log, costing, tell)
    if job.cutting.none:
        return None
    return plan_cutting(
        forms, job.pieces.shapes, group, whole, job.policy, job.cutting, log, costing, tell
    )


def _without_plans(
    job: PricingJob, forms: FormColumns, whole: SupplyColumns, log: MessageLog, progress: Progress
) -> PricedOrders:
    said = log.copy()
    made = _at_prices(job, PlannedSupply(whole, ()), log, progress)
    return _from_stocked_widths(job, forms, made, said, progress)


def _at_prices(
    job: PricingJob, planned: PlannedSupply, log: MessageLog, progress: Progress
) -> PricedOrders:
    progress("Pricing", 0.7)
    taken = from_stock(job.policy, job.cloth, planned, ~log.refused())
    if taken is None or not taken.any():
        return _priced_with(job, planned, log, taken)
    none = np.zeros(len(taken), dtype=np.bool_)
    woven = _priced_with(job, planned, log.copy(), none)
    made = _priced_with(job, planned, log.copy(), taken)
    order = made.orders.order
    kept = taken & (_by_order(made.ledger, order) < _by_order(woven.ledger, order))
    return _priced_with(job, planned, log, kept)


def _priced_with(
    job: PricingJob,
    planned: PlannedSupply,
    log: MessageLog,
    taken: BoolArray | None,
    before: BoolArray | None = None,
) -> PricedOrders:
    orders = order_columns(
        job.read,
        job.cloth,
        planned.supply,
        job.mass_kg_m2,
        log.refused(),
        job.own,
        planned.runs_by_width,
        taken,
    )
    said = log.copy()
    ledger = price_columns(orders, job.rules, job.book, said)
    fallen = said.refused() & ~log.refused()
    every = fallen if before is None else fallen | before
    if fallen.any() and _share_an_order(fallen, orders.order):
        # What an order comes to is of the lines that stand: it is not on pallets with the others.
        return _priced_with(job, planned, _refused_too(log, said, fallen), taken, every)
    return PricedOrders(planned.supply, planned.plans, orders, ledger, said, every)


def _share_an_order(fallen: BoolArray, order: IntArray) -> bool:
    """Whether some other line is of an order in which a line has fallen."""
    return bool((group_sums((~fallen).astype(np.float64), order)[fallen] > 0.0).any())


def _from_stocked_widths(
    job: PricingJob, forms: FormColumns, made: PricedOrders, log: MessageLog, progress: Progress
) -> PricedOrders:
    """Cut the orders that it makes cheaper from the widths that their cloth is on hand in.

    First strips and pieces alone, then rolls too, which lose what is trimmed off them.
    """
    on_hand = stocked_widths(job.policy.on_hand, job.cloth, job.policy.widths_m)
    if not (on_hand >= 0).any():
        return made
    is_roll, order = forms.form == ROLL, made.orders.order
    closer = closer_runs(forms, job.pieces.shapes, job.policy, ~log.refused())
    for moved in ((on_hand >= 0) & ~is_roll, (on_hand >= 0) & is_roll):
        if not moved.any():
            continue
        other = log.copy()
        held = numbers_of(made.supply.stock_width_m, job.policy.widths_m)
        supply = consume(forms, job.policy, other, np.where(moved, on_hand, held), closer)
        tried = _at_prices(job, PlannedSupply(supply, ()), other, progress)
        cheaper = _by_order(tried.ledger, order) < _by_order(made.ledger, order)
        if cheaper.any():
            mixed = _of_either(cheaper, tried.supply, made.supply)
            made = _at_prices(job, PlannedSupply(mixed, ()), log.copy(), progress)
    return made


def _of_either(mask: BoolArray, first: SupplyColumns, second: SupplyColumns) -> SupplyColumns:
    """Return the first supply on the lines of a mask, and the second on the others."""
    pairs = ((getattr(first, n), getattr(second, n)) for n in SupplyColumns.__slots__)
    return SupplyColumns(*(np.where(mask, one, other) for one, other in pairs))


def _cheaper(
    job: PricingJob,
    made: PricedOrders,
    tried: PricedOrders,
    unplanned: MessageLog,
    progress: Progress,
) -> PricedOrders:
    """Take the other plans of the orders that they make cheaper."""
    order = made.orders.order
    better = _by_order(tried.ledger, order) < _by_order(made.ledger, order)
    better &= ~made.log.refused() & ~tried.log.refused()
    if not better.any():
        return made
    supply = _of_either(better, tried.supply, made.supply)
    plans = (
        *(plan for plan in made.plans if not better[plan.rows].any()),
        *(plan for plan in tried.plans if better[plan.rows].any()),
    )
    log = unplanned.copy()
    for plan in plans:
        for message in plan.notes:
            log.add(plan.rows, message)
    return _at_prices(job, PlannedSupply(supply, plans), log, progress)


def _never_dearer(
    job: PricingJob,
    made: PricedOrders,
    rows: PricedOrders,
    unplanned: MessageLog,
    progress: Progress,
) -> PricedOrders:
    """Keep the plans of the orders that they make no dearer; the others are cut in whole rows."""
    order = made.orders.order
    dearer = _by_order(made.ledger, order) > _by_order(rows.ledger, order)
    back = dearer & ~made.log.refused()
    if not back.any():
        return made
    supply = _of_either(back, rows.supply, made.supply)
    plans = tuple(plan for plan in made.plans if not back[plan.rows].any())
    log = unplanned.copy()
    planned_rows = np.concatenate([plan.rows for plan in made.plans])
    for plan in plans:
        for message in plan.notes:
            log.add(plan.rows, message)
    if job.cutting is None:
        return _at_prices(job, PlannedSupply(supply, plans), log, progress)
    text = "no plan that was found makes the order cheaper than whole rows, so it is cut in these."
    said = Message("form", "", text, "note", code="supply.plan_not_cheaper")
    log.add(planned_rows[back[planned_rows]], said)
    return _at_prices(job, PlannedSupply(supply, plans), log, progress)


def _by_order(ledger: Ledger, order: IntArray) -> FloatArray:
    """Price of each line's order, on each of its lines [minor units]."""
    return group_sums(np.where(ledger.priced, ledger.price_minor, 0.0), order)


def _whole_rows(job: PricingJob, forms: FormColumns, log: MessageLog) -> SupplyColumns:
    """Cloth of each line in whole rows, strips and pieces from the width that costs least."""
    standing = ~log.refused()
    if not (standing & (forms.form != ROLL)).any():
        return consume(forms, job.policy, log)
    closer = closer_runs(forms, job.pieces.shapes, job.policy, standing)
    tried = log.copy()
    supply = consume(forms, job.policy, tried, piece_runs_m=closer)
    fits = ~tried.refused() & np.isfinite(supply.gross_area_m2)
    orders = order_columns(job.read, job.cloth, supply, job.mass_kg_m2, ~fits, job.own)
    pricing = Pricing(job.book, job.rules, job.mass_kg_m2)
    stock = widths_by_price(forms, closer, orders, job.policy, pricing, fits)
    return consume(forms, job.policy, log, stock, closer)


def _fallen_among_others(job: PricingJob, priced: PricedOrders) -> BoolArray:
    """Lines that pricing refused in an order, one cloth of which still has lines that stand."""
    fallen = priced.fallen
    if not fallen.any():
        return fallen
    group = same_cloth(job.read, job.cloth, priced.log.refused() & ~fallen)
    standing = np.zeros(int(group.max()) + 1, dtype=np.bool_)
    standing[group[~priced.log.refused()]] = True
    return fallen & standing[group]


def _refused_too(log: MessageLog, said: MessageLog, fallen: BoolArray) -> MessageLog:
    """Return the log with the refusals of some lines taken over."""
    kept = log.copy()
    by_line = said.by_line()
    for row in np.flatnonzero(fallen).tolist():
        for message in by_line[row]:
            if message.severity == "refused":
                kept.add([row], message)
    return kept
