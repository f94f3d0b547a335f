"""Cost items as they were kept, set side by side: for estimates whose ledger is long gone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from meshcore.costing.money import from_minor, minor_digits, to_minor
from meshcore.costing.stages import STAGES

if TYPE_CHECKING:
    import pandas as pd

_KEY = ["line", "stage", "label", "which"]
_SHOWN = ["quantity", "unit", "rate", "amount"]


def compare_items(first: pd.DataFrame, second: pd.DataFrame) -> pd.DataFrame:
    """Set the cost items of two estimates side by side, line by line and item by item.

    Parameters
    ----------
    first, second
        Cost items with the columns ``ITEM_COLUMNS``, such as ``SavedEstimate.items`` or
        ``EstimateSet.cost_items()``.

    Returns
    -------
    One row an item, in the order of the lines and stages: ``line``, ``stage``, ``label``, and for
    each side ``quantity``, ``unit``, ``rate`` and ``amount``; ``difference`` is second less first.
    The last row, ``total``, adds up exactly.

    Raises
    ------
    ValueError
        If the two are in different currencies, or one of them has no items.

    Examples
    --------
    >>> import meshcore as mc
    >>> mesh = dict(mesh_count="10 / in", wire_diameter="0.025 in",
    ...             form=mc.Roll("48 in", "100 ft"))
    >>> items = [mc.estimate(mc.Enquiry(alloy=a, **mesh)).cost_items for a in ("304", "316L")]
    >>> compared = compare_items(*items)
    >>> bool(compared["difference"].iloc[:-1].sum().round(2) == compared["difference"].iloc[-1])
    True
    """
    import pandas as pd  # noqa: PLC0415 - heavy, and costing alone does not need it

    if first.empty or second.empty:
        which = "first" if first.empty else "second"
        raise ValueError(f"the {which} of the two has no price. Compare estimates that have one.")
    currency, other = (str(items["currency"].iloc[0]) for items in (first, second))
    if currency != other:
        raise ValueError(
            f"estimates in {currency} and {other} do not compare. Price both with a book in one "
            "currency."
        )
    digits = minor_digits(currency)
    keyed = [_keyed(items, digits) for items in (first, second)]
    every = keyed[0].index.union(keyed[1].index, sort=False)
    sides = [side.reindex(every) for side in keyed]
    table = sides[0][_SHOWN].add_suffix("_first").join(sides[1][_SHOWN].add_suffix("_second"))
    minor = [side["minor"].fillna(0.0).to_numpy() for side in sides]
    for name, column in zip(("first", "second"), minor, strict=True):
        table[f"amount_{name}"] = from_minor(column, digits)
        table[f"unit_{name}"] = table[f"unit_{name}"].fillna("")
    table["difference"] = from_minor(minor[1] - minor[0], digits)
    ranked = table.reset_index().sort_values(
        ["line", "stage"], key=_rank, kind="stable", ignore_index=True
    )
    sums = [from_minor(column.sum(), digits) for column in (*minor, minor[1] - minor[0])]
    total = pd.DataFrame(
        [("total", "price", *sums)],
        columns=["stage", "label", "amount_first", "amount_second", "difference"],
    )
    return pd.concat([ranked.drop(columns="which"), total], ignore_index=True)


def _keyed(items: pd.DataFrame, digits: int) -> pd.DataFrame:
    """Key items by line, stage, label, and which of that name they are."""
    held = items.assign(
        which=items.groupby(_KEY[:-1]).cumcount(),
        minor=to_minor(items["amount"].to_numpy(dtype=float), digits),
    )
    return held.set_index(_KEY)


def _rank(column: pd.Series) -> pd.Series:
    return column.map(STAGES.index) if column.name == "stage" else column
