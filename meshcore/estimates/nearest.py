"""The nearest specifications that can be woven, priced for the order of a line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from meshcore import plugins
from meshcore.costing.set_prices import without_amounts
from meshcore.estimates.lines import line_of
from meshcore.estimates.pipeline import priced_as
from meshcore.estimates.results import Estimate, EstimateSet
from meshcore.weave.judging.practicality import weave_rules
from meshcore.weave.search.alternatives import Alternatives, find_alternatives

if TYPE_CHECKING:
    import pandas as pd


def nearest_weavable(
    estimates: EstimateSet | Estimate, row: int = 0, hold: Sequence[str] = (), count: int = 8
) -> Alternatives:
    """Find what can be woven instead of a line, and what each costs for the same order.

    Parameters
    ----------
    estimates
        The estimates that hold the line, or the line itself.
    row
        Place of the line, from 0.
    hold
        Properties that must hold, of ``meshcore.weave.search.alternatives.PROPERTIES``.
    count
        Offers wanted.

    Returns
    -------
    The offers, nearest first, with prices where the line's order can be priced.

    Examples
    --------
    >>> import meshcore as mc
    >>> jammed = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.08 in", alloy="304",
    ...                                 form=mc.Roll("48 in", "100 ft")))
    >>> offers = nearest_weavable(jammed, hold=["wire_diameter"], count=3)
    >>> len(offers), bool((offers.price > 0).all())
    (3, True)
    """
    held, line = line_of(estimates, row)
    offered = find_alternatives(
        held.orders.cloth, line, weave_rules(plugins.installed()), hold=hold, count=count
    )
    if not len(offered):
        return offered
    lines = offer_lines(held, line, offered)
    priced = priced_as(held, lines)
    stopped = priced.log.refused()
    return offered.priced(lambda _: np.where(stopped, np.nan, priced.ledger.price))


def offer_lines(estimates: EstimateSet, row: int, offered: Alternatives) -> pd.DataFrame:
    """Return the line as it came, then the line with each offer in place of its specification."""
    line = without_amounts(estimates.enquiries.iloc[[row]].astype(object))
    lines = line.loc[line.index.repeat(len(offered) + 1)].reset_index(drop=True)
    for rank in range(len(offered)):
        for name, cell in offered.cells(rank).items():
            heading = estimates.headings.column.get(name, name)
            if heading not in lines.columns:
                lines[heading] = ""
            lines.loc[rank + 1, heading] = cell
    return lines
