"""Nesting pieces of one or many shapes on cloth: quickly for lists, or as well as can be.

Lengths run along the cloth (x), widths across it (y); y = 0 is the cloth's own edge.
"""

from __future__ import annotations

import math
import time
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from meshcore.messages import Message
from meshcore.supply.nesting.candidates import (
    Stock,
    bounded,
    cheapest,
    fits,
    plans_without_search,
    stocks_for,
    ways_of,
)
from meshcore.supply.nesting.check import faults
from meshcore.supply.nesting.holes import (
    may_lie_in_holes,
    taken_in_holes,
    with_pieces_in_holes,
)
from meshcore.supply.nesting.parts import Cloth, Placements
from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms, nest_terms
from meshcore.supply.nesting.search import Progress, search
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.stopping import stop_asked

__all__ = [
    "Cloth",
    "NestOrder",
    "NestPlan",
    "NestTerms",
    "Placements",
    "grid_plan",
    "nest",
    "nest_terms",
    "quick_nest",
]

#: Plans that are remembered: an order that comes again with no more time costs nothing and gets the
#: same plan; one with more time gets none that is worse.
_REMEMBERED = 64
#: Shapes up to which each is laid in every way that is known: of more, the packer gains more in the
#: same time (measured).
_MOST_SHAPES = 60
_MM = 1e3


class _Effort(NamedTuple):
    """How hard to search, and who is told meanwhile."""

    seconds: float
    seed: int
    progress: Progress | None


_Key = tuple[tuple[Shape, ...], tuple[int, ...], NestTerms, int, float]
_remembered: OrderedDict[_Key, tuple[float, NestPlan]] = OrderedDict()


def nest(
    order: NestOrder,
    terms: NestTerms,
    seconds: float = 10.0,
    seed: int = 0,
    progress: Progress | None = None,
) -> NestPlan | list[Message]:
    """Plan how to cut pieces at the least cost of cloth.

    Parameters
    ----------
    order
        Pieces wanted; quantities above zero.
    terms
        Stock widths, roll, trim, spacing, and how pieces may turn.
    seconds
        Time budget [s]; 0 leaves the search out; infinite to end it by its steps, so that the same
        seed gives the same plan in any process.
    seed
        Of the search, which takes the time that it is given; the plan's notes tell the seed and the
        step that the plan is from.
    progress
        Told how far it is.

    Returns
    -------
    The best plan that passed its check, or what cannot be cut and why.

    Raises
    ------
    ValueError
        If there is nothing to nest or a quantity is not above zero: an order is judged where it
        enters.
    RuntimeError
        If not even rows of boxes pass the check, which would be a fault of this program.

    Notes
    -----
    Pieces that fit the holes of others are laid in these, one in each. For the rest, closed forms,
    rows pushed into each other, shelves of boxes and the strip packer compete.

    Examples
    --------
    >>> import numpy as np
    >>> from meshcore.supply.shapes.texts import read_shape
    >>> terms = NestTerms((1.0,), edge_trim_m=0.0, spacing_m=0.0, max_length_m=30.0)
    >>> order = NestOrder((read_shape("disc", "200 mm"),), np.array([23]))
    >>> plan = nest(order, terms, seconds=0)
    >>> plan.method, round(plan.length_m, 3)
    ('discs in staggered rows', 0.893)
    """
    _judge(order)
    # What is planned without a clock must not hang on what was searched before it.
    clocked = 0.0 < seconds < math.inf
    key = (order.shapes, tuple(order.quantity.tolist()), terms, seed, 1.0 if clocked else -seconds)
    known = _remembered.get(key)
    if known is not None and known[0] >= seconds:
        return known[1]
    stocks = stocks_for(order, terms)
    if not stocks:
        return _too_large(order, terms)
    began = time.monotonic()
    effort = _Effort(seconds, seed, progress)
    plan = _with_holes_filled(order, terms, effort)
    if plan is None:
        plan = _told_of_holes(_on_cloth(order, terms, stocks, effort), 0)
    if known is not None and known[1].cost <= plan.cost:
        # More time is never a worse nest.
        plan = known[1]
    _remembered[key] = (min(seconds, time.monotonic() - began) if stop_asked() else seconds, plan)
    _remembered.move_to_end(key)
    if len(_remembered) > _REMEMBERED:
        _remembered.popitem(last=False)
    return plan


def _on_cloth(
    order: NestOrder,
    terms: NestTerms,
    stocks: Sequence[Stock],
    effort: _Effort,
) -> NestPlan:
    """Nest every piece on the cloth itself."""
    plans = [
        plan
        for stock in stocks
        for thorough in ((False, True) if len(order.shapes) <= _MOST_SHAPES else (False,))
        for plan in plans_without_search(order, terms, stock, thorough=thorough)
    ]
    searched = search(order, terms, stocks, cheapest(plans), *effort)
    plan = _first_sound([*plans, *searched.plans], stocks)
    return replace(plan, seed=effort.seed, notes=(*plan.notes, *searched.notes))


def _with_holes_filled(order: NestOrder, terms: NestTerms, effort: _Effort) -> NestPlan | None:
    """Nest what goes into no hole, then lay the rest in the holes; None where nothing fits one."""
    holes = taken_in_holes(order, terms) if may_lie_in_holes(order.shapes) else None
    if holes is None:
        return None
    # What goes into holes may be too wide for a cloth that is wide enough for all others.
    stocks = stocks_for(holes.order, terms)
    outer = _on_cloth(holes.order, terms, stocks, effort)
    plan = with_pieces_in_holes(outer, order, holes)
    if faults(plan):
        return None
    plan = _told_of_holes(plan, plan.pieces - outer.pieces)
    plan = replace(plan, method=f"{plan.method}, some in holes")
    return bounded(plan, _stock_of(plan, stocks))


def quick_nest(order: NestOrder, terms: NestTerms) -> NestPlan | list[Message]:
    """Plan by closed forms alone, for lists of many lines.

    As `nest`, but without a search, and the plan is not checked: `nest` it before it is cut.

    Examples
    --------
    >>> import numpy as np
    >>> from meshcore.supply.shapes.texts import read_shape
    >>> terms = NestTerms((1.0,), edge_trim_m=0.0, spacing_m=0.0, max_length_m=30.0)
    >>> order = NestOrder((read_shape("", "300 x 200 mm"),), np.array([16]))
    >>> plan = quick_nest(order, terms)
    >>> round(plan.length_m, 3), round(plan.count_per_metre, 1), round(plan.yield_share, 3)
    (1.0, 16.0, 0.96)
    """
    return _planned(order, terms, grids_only=False)


def grid_plan(order: NestOrder, terms: NestTerms) -> NestPlan | list[Message]:
    """Plan by rows of boxes alone, the measure that no other plan is worse than."""
    return _planned(order, terms, grids_only=True)


def _planned(order: NestOrder, terms: NestTerms, *, grids_only: bool) -> NestPlan | list[Message]:
    _judge(order)
    stocks = stocks_for(order, terms)
    if not stocks:
        return _too_large(order, terms)
    best = cheapest(
        [
            plan
            for stock in stocks
            for plan in plans_without_search(
                order, terms, stock, thorough=False, grids_only=grids_only
            )
        ]
    )
    return bounded(best, _stock_of(best, stocks))


def _judge(order: NestOrder) -> None:
    if not order.shapes or len(order.shapes) != len(order.quantity) or order.quantity.min() < 1:
        raise ValueError("an order needs shapes, and a quantity of 1 or more for each")


def _stock_of(plan: NestPlan, stocks: Sequence[Stock]) -> Stock:
    return next(stock for stock in stocks if stock.number == plan.stock)


def _first_sound(plans: Sequence[NestPlan], stocks: Sequence[Stock]) -> NestPlan:
    """Return the cheapest plan that passes its check, and say which cheaper ones did not."""
    discarded: list[Message] = []
    for plan in sorted(plans, key=lambda p: p.cost):
        wrong = faults(plan)
        if not wrong:
            notes = (*plan.notes, *discarded)
            return replace(bounded(plan, _stock_of(plan, stocks)), checked=True, notes=notes)
        discarded.append(
            Message(
                "shape", plan.method,
                f"this nest failed its check ({wrong[0]}) and was put aside for the next best.",
                "note",
                code="nest.failed_check",
            )
        )  # fmt: skip
    raise RuntimeError("no nest passed its check: " + "; ".join(str(m) for m in discarded))


def _told_of_holes(plan: NestPlan, laid: int) -> NestPlan:
    """Return a plan that says how many of its pieces lie in holes, or that none does."""
    return replace(plan, notes=(*plan.notes, *_about_holes(plan, laid)))


def _about_holes(plan: NestPlan, laid: int) -> tuple[Message, ...]:
    """Say how many pieces lie in holes, or that none does; nothing where there is no choice."""
    with_holes = [shape.kind for shape in plan.order.shapes if shape.holes]
    if not with_holes or plan.pieces == 1:
        return ()
    kinds = ", ".join(dict.fromkeys(with_holes))
    if laid:
        text = f"{laid} pieces lie in the holes of others: cut them before these."
        return (Message("shape", kinds, text, "note", code="nest.in_holes"),)
    text = "no piece is laid in the hole of another; what falls out of the holes is not counted on."
    return (Message("shape", kinds, text, "note", code="nest.holes_not_used"),)


def _too_large(order: NestOrder, terms: NestTerms) -> list[Message]:
    widest = max(terms.usable_m(number) for number in range(len(terms.widths_m)))
    turned = " in the way it must lie" if terms.warp_along_long_side or terms.bias_45 else ""
    return [
        Message(
            "dimensions", f"{shape.kind}, {shape.width_m * _MM:g} mm x {shape.height_m * _MM:g} mm",
            f"too large{turned} for any stock cloth, {widest * _MM:g} mm usable across and "
            f"{terms.max_length_m:g} m long. Ask for smaller pieces to be joined.",
            code="nest.piece_too_large",
        )
        for shape in order.shapes
        if not any(fits(p, widest, terms.max_length_m) for p in ways_of(shape, terms))
    ]  # fmt: skip
