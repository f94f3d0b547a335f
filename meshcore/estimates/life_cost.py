"""What a cloth costs over the years wanted: the first, each that replaces it, and the time lost.

A life that is reckoned says how often cloth is replaced. Where none is reckoned, an alloy that
meets is taken to last the years wanted, and one that does not has no cost: nobody knows it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.rounding import SLACK


@dataclass(frozen=True, slots=True, kw_only=True)
class LifeCost:
    """What a replacement costs besides the cloth, and what money is worth later.

    Parameters
    ----------
    fitting, down_time
        Of each replacement, in the currency of the prices.
    discount
        Share by which money is worth less each year [-]; 0 counts all years alike.

    Raises
    ------
    ValueError
        If one is negative.
    """

    fitting: float = 0.0
    down_time: float = 0.0
    discount: float = 0.0

    def __post_init__(self) -> None:
        for field in ("fitting", "down_time", "discount"):
            if not getattr(self, field) >= 0.0:
                raise ValueError(f"{field}: {getattr(self, field)} must be 0 or more")


def lives_counted(life_years: FloatArray, meets: BoolArray, years_wanted: float) -> FloatArray:
    """Life by which cloth is replaced [a]: what is reckoned, else the years wanted if it meets.

    Examples
    --------
    >>> lives_counted(np.array([4.0, np.nan, np.nan]), np.array([False, True, False]), 15.0)
    array([ 4., 15., nan])
    """
    return np.where(np.isnan(life_years), np.where(meets, years_wanted, np.nan), life_years)


def replacements(life_years: FloatArray, years: FloatArray | float) -> FloatArray:
    """How often cloth is replaced before some years are over [-]; NaN where no life is known.

    Examples
    --------
    >>> replacements(np.array([4.0, 5.0, 15.0, np.inf, np.nan]), 15.0).tolist()
    [3.0, 2.0, 0.0, 0.0, nan]
    """
    spent = np.ceil(years / np.where(life_years > 0.0, life_years, np.nan) - SLACK) - 1.0
    return np.maximum(spent, 0.0) + np.where(np.isnan(life_years), np.nan, 0.0)


def present_cost(
    price: FloatArray, life_years: FloatArray, years: FloatArray | float, cost: LifeCost
) -> FloatArray:
    """Cost over some years, in money of today.

    Parameters
    ----------
    price, life_years
        Of each alloy; NaN where unknown.
    years
        Years reckoned over [a].
    cost
        What a replacement costs besides.

    Examples
    --------
    Cloth of 1,000 that lasts 5 years, over 15, with 200 to fit it anew: bought three times.

    >>> present_cost(np.array([1000.0]), np.array([5.0]), 15.0, LifeCost(fitting=200.0)).tolist()
    [3400.0]
    """
    count = replacements(life_years, years)
    each = price + cost.fitting + cost.down_time
    if cost.discount:
        with np.errstate(invalid="ignore"):
            worth = (1.0 + cost.discount) ** -np.where(np.isinf(life_years), 0.0, life_years)
            # Sum of worth^k for k = 1 … count.
            later = worth * (1.0 - worth**count) / np.where(worth < 1.0, 1.0 - worth, 1.0)
        later = np.where(count > 0.0, later, 0.0 * count)
    else:
        later = count
    return np.asarray(price + each * later, dtype=np.float64)


def yearly_cost(present: FloatArray, years: float, discount: float) -> FloatArray:
    """Even yearly cost over the years wanted that is worth as much as a present cost.

    Examples
    --------
    >>> yearly_cost(np.array([3400.0]), 15.0, 0.0).round(2).tolist()
    [226.67]
    """
    if not discount:
        return present / years
    even: FloatArray = present * discount / (1.0 - (1.0 + discount) ** -years)
    return even


def break_even_years(
    price: FloatArray,
    life_years: FloatArray,
    years: float,
    cost: LifeCost,
    meets: BoolArray | None = None,
) -> FloatArray:
    """Year from which an alloy costs no more than the one that is cheapest at first [a].

    Parameters
    ----------
    price, life_years, years, cost
        As for `present_cost`.
    meets
        Alloys that meet. One that does not, and is never replaced either, is none to compare with:
        its life is only a sign.

    Returns
    -------
    0 for the cheapest itself; NaN where it never does within the years wanted.

    Examples
    --------
    A cloth of 1,000 every 4 years, and one of 1,900 that lasts: even when the first is bought anew.

    >>> break_even_years(np.array([1000.0, 1900.0]), np.array([4.0, 15.0]), 15.0, LifeCost())
    array([0., 4.])
    """
    known = ~np.isnan(price) & ~np.isnan(life_years)
    even = np.full(price.shape, np.nan)
    if not known.any():
        return even
    fit = known & ((replacements(life_years, years) > 0.0) | (True if meets is None else meets))
    if not fit.any():
        return even
    base = int(np.argmin(np.where(fit, price, np.inf)))
    even[base] = 0.0
    count = float(replacements(life_years[base : base + 1], years)[0])
    for number in range(1, int(count) + 1):
        bought_anew = number * life_years[base]
        just_after = bought_anew * (1.0 + 1e-6)
        own = present_cost(price, life_years, just_after, cost)
        better = known & np.isnan(even) & (own <= own[base] * (1.0 + SLACK))
        even[better] = bought_anew
    return even
