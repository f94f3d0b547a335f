"""Weaving: loom hours from the picks, and the warp set up end by end."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.costing.items import CostColumn, GroupSum, Live, OrderColumns, PricingRule, Remark
from meshcore.costing.rates import RateColumn, Rates
from meshcore.weave.cloth import WELDED

LOOM = "weaving.loom"
PICKS_PER_MINUTE = "weaving.picks_per_minute"
EFFICIENCY = "weaving.efficiency"
SET_UP = "weaving.set_up"
ENDS_PER_HOUR = "weaving.ends_per_hour"
SET_UP_TIME = "weaving.set_up_time"
WARP_LENGTH = "weaving.warp_length"
WELDING = "welding.machine"

#: A width of a whole number of pitches must not lose one to the last bits of a float; far below
#: the tolerance of any width, far above the rounding of one division.
LAST_BITS = 1e-12
#: What the cost of a run is shared by.
RUN_LENGTH = "m of the run"


def loom_hours(
    run_length_m: FloatArray,
    pitch_m: FloatArray,
    picks_per_hour: FloatArray,
    efficiency: FloatArray,
) -> FloatArray:
    """Hours that the loom is held by a run.

    Parameters
    ----------
    run_length_m, pitch_m
        Length woven and pitch of the shute [m]; their ratio is the number of picks.
    picks_per_hour
        Picks while the loom runs [1/h].
    efficiency
        Share of its time that the loom runs [-]; above 0.

    Returns
    -------
    Hours [h].

    Examples
    --------
    100 ft at 10 picks an inch are 12,000 picks: at 80 picks a minute and 75 %, 3.33 h.

    >>> length, pitch, picks, share = np.array([[30.48], [0.00254], [80 * 60.0], [0.75]])
    >>> loom_hours(length, pitch, picks, share).round(3).tolist()
    [3.333]
    """
    hours: FloatArray = run_length_m / pitch_m / (picks_per_hour * efficiency)
    return hours


def warp_ends(stock_width_m: FloatArray, pitch_m: FloatArray) -> FloatArray:
    """Wires of the warp: one for each pitch of the width, and one that closes the last.

    Examples
    --------
    >>> warp_ends(np.array([48 * 0.0254]), np.array([0.00254])).tolist()
    [481.0]
    """
    pitches: FloatArray = np.floor(stock_width_m / pitch_m * (1.0 + LAST_BITS))
    return pitches + 1.0


def _woven(columns: OrderColumns) -> FloatArray:
    """Length woven [m]: nothing where the screen is welded, not woven."""
    woven = columns.run_length_m
    return np.where(columns.cloth.weave == WELDED, 0.0, woven) if _any_welded(columns) else woven


def _any_welded(columns: OrderColumns) -> bool:
    return bool((columns.cloth.weave == WELDED).any())


def _loom_time(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    cloth = columns.cloth
    picks = rates.figure(PICKS_PER_MINUTE, "1/h", at=_table_size(rates, columns))
    efficiency = rates.figure(EFFICIENCY, "")
    woven = _woven(columns)
    yield CostColumn(
        "weaving",
        "loom hours",
        loom_hours(woven, cloth.pitch_m, picks.values, efficiency.values),
        "h",
        rates.money(LOOM, "h"),
        uses=(picks, efficiency),
        working="{length} m ÷ {pitch} m = picks; ÷ {picks} picks/h ÷ {efficiency} of the time",
        terms={
            "length": woven,
            "pitch": cloth.pitch_m,
            "picks": picks,
            "efficiency": efficiency,
        },
        live=Live("{length}/{pitch}/({picks}*{efficiency})"),
    )
    if _any_welded(columns) and not rates.has(WELDING):
        yield Remark(
            cloth.weave == WELDED,
            "weave",
            "welded screen is not woven, so no loom time is charged, and the book has no rate for "
            "its welding; price that by hand.",
            "review",
            "welded",
            code="weave.welded_no_loom_time",
        )


def _table_size(rates: Rates, columns: OrderColumns) -> FloatArray | None:
    return columns.cloth.wire_diameter_m if rates.size_unit_of(PICKS_PER_MINUTE) else None


@dataclass(frozen=True, slots=True)
class Runs:
    """Lengths woven to order in one stock width, and over which lines they are one run.

    Parameters
    ----------
    length_m
        Length that each line takes of it [m].
    together_m
        Length of the whole run, on each of its lines [m].
    width_m
        Stock width [m].
    per
        What lines share a run: ``"warp"`` or ``"cloth"``, as in `CostColumn`.
    """

    length_m: FloatArray
    together_m: FloatArray
    width_m: FloatArray
    per: Literal["warp", "cloth"]


def runs_of(columns: OrderColumns) -> Iterator[Runs]:
    """Yield what is woven: lines of one order, one cloth and one stock width are one run.

    Lines taken from stock are in none, nor is welded screen. A cloth that a cutting plan takes in
    several widths has a run of each.
    """
    woven = columns.woven_to_order(_woven(columns))
    if not columns.runs_by_width:
        yield Runs(woven, columns.over_warp(woven), columns.stock_width_m, "warp")
        return
    is_mixed = _in_several_widths(columns)
    single = np.where(is_mixed, 0.0, woven)
    yield Runs(single, columns.over_warp(single), columns.stock_width_m, "warp")
    for width, run in columns.runs_by_width.items():
        length = np.where(is_mixed & (woven > 0.0), run, 0.0)
        if length.any():
            yield Runs(length, columns.over_cloth(length), np.full(len(columns), width), "cloth")


def _in_several_widths(columns: OrderColumns) -> BoolArray:
    """Lines of a cloth of which a line is cut from several stock widths."""
    runs = np.stack(list(columns.runs_by_width.values()))
    several = (np.count_nonzero(runs > 0.0, axis=0) > 1).astype(np.float64)
    mixed: BoolArray = columns.over_cloth(several) > 0.0
    return mixed


def warps_of(runs: Runs, a_warp: RateColumn) -> FloatArray:
    """Warps that each run takes, the last one also in part."""
    # The same run split over more lines must not lose a warp to the last bits of a sum.
    return np.ceil(runs.together_m / a_warp.values * (1.0 - LAST_BITS))


def _warp_set_up(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    """Charge each warp once, to the lines woven from it by the length of each."""
    if rates.has(SET_UP):
        for runs in runs_of(columns):
            yield _set_up_of(runs, columns, rates)


def _set_up_of(runs: Runs, columns: OrderColumns, rates: Rates) -> CostColumn:
    each = rates.figure(ENDS_PER_HOUR, "1/h")
    fixed = rates.figure(SET_UP_TIME, "h", default=0.0)
    length = rates.figure(WARP_LENGTH, "m")
    warps = warps_of(runs, length)
    ends = warp_ends(runs.width_m, columns.cloth.pitch_m)
    return CostColumn(
        "warp set-up",
        "set-up hours",
        warps * (ends / each.values + fixed.values),
        "h",
        rates.money(SET_UP, "h"),
        uses=(each, fixed, length),
        per=runs.per,
        shared_by=runs.length_m,
        shared_in=RUN_LENGTH,
        working="{warps} warp(s) × ({ends} ends ÷ {each} ends/h + {fixed} h)",
        terms={
            "warps": warps,
            "ends": ends,
            "each": each,
            "fixed": fixed,
            "together": GroupSum(runs.per, runs.length_m, runs.together_m),
            "a_warp": length,
        },
        live=Live("ROUNDUP({together}/{a_warp}*(1-1E-12),0)*({ends}/{each}+{fixed})"),
    )


RULES: tuple[PricingRule, ...] = (
    PricingRule(
        "loom time", "weaving", _loom_time, reads=(LOOM, PICKS_PER_MINUTE, EFFICIENCY, WELDING)
    ),
    PricingRule(
        "warp set-up",
        "weaving",
        _warp_set_up,
        reads=(SET_UP, ENDS_PER_HOUR, SET_UP_TIME, WARP_LENGTH),
    ),
)
