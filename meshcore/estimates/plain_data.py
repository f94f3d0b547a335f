"""Estimates as plain data: dicts, lists, texts and finite numbers, as strict JSON has them."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time
from typing import TYPE_CHECKING, Any

import numpy as np

from meshcore.arrays import IntArray
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.ledger import ITEM_COLUMNS, Ledger
from meshcore.estimates.priced_table import PRICED_COLUMNS
from meshcore.estimates.wording import CAUTION
from meshcore.messages import Message, writable
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.policy import SupplyPolicy
from meshcore.weave.geometry.path import PathModel

if TYPE_CHECKING:
    import pandas as pd

#: Item columns that stand with the line, or say the same on every item of it.
_OF_THE_LINE = ("line", "currency")


def pricing_data(
    book: PriceBook, policy: SupplyPolicy, path_model: PathModel, cutting: CuttingEffort | None
) -> dict[str, Any]:
    """Return the book, the policy and the settings that a list was priced with."""
    return {
        "currency": book.currency,
        "price_book": {"name": book.name, "date": book.date.isoformat(), "note": book.note},
        "supply_policy": {"name": policy.name, "date": str(policy.date), "note": policy.note},
        "path_model": path_model,
        "cutting": None if cutting is None else dataclasses.asdict(cutting),
        "caution": CAUTION,
    }


def line_data(
    table: pd.DataFrame, messages: Mapping[int, Sequence[Message]], ledger: Ledger, rows: IntArray
) -> list[dict[str, Any]]:
    """Return some lines of a priced list.

    Parameters
    ----------
    table
        The priced list.
    messages
        Messages of each line that has any.
    ledger
        Cost items of the lines.
    rows
        Row numbers of the lines wanted.

    Returns
    -------
    For each line its ``row``; the ``enquiry`` as it came, by heading; the priced columns, with
    None where there is no value; ``messages``, each with its code; and ``cost_items``, none where
    the line is refused.
    """
    wanted = table.iloc[rows]
    own = wanted.iloc[:, : wanted.shape[1] - len(PRICED_COLUMNS)]
    priced = wanted.iloc[:, own.shape[1] :]
    asked = _records(own)
    columns = {name: _cells(priced[name]) for name in PRICED_COLUMNS if name != "messages"}
    stopped = priced["status"].to_numpy() == "refused"
    items = _items_by_row(ledger.items_frame(rows[~stopped]))
    return [
        {
            "row": row,
            "enquiry": asked[place],
            **{name: cells[place] for name, cells in columns.items()},
            "messages": [message_data(message) for message in messages.get(row, ())],
            "cost_items": items.get(row, []),
        }
        for place, row in enumerate(rows.tolist())
    ]


def message_data(message: Message) -> dict[str, str]:
    """Return a message with its code."""
    held = {f.name: getattr(message, f.name) for f in dataclasses.fields(message)}
    return {name: writable(text) for name, text in held.items()}


def cell_data(cell: object) -> str | int | float | bool | None:
    """Return a cell as JSON can hold it; what is neither number nor date is its text.

    Examples
    --------
    >>> [cell_data(cell) for cell in (np.float64("nan"), np.int64(3), date(2026, 10, 1), "16 SWG")]
    [None, 3, '2026-10-01', '16 SWG']
    """
    if isinstance(cell, np.generic):
        cell = cell.item()
    if cell is None or isinstance(cell, bool | int):
        return cell
    if isinstance(cell, float):
        return cell if math.isfinite(cell) else None if math.isnan(cell) else str(cell)
    if isinstance(cell, str):
        return writable(cell)
    text = cell.isoformat() if isinstance(cell, datetime | date | time) else str(cell)
    # Pandas has values of its own for what is missing.
    return None if text in ("NaT", "<NA>") else writable(text)


def _cells(column: pd.Series) -> list[str | int | float | bool | None]:
    cells = column.tolist()
    if column.dtype.kind == "f" and np.isfinite(column.to_numpy()).all():
        return cells
    return [cell_data(cell) for cell in cells]


def _records(frame: pd.DataFrame) -> list[dict[str, Any]]:
    names = [writable(str(name)) for name in frame.columns]
    columns = [_cells(frame.iloc[:, place]) for place in range(len(names))]
    return [dict(zip(names, cells, strict=True)) for cells in zip(*columns, strict=True)] or [
        {} for _ in range(len(frame))
    ]


def _items_by_row(frame: pd.DataFrame) -> dict[int, list[dict[str, Any]]]:
    names = [name for name in ITEM_COLUMNS if name not in _OF_THE_LINE]
    columns = [_cells(frame[name]) for name in names]
    held: dict[int, list[dict[str, Any]]] = {}
    for row, cells in zip(frame["line"].tolist(), zip(*columns, strict=True), strict=True):
        held.setdefault(int(row), []).append(dict(zip(names, cells, strict=True)))
    return held
