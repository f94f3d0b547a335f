"""The comparison as a table: verdicts, reasons and prices, and what dominates what."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from meshcore.alloys.comparison.assumptions import Assumption, flips_by_alloy
from meshcore.alloys.comparison.facts import AlloyFacts
from meshcore.alloys.comparison.judging import ASPECTS, Judged
from meshcore.alloys.methods.tempers import strength_mpa
from meshcore.alloys.methods.verdicts import MARGINAL, MEETS, VERDICTS, VerdictArray
from meshcore.arrays import (
    BoolArray,
    FloatArray,
    IntArray,
    ObjectArray,
    coded_texts,
    text_column,
)

if TYPE_CHECKING:
    import pandas as pd

#: What stands with every comparison, on screen and on paper.
CAUTIONS: tuple[str, ...] = (
    "This is not a design code for mesh: the methods were made for structural parts, plates and "
    "coupons, and woven wire is thinner, crimped, and holds dirt and water at its crossings.",
    "A verdict ranks alloys by published methods within their ranges; it promises no life. "
    '"Not judged" means that no method here covers the alloy, not that it is fit.',
    "Where failure could hurt someone (load, guarding, food, heat, hygiene), local codes and "
    "licensed practice decide, and the alloy is to be tested in the service itself.",
)

#: No further columns.
NOTHING_BESIDE: Mapping[str, object] = MappingProxyType({})
#: Columns of the priced table that stand in the comparison too.
_CARRIED_OVER = ("status", "messages", "mass_kg", "currency")


def pareto_front(
    price: FloatArray,
    margin: FloatArray,
    eligible: BoolArray,
    method: ObjectArray | None = None,
) -> BoolArray:
    """Alloys that no other eligible one beats in price without losing margin, or the reverse.

    Parameters
    ----------
    price, margin
        Of each alloy; NaN keeps it out.
    eligible
        Alloys that are in the running.
    method
        Method of each margin; an alloy is beaten only by one whose margin is of the same.

    Examples
    --------
    >>> price, margin = np.array([1.0, 2.0, 3.0]), np.array([0.0, 2.0, 1.0])
    >>> pareto_front(price, margin, np.full(3, True)).tolist()
    [True, True, False]
    """
    running = eligible & ~np.isnan(price) & ~np.isnan(margin)
    cheaper = price[None, :] <= price[:, None]
    better = margin[None, :] >= margin[:, None]
    alike = np.array(True) if method is None else method[None, :] == method[:, None]
    strictly = (price[None, :] < price[:, None]) | (margin[None, :] > margin[:, None])
    beaten = (cheaper & better & strictly & alike & running[None, :]).any(axis=1)
    front: BoolArray = running & ~beaten
    return front


def comparison_table(
    facts: AlloyFacts,
    judged: Judged,
    prices: pd.DataFrame,
    rests_on: Sequence[Assumption] = (),
    temper: int = -1,
    beside: Mapping[str, object] = NOTHING_BESIDE,
) -> pd.DataFrame:
    """Table of one service: verdicts, reasons and prices, the cheapest that meets first.

    Parameters
    ----------
    facts
        The alloys.
    judged
        Their judgement; its first service is tabulated.
    prices
        One row an alloy in the same order, with at least ``price`` and ``net_area_m2`` (NaN where
        there is no price); ``status``, ``messages``, ``mass_kg``, ``currency`` are carried over.
    rests_on
        What the service was taken to be where nobody said.
    temper
        Of the wire, as `tempers.strength_mpa` takes it.
    beside
        Further columns, their rows in the order that `ranked` returns.

    Returns
    -------
    DataFrame, one row an alloy, sorted by verdict and price; ``attrs["cautions"]`` holds what must
    stand with it, ``attrs["assumptions"]`` what was assumed and what would flip it,
    ``attrs["would_decide"]`` what nobody knows and an alloy would meet by.
    """
    import pandas as pd  # noqa: PLC0415 - heavy, and judging needs none of it

    order = ranked(judged, prices)
    price = prices["price"].to_numpy(dtype=np.float64, na_value=np.nan)
    area = prices["net_area_m2"].to_numpy(dtype=np.float64, na_value=np.nan)
    verdict, margin, life = judged.verdict[0], judged.margin[0], judged.life_years[0]
    method = judged.margin_method[0]
    annealed = (np.array([a.tensile_mpa[end] for a in facts.alloys]) for end in (0, 1))
    least_mpa, most_mpa = strength_mpa(temper, tuple(annealed), list(facts.resists_as))  # type: ignore[arg-type]
    meets = (verdict == MEETS) & ~np.isnan(price)
    verdicts = _verdicts([verdict, *(judged.aspects[aspect][0] for aspect in ASPECTS)], order)
    cheapest = meets & (price == np.min(price[meets], initial=np.inf))
    ranks = order.tolist()
    alloys = [facts.alloys[i] for i in ranks]
    flips = flips_by_alloy(rests_on)
    table = pd.DataFrame(
        {
            "alloy": text_column([a.designation for a in alloys]),
            "family": text_column([a.family for a in alloys]),
            "uns": text_column([a.uns for a in alloys]),
            "en": text_column([a.en for a in alloys]),
            "verdict": verdicts[0],
            "reason": text_column(judged.reasons(0, ranks)),
            "price": price[order],
            "price_per_m2": (price / np.where(area > 0.0, area, np.nan))[order],
            "life_years": life[order],
            "tensile_least_mpa": least_mpa[order],
            "tensile_most_mpa": most_mpa[order],
            "corrosion_margin": margin[order],
            "margin_method": text_column(method[order].tolist()),
            "flips": text_column(["; ".join(flips.get(a.designation, ())) for a in alloys]),
            "on_front": pareto_front(price, margin, verdict <= MARGINAL, method)[order],
            "cheapest_that_meets": cheapest[order],
            **dict(zip(ASPECTS, verdicts[1:], strict=True)),
            **{c: prices[c].array.take(order) for c in _CARRIED_OVER if c in prices},
            **beside,
        }
    )
    table.attrs["cautions"] = CAUTIONS
    table.attrs["assumptions"] = tuple(str(one) for one in rests_on)
    table.attrs["would_decide"] = tuple(one.words for one in rests_on if _would_decide(one))
    return table


def ranked(judged: Judged, prices: pd.DataFrame) -> IntArray:
    """Return the alloys in the order of the table: by verdict, and the cheapest first."""
    price = prices["price"].to_numpy(dtype=np.float64, na_value=np.nan)
    return np.lexsort((np.where(np.isnan(price), np.inf, price), judged.verdict[0]))


def _verdicts(codes: Sequence[VerdictArray], order: IntArray) -> list[object]:
    """Write columns of verdicts in words, all at once."""
    rows = np.array(codes, dtype=np.int64)[:, order]
    texts, count = coded_texts(rows.ravel(), VERDICTS), len(order)
    return [texts[n * count : (n + 1) * count] for n in range(len(rows))]


def _would_decide(one: Assumption) -> bool:
    """Whether nobody knows it, and some alloy would meet if it were known."""
    meets = VERDICTS[MEETS]
    return not one.is_known and any(meets in flip.changes.values() for flip in one.flips)
