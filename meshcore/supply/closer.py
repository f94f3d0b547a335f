"""Equal pieces laid closer than boxes, by forms that need no search."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.supply.forms import FormColumns
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.together import group_sums

if TYPE_CHECKING:
    from meshcore.supply.nesting.plan import NestTerms

#: Items of a list that are laid by closed forms, some milliseconds each; the others, in lists that
#: no person has written, are laid in rows of boxes, which take no less.
MOST_ITEMS = 20_000
#: Items remembered: a list is worked several times over.
_REMEMBERED = 8_192


def closer_runs(
    forms: FormColumns, shapes: Mapping[int, Shape], policy: SupplyPolicy, standing: BoolArray
) -> FloatArray | None:
    """Length that each item's pieces take on each stock width [m], one column a width.

    Parameters
    ----------
    forms
        What is to be delivered.
    shapes
        Row → shape, of the lines of pieces.
    policy
        Stock widths, trims and spacing.
    standing
        Lines that are to be cut.

    Returns
    -------
    The lengths, on each line of the item; NaN where the shape does not fit. None without pieces.
    """
    rows = np.array([row for row in shapes if standing[row]], dtype=np.int64)
    rows = rows[np.isfinite(forms.quantity[rows])]
    if not rows.size:
        return None
    from meshcore.supply.nesting.plan import nest_terms  # noqa: PLC0415 - only for pieces

    terms = nest_terms(policy)
    each = [replace(terms, widths_m=(width,)) for width in policy.widths_m]
    pooled = group_sums(forms.quantity, forms.item)
    items, first, place = np.unique(forms.item[rows], return_index=True, return_inverse=True)
    lengths = np.full((len(items), len(each)), np.nan)
    for number, row in enumerate(rows[first[:MOST_ITEMS]].tolist()):
        lengths[number] = [length_alone(shapes[row], int(pooled[row]), one) for one in each]
    runs = np.full((len(forms.item), len(each)), np.nan)
    runs[rows] = lengths[place]
    return runs


@lru_cache(maxsize=_REMEMBERED * 4)
def length_alone(shape: Shape, pieces: int, terms: NestTerms) -> float:
    """Length of cloth of one width for equal pieces, by closed forms [m]; NaN where too large."""
    from meshcore.supply.nesting.plan import NestOrder  # noqa: PLC0415 - only for pieces
    from meshcore.supply.nesting.planning import quick_nest  # noqa: PLC0415

    plan = quick_nest(NestOrder((shape,), np.array([pieces])), terms)
    return float("nan") if isinstance(plan, list) else plan.length_m
