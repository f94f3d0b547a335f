"""What an old line was made with and no longer is: stock widths, and rules of the price."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from meshcore.documents.facts import ClothLine
from meshcore.documents.wording import words
from meshcore.register.packing import SavedEstimate
from meshcore.rounding import SLACK

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.estimates.results import EstimateSet


def no_longer(
    saved: SavedEstimate, lines: Sequence[ClothLine], then: EstimateSet, today: EstimateSet
) -> tuple[str, ...]:
    """Tell what is no longer as it was, a sentence each, though the lines may still have a price.

    Parameters
    ----------
    saved
        The estimate as it was filed.
    lines
        The old lines.
    then
        The old lines priced with their own book and policy by the rules of today.
    today
        The same with today's book and policy.
    """
    return (*_widths(saved, lines, today), *_switched_off(saved, today), *_rules(saved, then))


def _widths(saved: SavedEstimate, lines: Sequence[ClothLine], today: EstimateSet) -> Iterable[str]:
    """Tell rolls that were woven in a stock width, which is one no more."""
    say = words("en")
    for line in lines:
        if line.form != "roll" or not _holds(saved.policy.widths_m, line.width_m):
            continue
        if not _holds(today.policy.widths_m, line.width_m):
            width = say.length(line.width_m, line.inches_first)
            yield f"line {line.label}: {width} is no longer a stock width."


def _holds(widths_m: Sequence[float], width_m: float) -> bool:
    return any(math.isclose(width_m, one, rel_tol=SLACK) for one in widths_m)


def _switched_off(saved: SavedEstimate, today: EstimateSet) -> Iterable[str]:
    for name in today.book.rules_disabled:
        if name not in saved.book.rules_disabled:
            yield f'the rule "{name}" is switched off in {today.book.name}.'


def _rules(saved: SavedEstimate, then: EstimateSet) -> Iterable[str]:
    """Tell items that the old lines had, and by the same book have no more: a rule is gone."""
    held = _labels(then.cost_items())
    for stage, label in sorted(_labels(saved.items) - held):
        yield f'no rule charges "{label}" ({stage}) any more, as one did then.'


def _labels(items: pd.DataFrame) -> set[tuple[str, str]]:
    return set(zip(items["stage"].astype(str), items["label"].astype(str), strict=True))
