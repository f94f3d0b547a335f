"""Search for shorter nests with the strip packer, large orders in equal blocks."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from meshcore.messages import Message
from meshcore.supply.nesting.candidates import Stock, bounded, plan_of, strip_bound
from meshcore.supply.nesting.cloths import Part
from meshcore.supply.nesting.packer import Packed, Reached, pack
from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms
from meshcore.supply.nesting.postures import fills_its_box, is_disc

#: Told how far a nest is [-], and what it is at.
Progress = Callable[[float, str], None]

PACKED = "strip packing"
#: Pieces that go to the packer at once: it comes to its own end on so many within seconds
#: (measured, see benchmarks/bench_nesting.py). Larger orders are nested in equal blocks.
_BLOCK = 24
#: Share of a roll that a block should fill at most, from the bound of its length [-].
_ROLL_SHARE = 0.8
#: Time that each run is given at least [s].
_LEAST_S = 0.1
#: Stock widths on which the packer is tried.
_WIDTHS = 2
#: A plan nearer to its bound than this [-] is not worth a search.
_GOOD_ENOUGH = 1e-3
_MM = 1e3


@dataclass(frozen=True, slots=True)
class Searched:
    """Plans that a search found, and what is to be said about it."""

    plans: tuple[NestPlan, ...]
    notes: tuple[Message, ...]


def search(
    order: NestOrder,
    terms: NestTerms,
    stocks: Sequence[Stock],
    best: NestPlan,
    seconds: float,
    seed: int,
    progress: Progress | None,
) -> Searched:
    """Look for plans with the strip packer.

    Parameters
    ----------
    order, terms
        What is asked.
    stocks
        Stock widths that hold every shape.
    best
        The cheapest plan so far.
    seconds
        Time budget [s]; what a run leaves over goes to the next ones.
    seed
        Of the packer.
    progress
        Told how far it is.
    """
    chosen = _worth_searching(order, terms, stocks, best) if seconds > 0 else []
    blocks = _blocks(order, terms, chosen)
    deadline = time.monotonic() + seconds
    plans: list[NestPlan] = []
    notes: list[Message] = []
    for number, stock in enumerate(chosen):
        widths_left = len(chosen) - number
        share = (deadline - time.monotonic()) / widths_left
        tell = _teller(number / len(chosen), progress)
        packed = _packed(blocks, terms, stock, share, seed, tell)
        if isinstance(packed, Message):
            notes.append(packed)
            continue
        parts: list[tuple[Part, int]] = [
            (nest.part, count) for nest, (_, count) in zip(packed, blocks, strict=True)
        ]
        plan = plan_of(order, terms, stock, PACKED, parts)
        by_clock = any(nest.by_clock for nest in packed)
        plans.append(replace(plan, notes=(_stopped(seconds),)) if by_clock else plan)
    return Searched(tuple(plans), tuple(notes))


def _teller(share: float, progress: Progress | None) -> Reached:
    def reached(length_m: float) -> None:
        if progress:
            progress(share, f"strip packing: {length_m:.3f} m")

    return reached


def _packed(
    blocks: Sequence[tuple[NestOrder, int]],
    terms: NestTerms,
    stock: Stock,
    seconds: float,
    seed: int,
    reached: Reached,
) -> list[Packed] | Message:
    """Every block on one stock width, or why there is no plan of them."""
    deadline = time.monotonic() + seconds
    nests: list[Packed] = []
    for block, _ in blocks:
        budget = max((deadline - time.monotonic()) / (len(blocks) - len(nests)), _LEAST_S)
        packed = pack(
            block, stock.postures, stock.usable_m, terms.edge_trim_m, terms.spacing_m, budget,
            seed, reached,
        )  # fmt: skip
        width = f"{terms.widths_m[stock.number] * _MM:g} mm cloth"
        if packed is None:
            return Message(
                "shape",
                width,
                "the strip packer found no nest on it.",
                "note",
                code="nest.packer_found_none",
            )
        if packed.part.length_m > terms.max_length_m:
            return Message(
                "shape",
                width,
                "the strip packer's nest is longer than a roll.",
                "note",
                code="nest.longer_than_roll",
            )
        nests.append(packed)
    return nests


def _worth_searching(
    order: NestOrder, terms: NestTerms, stocks: Sequence[Stock], best: NestPlan
) -> list[Stock]:
    """Stock widths on which a better plan is possible, the likeliest first.

    Closed forms are left alone where they are known to be the best there is for many pieces.
    """
    many = order.quantity.sum() > _BLOCK
    if many and len(order.shapes) == 1 and _has_closed_form(order, stocks):
        return []
    costs = {
        stock.number: strip_bound(order, terms, stock) * terms.metre_cost(stock.number)
        for stock in stocks
    }
    own = next(stock for stock in stocks if stock.number == best.stock)
    if bounded(best, own).gap <= _GOOD_ENOUGH:
        costs.pop(own.number)
    promising = [s for s in stocks if costs.get(s.number, math.inf) < best.cost]
    promising.sort(key=lambda s: (s.number != best.stock, costs[s.number]))
    return promising[:_WIDTHS]


def _has_closed_form(order: NestOrder, stocks: Sequence[Stock]) -> bool:
    shape = order.shapes[0]
    return is_disc(shape) or all(fills_its_box(p, shape) for p in stocks[0].postures[0])


def _blocks(
    order: NestOrder, terms: NestTerms, stocks: Sequence[Stock]
) -> list[tuple[NestOrder, int]]:
    """Equal blocks of an order, and what is left of it."""
    if not stocks:
        return []
    longest = max(strip_bound(order, terms, stock) for stock in stocks)
    by_count = math.ceil(int(order.quantity.sum()) / _BLOCK)
    blocks = max(by_count, math.ceil(longest / (_ROLL_SHARE * terms.max_length_m)))
    equal = order.quantity // blocks
    rest = order.quantity - equal * blocks
    return [
        (NestOrder(order.shapes, np.asarray(quantity)), count)
        for quantity, count in ((equal, blocks), (rest, 1))
        if quantity.any()
    ]


def _stopped(seconds: float) -> Message:
    return Message(
        "shape", f"{seconds:g} s",
        "the search was stopped by its time budget; another machine or another day may find "
        "another plan. Allow more time for one that is always the same.",
        "note",
        code="nest.stopped_by_time",
    )  # fmt: skip
