"""Ways to meet one enquiry, each priced as an order of its own and set side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from meshcore.costing.book.price_book import PriceBook
from meshcore.enquiry import COLUMNS, MUST_STAND, SET_PRICE
from meshcore.estimates.pipeline import estimate_list
from meshcore.supply.policy import SupplyPolicy
from meshcore.weave.geometry.path import PathModel

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.estimates.results import EstimateSet

#: What the label of every way but the first says, so that a document offers it beside the first.
_BESIDE = "option"


def priced_options(
    asked: Sequence[Mapping[str, str]],
    price_book: PriceBook,
    supply_policy: SupplyPolicy,
    path_model: PathModel = "arc",
) -> EstimateSet:
    """Price ways to meet one enquiry.

    Parameters
    ----------
    asked
        Enquiry column → text, a mapping for each way. The first is what is quoted; the others are
        offered beside it, and are in no sum.
    price_book, supply_policy, path_model
        As for `estimate_list`.

    Returns
    -------
    One line for each way, labelled ``1``, ``2 (option)`` and so on.
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    labels = ["1", *(f"{n} ({_BESIDE})" for n in range(2, len(asked) + 1))]
    rows = [{**line, "line": label} for line, label in zip(asked, labels, strict=True)]
    used = [n for n in (SET_PRICE, MUST_STAND) if any(line.get(n) for line in asked)]
    columns = [*COLUMNS, *used]
    table = pd.DataFrame(rows, columns=columns, dtype=object).fillna("")
    return estimate_list(table, price_book, supply_policy, path_model, better_quantities=False)


def side_by_side(estimates: EstimateSet) -> pd.DataFrame:
    """Return what tells the ways apart, one row each.

    Returns
    -------
    The priced columns of each line, and ``difference`` from the first way's price, in the
    currency of the book: NaN where either has no price.

    Examples
    --------
    >>> from meshcore.demo import demo_price_book, policy_in_use
    >>> line = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "form": "roll",
    ...         "width": "48 in", "length": "100 ft", "quantity": "3"}
    >>> ways = [line | {"alloy": "304"}, line | {"alloy": "316"}]
    >>> both = priced_options(ways, demo_price_book(), policy_in_use())
    >>> found = side_by_side(both)
    >>> bool(found["difference"][1] == round(found["price"][1] - found["price"][0], 2))
    True
    """
    table = estimates.table.reset_index(drop=True)
    ledger = estimates.ledger
    minor = np.where(ledger.priced & ~estimates.log.refused(), ledger.price_minor, np.nan)
    return table.assign(difference=(minor - minor[0]) / 10.0**ledger.digits)
