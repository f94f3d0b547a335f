"""Lines of a list with the cloth that was offered instead in place of what was asked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from meshcore.costing.set_prices import without_amounts
from meshcore.documents.facts import ClothLine
from meshcore.enquiry import SET_PRICE
from meshcore.reading.tables.headings import with_fields
from meshcore.weave.cloth import WEAVES
from meshcore.weave.search.written import written_cells

if TYPE_CHECKING:
    import pandas as pd


def row_of(labels: Sequence[str], label: str) -> int:
    """Return the row of the list that a quoted line came from; -1 where it is none.

    Of several offers instead of one line, the second on bears its label and a number.

    Examples
    --------
    >>> row_of(["1", "7"], "7"), row_of(["1", "7"], "7-2"), row_of(["1", "7"], "8")
    (1, 1, -1)
    """
    for name in (label, label.rpartition("-")[0]):
        if name in labels:
            return labels.index(name)
    return -1


def with_offered(
    enquiries: pd.DataFrame, headings: Mapping[str, str], offered: Mapping[int, ClothLine]
) -> pd.DataFrame:
    """Put the cloth of offers into the lines that they were made for.

    Parameters
    ----------
    enquiries
        Lines as they came, counted from 0.
    headings
        Column of the enquiry → its heading there.
    offered
        Row → the cloth that was offered instead. A price set on what was asked is let go.
    """
    if not offered:
        return enquiries
    written = {
        row: written_cells(WEAVES.index(cloth.weave), cloth.wire_m, cloth.pitch_m)
        for row, cloth in offered.items()
    }
    lines = with_fields(enquiries.astype(object), [n for one in written.values() for n in one])
    for row, cells in written.items():
        for name, cell in cells.items():
            lines.loc[row, headings.get(name, name)] = cell
        if SET_PRICE in lines.columns:
            lines.loc[row, SET_PRICE] = without_amounts(lines.iloc[[row]])[SET_PRICE].iloc[0]
    return lines
