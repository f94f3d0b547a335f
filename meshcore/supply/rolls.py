"""Which rolls to buy for a length, and which stock width for a width."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.rounding import SLACK
from meshcore.supply.policy import SupplyPolicy

#: Half rolls of one length that a mix is searched up to. Beyond that a length is met with full
#: rolls, as a store keeps them: common practice, no source.
MOST_HALVES = 10
#: Full rolls that may give way to part rolls, where what is left is shorter than a part roll may
#: be; three serve for any least length up to three quarters of a full roll.
_FEWER_FULLS = 3
#: What one roll more weighs against the cost of a full roll [-]: of equal costs, fewer rolls.
_FEWER_ROLLS = 1e-9


@dataclass(frozen=True, slots=True)
class RollTerms:
    """Rolls that can be bought in one width.

    Parameters
    ----------
    full_m
        Length of a full roll [m].
    halves_m
        Lengths sold as half rolls [m].
    part_m
        Least and greatest length of a part roll [m]; None where there are none.
    metre_cost
        Cost of a metre of cloth of this width, in any currency; the width or an area does as well
        where only proportions matter.
    part_charge
        Charge for each part roll, in the same currency.
    """

    full_m: float
    halves_m: tuple[float, ...] = ()
    part_m: tuple[float, float] | None = None
    metre_cost: float = 1.0
    part_charge: float = 0.0


def roll_terms(
    policy: SupplyPolicy, metre_cost: float = 1.0, part_charge: float = 0.0
) -> RollTerms:
    """Return the roll terms of a supply policy; a part roll is any length up to a full one."""
    part = (0.0, policy.full_length_m) if policy.part_rolls else None
    return RollTerms(policy.full_length_m, policy.half_lengths_m, part, metre_cost, part_charge)


@dataclass(frozen=True, slots=True)
class RollMix:
    """Rolls that meet each required length, one row a length.

    Parameters
    ----------
    full
        Full rolls [-].
    halves
        Half rolls of each length, one column a length [-].
    parts
        Part rolls [-].
    part_m
        Length of all part rolls together [m]; they may share it as they like within their limits.
    length_m
        Length bought [m].
    cost
        Cost of the rolls, in the currency of the terms.
    """

    full: IntArray
    halves: IntArray
    parts: IntArray
    part_m: FloatArray
    length_m: FloatArray
    cost: FloatArray


def cheapest_mix(required_m: FloatArray, terms: RollTerms) -> RollMix:
    """Cheapest rolls whose lengths sum to at least the required length.

    Parameters
    ----------
    required_m
        Lengths required [m].
    terms
        What can be bought.

    Returns
    -------
    The mix; of equal costs the one with fewer rolls.

    Notes
    -----
    Every combination of up to ``MOST_HALVES`` half rolls of each length is tried, the rest being
    full rolls and either one full roll more or part rolls.

    Examples
    --------
    >>> terms = RollTerms(full_m=30.0, halves_m=(15.0,), part_m=(5.0, 30.0), part_charge=2.0)
    >>> mix = cheapest_mix(np.array([44.0, 50.0]), terms)
    >>> mix.full.tolist(), mix.halves[:, 0].tolist(), mix.part_m.tolist()
    ([1, 1], [1, 0], [0.0, 20.0])
    """
    needed = np.asarray(required_m, dtype=np.float64)
    best_cost = np.full(needed.shape, np.inf)
    best: dict[str, FloatArray] = {}
    for counts in product(range(MOST_HALVES + 1), repeat=len(terms.halves_m)):
        for fewer in (None, *range(_FEWER_FULLS + 1)) if terms.part_m else (None,):
            option = _option(needed, np.array(counts), terms, fewer)
            better = option["rank"] < best_cost
            best_cost = np.where(better, option["rank"], best_cost)
            for name, column in option.items():
                kept = best.get(name, np.zeros_like(column))
                mask = better if column.ndim == 1 else better[:, np.newaxis]
                best[name] = np.where(mask, column, kept)
    return RollMix(
        full=best["full"].astype(np.int64),
        halves=best["halves"].astype(np.int64),
        parts=best["parts"].astype(np.int64),
        part_m=best["part_m"],
        length_m=best["length"],
        cost=best["cost"],
    )


def _option(
    needed: FloatArray, counts: IntArray, terms: RollTerms, fewer: int | None
) -> dict[str, FloatArray]:
    """Mix with `counts` half rolls, the rest in full rolls, or in full and part rolls.

    `fewer` is how many full rolls give way to part rolls; None is no part rolls.
    """
    halves_m = float(counts @ np.array(terms.halves_m)) if len(counts) else 0.0
    rest = np.maximum(needed - halves_m, 0.0)
    # What the halves leave of a length that they sum to is rounding, not cloth.
    rest = np.where(rest < needed * SLACK, 0.0, rest)
    whole = rest / terms.full_m
    parts = part_m = np.zeros_like(rest)
    if fewer is not None and terms.part_m:
        full = np.maximum(np.floor(whole * (1.0 + SLACK)) - fewer, 0.0)
        left = np.maximum(rest - full * terms.full_m, 0.0)
        left = np.where(left < rest * SLACK, 0.0, left)
        least, most = terms.part_m
        parts = np.ceil(left / most * (1.0 - SLACK))
        part_m = np.maximum(left, parts * least)
    else:
        full = np.ceil(whole * (1.0 - SLACK))
    length = full * terms.full_m + halves_m + part_m
    cost = length * terms.metre_cost + parts * terms.part_charge
    rolls = full + counts.sum() + parts
    halves = np.broadcast_to(counts.astype(np.float64), (len(rest), len(counts)))
    return {
        "full": full, "halves": halves, "parts": parts, "part_m": part_m, "length": length,
        "cost": cost, "rank": cost + rolls * (_FEWER_ROLLS * terms.full_m * terms.metre_cost),
    }  # fmt: skip


#: Farthest that a stock width may lie under the width that rounds it [-]: 1.22 m is 48 in, which is
#: 1.2192 m (common practice, no source).
_NOMINAL = 1e-3


def nominal_widths(width_m: FloatArray, half_m: FloatArray, widths_m: FloatArray) -> FloatArray:
    """Return the stock width that each width names as it was rounded; NaN where it names none.

    Parameters
    ----------
    width_m, half_m
        Widths as typed, and half of the last digit of each [m].
    widths_m
        Stock widths [m].

    Examples
    --------
    >>> stock = np.array([0.9144, 1.2192])
    >>> nominal_widths(np.array([1.22, 1.22, 1.0]), np.array([5e-3, 5e-5, 5e-3]), stock)
    array([1.2192,    nan,    nan])
    """
    asked = np.asarray(width_m, dtype=np.float64)[:, np.newaxis]
    under = asked - np.asarray(widths_m)
    with np.errstate(invalid="ignore"):
        leeway = np.minimum(np.asarray(half_m)[:, np.newaxis], _NOMINAL * asked)
        named = (under > 0.0) & (under <= leeway * (1.0 + SLACK))
    found: FloatArray = np.where(
        named.any(axis=1), np.asarray(widths_m)[named.argmax(axis=1)], np.nan
    )
    return found


def cheapest_width(
    required_m: FloatArray,
    widths_m: FloatArray,
    metre_costs: FloatArray,
    edge_trim_m: float,
    over: float = 0.0,
) -> IntArray:
    """Cheapest stock width for each required width.

    Parameters
    ----------
    required_m
        Widths required [m].
    widths_m
        Stock widths [m].
    metre_costs
        Cost of a metre of each stock width.
    edge_trim_m
        Cloth lost at each edge where the stock is trimmed [m].
    over
        How far a width may come out over nominal, as a share [-]: cloth no wider than that is
        delivered as woven.

    Returns
    -------
    Index of the stock width, -1 where none serves. Cloth of the required width, or over
    it within `over`, is delivered as woven and loses no edges.

    Examples
    --------
    >>> widths, costs = np.array([0.9, 1.2]), np.array([9.0, 12.0])
    >>> cheapest_width(np.array([0.9, 1.0, 1.19, 2.0]), widths, costs, edge_trim_m=0.005)
    array([ 0,  1,  1, -1])
    """
    required = np.asarray(required_m, dtype=np.float64)[:, np.newaxis]
    as_woven = (widths_m >= required * (1.0 - SLACK)) & (
        widths_m <= required * (1.0 + over + SLACK)
    )
    trimmed = widths_m - 2.0 * edge_trim_m >= required * (1.0 - SLACK)
    cost = np.where(as_woven | trimmed, metre_costs, np.inf)
    chosen = np.argmin(cost, axis=1)
    return np.where(np.isfinite(cost.min(axis=1)), chosen, -1)
