"""What a comparison of alloys comes to, in words: which one, and why not a cheaper one."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from meshcore.alloys.comparison.judging import ASPECTS, CORROSION_ASPECTS
from meshcore.alloys.methods.verdicts import MARGINAL, MEETS, NOT_ASKED, NOT_JUDGED, VERDICTS

#: Always asked of an alloy, and no part of a service.
_OF_THE_MESH = "wire"
MEETS_WORD, MARGINAL_WORD = VERDICTS[MEETS], VERDICTS[MARGINAL]
NOT_JUDGED_WORD, NOT_ASKED_WORD = VERDICTS[NOT_JUDGED], VERDICTS[NOT_ASKED]


@dataclass(frozen=True, slots=True)
class Passed:
    """Cheaper alloys that are passed over for one reason, the cheapest first."""

    verdict: str
    reason: str
    alloys: tuple[str, ...]
    prices: tuple[float, ...]


def aspects_asked(table: pd.DataFrame) -> list[str]:
    """Questions that the service puts, in the order of their columns."""
    return [a for a in ASPECTS if (table[a] != NOT_ASKED_WORD).any() and a != _OF_THE_MESH]


def asks_of_corrosion(table: pd.DataFrame) -> bool:
    """Whether any question bears on corrosion, so that there can be a margin at all."""
    return any(aspect in CORROSION_ASPECTS for aspect in aspects_asked(table))


def cheapest(table: pd.DataFrame) -> int | None:
    """Row of the cheapest alloy that meets; None if none with a price does."""
    rows = np.flatnonzero(table["cheapest_that_meets"])
    return int(rows[0]) if rows.size else None


def next_best(table: pd.DataFrame) -> int | None:
    """Row of the cheapest alloy that is marginal; None if none with a price is."""
    rows = np.flatnonzero((table["verdict"] == MARGINAL_WORD) & table["price"].notna())
    return int(rows[0]) if rows.size else None


def more_margin(table: pd.DataFrame, row: int) -> pd.DataFrame:
    """Alloys on the front that meet, with more margin than that of `row` by the same method."""
    further = (
        table["on_front"]
        & (table["verdict"] == MEETS_WORD)
        & (table["margin_method"] == table["margin_method"].iloc[row])
        & (table["corrosion_margin"] > table["corrosion_margin"].iloc[row])
    )
    found: pd.DataFrame = table[further]
    return found


def passed_over(table: pd.DataFrame, row: int) -> list[Passed]:
    """Alloys cheaper than that of `row`, those passed over for one reason together.

    Parameters
    ----------
    table
        From `meshcore.compare_alloys`.
    row
        Place of the alloy that was chosen.

    Returns
    -------
    In the order of their cheapest alloys.
    """
    cheaper = table[table["price"] < table["price"].iloc[row]].sort_values("price", kind="stable")
    together: dict[tuple[str, str], list[tuple[str, float]]] = {}
    for verdict, reason, alloy, price in zip(
        cheaper["verdict"], cheaper["reason"], cheaper["alloy"], cheaper["price"], strict=True
    ):
        same = (str(verdict), without_name(str(reason), str(alloy)))
        together.setdefault(same, []).append((str(alloy), float(price)))
    return [
        Passed(verdict, reason, *_columns(alloys)) for (verdict, reason), alloys in together.items()
    ]


def _columns(alloys: Sequence[tuple[str, float]]) -> tuple[tuple[str, ...], tuple[float, ...]]:
    return tuple(name for name, _ in alloys), tuple(price for _, price in alloys)


def without_name(reason: str, alloy: str) -> str:
    """Reason as it reads for any alloy that a method does not cover.

    Examples
    --------
    >>> without_name("ISO 9223 does not cover 302; EN 1993-1-4 Annex A does not list 302", "302")
    'ISO 9223 does not cover it; EN 1993-1-4 Annex A does not list it'
    """
    return re.sub(rf"\b(cover|list|speaks of) {re.escape(alloy)}(?=;|$)", r"\1 it", reason)
