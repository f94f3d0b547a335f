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
from meshcore.supply.stopping import asked, stop_asked

#: Told how far a nest is [-], and what it is at.
Progress = Callable[[float, str], None]

PACKED = "strip packing"
#: Pieces of an equal block that an order of few shapes is tried in beside the whole of it, the
#: share of the time that this takes [-], and how many blocks there must be: of fewer, one nest of
#: all pieces is shorter (measured on the published sets). Orders of more shapes give the whole
#: order all of the time.
_BLOCK, _BLOCKS_SHARE, _LEAST_BLOCKS, _FEW_SHAPES = 24, 0.15, 4, 4
#: Pieces of one shape beyond which its closed form is ahead of the packer (measured: 37 discs are
#: not enough).
_MANY = 100
#: Pieces that go to the packer at once at most: on more it makes little way in a minute (measured).
_MOST_AT_ONCE = 400
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
        Time budget [s]; what a run leaves over goes to the next ones. Infinite to end each by its
        steps.
    seed
        Of the packer.
    progress
        Told how far it is.
    """
    chosen = _worth_searching(order, terms, stocks, best) if seconds > 0 else []
    ways = _ways(order, terms, chosen)
    deadline = time.monotonic() + seconds
    plans: list[NestPlan] = []
    notes: list[Message] = []
    jobs = [(stock, blocks, share) for stock in chosen for blocks, share in ways]
    for number, (stock, blocks, share) in enumerate(jobs):
        if stop_asked():
            break
        left = deadline - time.monotonic()
        own = left * share / sum(one for *_, one in jobs[number:])
        tell = _teller(number / len(jobs), (deadline, seconds), progress)
        packed = _packed(blocks, terms, stock, own, seed, tell)
        if isinstance(packed, Message):
            notes.append(packed)
            continue
        parts: list[tuple[Part, int]] = [
            (nest.part, count) for nest, (_, count) in zip(packed, blocks, strict=True)
        ]
        plan = plan_of(order, terms, stock, PACKED, parts)
        by_clock = not math.isinf(seconds)
        plans.append(replace(plan, notes=(_stopped(seconds, packed),)) if by_clock else plan)
    return Searched(tuple(plans), tuple(notes))


def _teller(share: float, ends: tuple[float, float], progress: Progress | None) -> Reached:
    """Tell the lengths reached, with the share of the time that is gone: or of the runs."""
    deadline, seconds = ends

    def reached(length_m: float) -> None:
        if progress:
            gone = 1.0 - max(deadline - time.monotonic(), 0.0) / seconds
            progress(share if math.isinf(seconds) else gone, f"strip packing: {length_m:.3f} m")

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
            seed, reached, stop=asked(),
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
    many = order.quantity.sum() > _MANY
    if many and len(order.shapes) == 1 and _has_closed_form(order, stocks):
        return []
    costs = {
        stock.number: terms.cost(stock.number, strip_bound(order, terms, stock)) for stock in stocks
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


#: Blocks of an order, each with how often it is cut.
_Blocks = list[tuple[NestOrder, int]]


def _ways(
    order: NestOrder, terms: NestTerms, stocks: Sequence[Stock]
) -> list[tuple[_Blocks, float]]:
    """Ways to part an order for the packer, and the share of the time that each is given."""
    if not stocks:
        return []
    pieces = int(order.quantity.sum())
    longest = max(strip_bound(order, terms, stock) for stock in stocks)
    rolls = math.ceil(longest / (_ROLL_SHARE * terms.max_length_m))
    parted = max(rolls, math.ceil(pieces / _MOST_AT_ONCE))
    ways = [(_parted(order, parted), 1.0)]
    blocks = max(math.ceil(pieces / _BLOCK), parted)
    # Equal blocks gain where few shapes are ordered often: one good nest serves many times.
    enough = blocks >= _LEAST_BLOCKS and int(order.quantity.min()) >= blocks
    if blocks > parted and enough and len(order.shapes) <= _FEW_SHAPES:
        ways.append((_equal(order, blocks), _BLOCKS_SHARE / (1.0 - _BLOCKS_SHARE)))
    return ways


def _equal(order: NestOrder, blocks: int) -> _Blocks:
    """Equal blocks of an order, and what is left of it."""
    equal = order.quantity // blocks
    rest = order.quantity - equal * blocks
    return [
        (NestOrder(order.shapes, np.asarray(quantity)), count)
        for quantity, count in ((equal, blocks), (rest, 1))
        if quantity.any()
    ]


def _parted(order: NestOrder, parts: int) -> _Blocks:
    """Part an order so that each part has its share of every shape, alike parts together."""
    share = np.tile(order.quantity // parts, (parts, 1))
    at = 0
    for shape, rest in enumerate((order.quantity % parts).tolist()):
        # What is over is dealt out in turn, so that no part has much more than another.
        for n in range(rest):
            share[(at + n) % parts, shape] += 1
        at += rest
    different, count = np.unique(share, axis=0, return_counts=True)
    return [
        (NestOrder(order.shapes, quantity), times)
        for quantity, times in zip(different, count.tolist(), strict=True)
    ]


def _stopped(seconds: float, packed: Sequence[Packed]) -> Message:
    runs = ", ".join(f"{nest.seed} at step {nest.step}" for nest in packed[:_TOLD])
    more = " and others" if len(packed) > _TOLD else ""
    return Message(
        "shape", f"{seconds:g} s",
        "the search took the time that it was given; another machine or another day may find "
        f"another plan. This one is from seed {runs}{more}.",
        "note",
        code="nest.stopped_by_time",
    )  # fmt: skip


#: Runs of the packer that a note names at most.
_TOLD = 3
