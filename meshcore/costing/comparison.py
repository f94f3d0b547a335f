"""Two estimates side by side, and two price books: what differs, and by how much."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from meshcore.costing.book.files import book_cells
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.ledger import Ledger
from meshcore.costing.stages import STAGES

if TYPE_CHECKING:
    import pandas as pd

_SIDES = ("first", "second")


def compare_lines(first: Ledger, first_line: int, second: Ledger, second_line: int) -> pd.DataFrame:
    """Set two priced lines side by side, item by item.

    Parameters
    ----------
    first, second
        Ledgers that the lines belong to; they may be one.
    first_line, second_line
        Row numbers.

    Returns
    -------
    One row an item, in the order of the stages: ``stage``, ``label``, and for each side
    ``quantity``, ``rate`` and ``amount``; ``difference`` is second less first. The last row,
    ``total``, adds up exactly.

    Raises
    ------
    ValueError
        If the two are in different currencies, or a line has no price.
    """
    import pandas as pd  # noqa: PLC0415 - heavy, and costing alone does not need it

    if first.currency != second.currency:
        raise ValueError(
            f"estimates in {first.currency} and {second.currency} do not compare. Price both with "
            "a book in one currency."
        )
    for ledger, line in ((first, first_line), (second, second_line)):
        if not ledger.priced[line]:
            raise ValueError(f"line {line} has no price. Mend it before comparing.")
    sides = [_items(first, first_line), _items(second, second_line)]
    keys = sorted(dict.fromkeys([*sides[0], *sides[1]]), key=lambda key: STAGES.index(key[0]))
    rows = []
    scale = 10.0**first.digits
    for stage, label, number in keys:
        row: dict[str, Any] = {"stage": stage, "label": label}
        minor = []
        for name, items in zip(_SIDES, sides, strict=True):
            quantity, unit, rate, amount = items.get((stage, label, number), (0.0, "", np.nan, 0.0))
            row |= {f"quantity_{name}": quantity, f"unit_{name}": unit, f"rate_{name}": rate}
            row[f"amount_{name}"] = amount / scale
            minor.append(amount)
        rows.append(row | {"difference": (minor[1] - minor[0]) / scale})
    totals = [float(ledger.price_minor[line]) for ledger, line in
              ((first, first_line), (second, second_line))]  # fmt: skip
    rows.append(
        {"stage": "total", "label": "price", "amount_first": totals[0] / scale,
         "amount_second": totals[1] / scale, "difference": (totals[1] - totals[0]) / scale}
    )  # fmt: skip
    return pd.DataFrame(rows)


def _items(
    ledger: Ledger, line: int
) -> dict[tuple[str, str, int], tuple[float, str, float, float]]:
    """Items of a line by stage, label, and which of that name it is."""
    seen: Counter[tuple[str, str]] = Counter()
    items: dict[tuple[str, str, int], tuple[float, str, float, float]] = {}
    for item in ledger.items:
        if item.minor[line] == 0.0:
            continue
        key = (item.stage, item.label)
        items[*key, seen[key]] = (
            float(item.quantity[line]), item.unit, float(item.rate[line]), float(item.minor[line])
        )  # fmt: skip
        seen[key] += 1
    return items


def compare_books(saved: PriceBook, edited: PriceBook) -> pd.DataFrame:
    """List what an edited price book changes against the saved one.

    Returns
    -------
    One row a change: ``table`` (book, exchange, rates), ``what`` is changed, ``column``, ``saved``
    and ``edited``; a row that one of them lacks has a blank there and says ``row``.
    """
    import pandas as pd  # noqa: PLC0415 - heavy, and costing alone does not need it

    changes = [
        {"table": table, "what": what, "column": column, "saved": old, "edited": new}
        for table in ("book", "exchange", "rates")
        for what, column, old, new in _changes(_named(saved, table), _named(edited, table))
    ]
    return pd.DataFrame(changes, columns=["table", "what", "column", "saved", "edited"])


def _named(book: PriceBook, table: str) -> dict[str, dict[str, Any]]:
    cells = book_cells(book)[table]
    if table == "book":
        return {"settings": cells[0]}
    if table == "exchange":
        return {f"{row['currency']} to {row['to']}": row for row in cells}
    return {rate.name: row for rate, row in zip(book.rates, cells, strict=True)}


def _changes(
    saved: dict[str, dict[str, Any]], edited: dict[str, dict[str, Any]]
) -> Iterator[tuple[str, str, str, str]]:
    for what in dict.fromkeys([*saved, *edited]):
        old, new = saved.get(what), edited.get(what)
        if old is None or new is None:
            yield what, "row", _row_text(old), _row_text(new)
            continue
        for column in dict.fromkeys([*old, *new]):
            if old.get(column) != new.get(column):
                yield what, column, _cell_text(old.get(column)), _cell_text(new.get(column))


def _row_text(row: dict[str, Any] | None) -> str:
    if row is None:
        return ""
    return " ".join(_cell_text(row[name]) for name in ("amount", "currency", "unit") if name in row)


def _cell_text(cell: object) -> str:
    if cell is None:
        return ""
    return ", ".join(map(str, cell)) if isinstance(cell, tuple) else str(cell)
