"""Plans that need no search: rows of boxes, closed forms, rows pushed into each other, shelves."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from meshcore.rounding import SLACK
from meshcore.supply.nesting.bounds import length_bound
from meshcore.supply.nesting.cloths import Part, cloths_of, lane_parts
from meshcore.supply.nesting.parts import LanePart
from meshcore.supply.nesting.patterns.closed_forms import grid, mixed_rectangles, staggered_discs
from meshcore.supply.nesting.patterns.interlock import interlocked, row_pairs_of
from meshcore.supply.nesting.patterns.lanes import Lanes
from meshcore.supply.nesting.patterns.shelves import MOST_PIECES, shelf_parts
from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms
from meshcore.supply.nesting.postures import (
    Posture,
    boxes_apart,
    fills_its_box,
    is_disc,
    postures_of,
)
from meshcore.supply.shapes.outlines import Shape

GRID = "rows of boxes"
DISCS = "discs in staggered rows"
RECTANGLES = "rectangles in both directions"
INTERLOCKED = "rows pushed into each other"
SHELVES = "columns of boxes"
#: Rows of a rectangle that may give way to turned ones at the end of the cloth.
_LAST_ROWS = 6


@dataclass(frozen=True, slots=True)
class Stock:
    """A stock width that holds every shape.

    Parameters
    ----------
    number
        Number of the width in the terms.
    usable_m
        Width between its trimmed edges [m].
    postures
        How each shape may lie on it.
    """

    number: int
    usable_m: float
    postures: tuple[tuple[Posture, ...], ...]


def stocks_for(order: NestOrder, terms: NestTerms) -> list[Stock]:
    """Stock widths that hold every shape of an order; none where a piece is too large."""
    ways = [ways_of(shape, terms) for shape in order.shapes]
    stocks = []
    for number in range(len(terms.widths_m)):
        usable = terms.usable_m(number)
        fitting = tuple(
            tuple(p for p in postures if fits(p, usable, terms.max_length_m)) for postures in ways
        )
        if all(fitting):
            stocks.append(Stock(number, usable, fitting))
    return stocks


def ways_of(shape: Shape, terms: NestTerms) -> tuple[Posture, ...]:
    """Return how a shape may lie under some terms."""
    return postures_of(shape, terms.turns, terms.bias_45, terms.warp_along_long_side)


def fits(posture: Posture, usable_m: float, length_m: float) -> bool:
    """Tell whether a posture's box lies within a width and a length [m]."""
    slack = 1.0 + SLACK
    return posture.across_m <= usable_m * slack and posture.along_m <= length_m * slack


def plan_of(
    order: NestOrder,
    terms: NestTerms,
    stock: Stock,
    method: str,
    parts: Sequence[tuple[Part, int]],
) -> NestPlan:
    """Plan from parts on one stock width; its bound is yet to be worked out."""
    return NestPlan(order, terms, stock.number, cloths_of(parts, terms), method, math.nan)


def bounded(plan: NestPlan, stock: Stock) -> NestPlan:
    """Return the plan with the bound of its length.

    Cloths put end to end, a spacing between, are one strip; so no cloths take less than that
    strip's bound. A full roll alone has no spacing at its end, and a shorter plan cannot have more
    full rolls than this one has the length for.
    """
    bound = strip_bound(plan.order, plan.terms, stock)
    full = math.floor(plan.length_m / plan.terms.max_length_m * (1.0 + SLACK))
    longest = max(min(p.along_m for p in ways) for ways in stock.postures)
    return replace(plan, bound_m=max(bound + (1 - full) * plan.terms.spacing_m, longest))


def strip_bound(order: NestOrder, terms: NestTerms, stock: Stock) -> float:
    """Bound of the length of one endless strip [m]."""
    quantity = order.quantity.tolist()
    return length_bound(order.shapes, quantity, stock.postures, stock.usable_m, terms.spacing_m)


def plans_without_search(
    order: NestOrder, terms: NestTerms, stock: Stock, *, thorough: bool, grids_only: bool = False
) -> list[NestPlan]:
    """Plans on one stock width.

    Parameters
    ----------
    order, terms, stock
        What is asked.
    thorough
        Whether to try all that is known, or what is quick.
    grids_only
        Whether to lay rows of boxes only.
    """
    quantity = order.quantity.tolist()
    each: list[list[NestPlan]] = []
    for number, (shape, pieces) in enumerate(zip(order.shapes, quantity, strict=True)):
        plans_of_shape = [
            plan_of(order, terms, stock, method, parts)
            for method, parts in _single(number, shape, pieces, terms, stock, thorough, grids_only)
        ]
        each.append(plans_of_shape)
    if len(each) == 1:
        return each[0]
    plans = [_together(order, terms, stock, each)]
    if not grids_only and order.quantity.sum() <= MOST_PIECES:
        plans += _shelved(order, terms, stock)
    return plans


def _together(
    order: NestOrder, terms: NestTerms, stock: Stock, each: Sequence[Sequence[NestPlan]]
) -> NestPlan:
    """Shapes one after the other, each in its shortest way."""
    best = [min(plans, key=lambda plan: plan.length_m) for plans in each]
    parts = [
        (replace(part, shift_m=0.0), cloth.repeats)
        for plan in best
        for cloth in plan.cloths
        for part in cloth.parts
    ]
    methods = dict.fromkeys(plan.method for plan in best)
    return plan_of(order, terms, stock, ", then ".join(methods), parts)


def _shelved(order: NestOrder, terms: NestTerms, stock: Stock) -> Iterator[NestPlan]:
    for size in ("along_m", "across_m"):
        chosen = [min(ways, key=lambda p: getattr(p, size)) for ways in stock.postures]
        parts = shelf_parts(order, chosen, stock.usable_m, terms.edge_trim_m, terms.spacing_m)
        yield plan_of(order, terms, stock, SHELVES, parts)


def _single(
    number: int,
    shape: Shape,
    pieces: int,
    terms: NestTerms,
    stock: Stock,
    thorough: bool,
    grids_only: bool,
) -> Iterator[tuple[str, list[tuple[Part, int]]]]:
    """Parts of one shape, by each method that suits it."""
    ways = boxes_apart(stock.postures[number])
    grids = [grid(p, stock.usable_m, terms.edge_trim_m, terms.spacing_m) for p in ways]
    laid = [(GRID, lanes) for lanes in grids if lanes]
    if not grids_only:
        laid += _closed_forms(shape, pieces, ways, stock.postures[number], terms, stock, thorough)
    for method, lanes in laid:
        parts = lane_parts(number, lanes, pieces, terms)
        if parts:
            yield method, parts
    two = [lanes for _, lanes in laid[:2]]
    if thorough and len(ways) == len(two) == 2 and fills_its_box(ways[0], shape):  # noqa: PLR2004
        yield from (
            (RECTANGLES, parts)
            for first, second in (two, two[::-1])
            for parts in _last_rows_turned(number, first, second, pieces, terms)
        )


def _closed_forms(
    shape: Shape,
    pieces: int,
    ways: tuple[Posture, ...],
    all_ways: tuple[Posture, ...],
    terms: NestTerms,
    stock: Stock,
    thorough: bool,
) -> list[tuple[str, Lanes]]:
    width, low, spacing = stock.usable_m, terms.edge_trim_m, terms.spacing_m
    if is_disc(shape):
        lanes = staggered_discs(ways[0], pieces, width, low, spacing, terms.max_length_m)
        return [(DISCS, lanes)] if lanes else []
    if all(fills_its_box(p, shape) for p in ways):
        mixes = mixed_rectangles(ways, width, low, spacing)
        return [(RECTANGLES, lanes) for lanes in (mixes if thorough else mixes[:1])]
    row_pairs = row_pairs_of(shape, all_ways, spacing, thorough)
    return [(INTERLOCKED, lanes) for lanes in interlocked(row_pairs, pieces, width, low)]


def _last_rows_turned(
    number: int, first: Lanes, second: Lanes, pieces: int, terms: NestTerms
) -> Iterator[list[tuple[Part, int]]]:
    """Full rolls of rows one way, and on the last cloth the last rows the other way."""
    a_roll = first.capacity(terms.max_length_m)
    if not a_roll:
        return
    full, rest = divmod(pieces, a_roll)
    rows = rest // len(first.y_m)
    for kept in range(max(rows - _LAST_ROWS, 1), rows + 1):
        one = LanePart(number, first, kept * len(first.y_m))
        left = rest - one.count
        if not left:
            continue
        two = LanePart(number, second, left)
        if one.length_m + terms.spacing_m + two.length_m > terms.max_length_m:
            continue
        parts: list[tuple[Part, int]] = [(one, 1), (two, 1)]
        yield [(LanePart(number, first, a_roll), full), *parts] if full else parts


def cheapest(plans: Sequence[NestPlan]) -> NestPlan:
    """Return the plan whose cloth costs least; of equals, the first."""
    return min(plans, key=lambda plan: plan.cost)
