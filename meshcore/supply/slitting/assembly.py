"""From patterns to a plan: runs without surplus strips, and the rolls they are cut from."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from meshcore.rounding import SLACK
from meshcore.supply.slitting.plan import Lane, Run, SlitPlan, SlitStock, SlitTerms, StripOrder
from meshcore.supply.slitting.roll_packing import PackedRoll, pack_rolls
from meshcore.supply.slitting.rolls import choose_runs_and_rolls
from meshcore.supply.slitting.runs import RunLayout
from meshcore.supply.solver.column_generation import Column
from meshcore.supply.solver.whole_numbers import SAME_COST, Cutting

#: Share of the time left that goes into packing the runs of a stock width onto rolls, and into
#: choosing runs and rolls together [-].
_PACKING_SHARE, _CHOICE_SHARE = 0.2, 0.8


def cheapest_plan(
    order: StripOrder,
    terms: SlitTerms,
    items: StripOrder,
    parts: tuple[tuple[tuple[int, int], ...], ...],
    cut: Cutting,
    deadline: float,
) -> SlitPlan:
    """Buy rolls for the runs; where rolls come in few lengths, choose runs and rolls together."""

    def plan(columns: Sequence[Column], uses: Sequence[int]) -> SlitPlan:
        runs = _runs(columns, uses, items, terms)
        rolls = tuple(
            _rolls(runs, number, stock, (deadline - time.monotonic()) * _PACKING_SHARE)
            for number, stock in enumerate(terms.stocks)
        )
        charges = [s.to_use for s, group in zip(terms.stocks, rolls, strict=True) if group]
        bought = [roll.cost * roll.count for group in rolls for roll in group]
        cost = math.fsum((*charges, *bought))
        bound = min(cut.bound, cost)
        return SlitPlan(order, terms, items, parts, runs, rolls, cost, bound)

    best = plan(cut.columns, cut.uses)
    if best.gap > SAME_COST and not _runs_alone_decide(terms):
        uses = choose_runs_and_rolls(
            cut.pool, items, terms, (deadline - time.monotonic()) * _CHOICE_SHARE, cut.bound
        )
        if uses is not None:
            best = min(best, plan(cut.pool, uses), key=lambda p: p.cost)
    return best


def _runs_alone_decide(terms: SlitTerms) -> bool:
    """Whether cloth is bought to length and nothing is charged beside, whatever width it has."""
    rolls = [stock.rolls for stock in terms.stocks]
    free = all(r.part_m is not None and not r.part_m[0] and not r.part_charge for r in rolls)
    return free and not terms.charges_widths


def _runs(
    columns: Sequence[Column], uses: Sequence[int], items: StripOrder, terms: SlitTerms
) -> tuple[Run, ...]:
    """Gather the runs of the patterns used, without strips that nobody ordered."""
    repeats: dict[RunLayout, int] = {}
    for column, times in zip(columns, uses, strict=True):
        if times and isinstance(column.layout, RunLayout):
            repeats[column.layout] = repeats.get(column.layout, 0) + times
    merged: dict[Run, int] = {}
    for layout, lanes, times in _without_overs(repeats, items):
        length = max(_length(lane, items) for lane in lanes)
        width = terms.stocks[layout.stock].width_m
        as_woven = abs(lanes[0].width_m - width) <= width * SLACK
        run = Run(layout.stock, length, lanes, 1, as_woven)
        merged[run] = merged.get(run, 0) + times
    runs = [replace(run, repeats=times) for run, times in merged.items()]
    return tuple(sorted(runs, key=lambda run: (run.stock, -run.length_m, -run.repeats)))


def _length(lane: Lane, items: StripOrder) -> float:
    return sum(float(items.length_m[item]) * count for item, count in lane.strips)


def _without_overs(
    repeats: dict[RunLayout, int], items: StripOrder
) -> Iterator[tuple[RunLayout, tuple[Lane, ...], int]]:
    """Leave out surplus strips, where that does not split a pattern in two.

    What they would have taken stays together as an offcut, and a run may become shorter.
    """
    left_over = -items.quantity.copy()
    for layout, times in repeats.items():
        for _, strips, lanes in layout.lanes:
            for item, count in strips:
                left_over[item] += count * lanes * times
    for layout, times in sorted(repeats.items(), key=lambda pair: pair[1]):
        lanes_kept = []
        for width, strips, count in layout.lanes:
            for _ in range(count):
                kept = []
                for item, held in strips:
                    spare = min(held, int(left_over[item]) // times)
                    left_over[item] -= spare * times
                    if held > spare:
                        kept.append((item, held - spare))
                if kept:
                    lanes_kept.append(Lane(width, tuple(kept)))
        if lanes_kept:
            yield layout, tuple(lanes_kept), times


def _rolls(
    runs: Sequence[Run], number: int, stock: SlitStock, seconds: float
) -> tuple[PackedRoll, ...]:
    own = [run for run in runs if run.stock == number]
    if not own:
        return ()
    lengths = np.array([run.length_m for run in own])
    repeats = np.array([run.repeats for run in own], dtype=np.int64)
    return tuple(pack_rolls(lengths, repeats, stock.rolls, seconds))
