"""Editing a price book: its tables as data frames and back, with undo."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from meshcore.costing.book import PriceBook
from meshcore.costing.book_check import (
    EXCHANGE_COLUMNS,
    RATE_COLUMNS,
    SETTING_NAMES,
    Row,
    build_book,
)
from meshcore.costing.book_files import book_cells

if TYPE_CHECKING:
    import pandas as pd

#: Tables of a book, and their columns.
TABLES: dict[str, tuple[str, ...]] = {
    "book": SETTING_NAMES,
    "exchange": EXCHANGE_COLUMNS,
    "rates": RATE_COLUMNS,
}


def book_frames(book: PriceBook) -> dict[str, pd.DataFrame]:
    """Return the tables of a book, ``book`` (one row), ``exchange`` and ``rates``.

    Notes
    -----
    Every column is there, blank cells as empty text; ``rules_disabled`` is text with commas.
    """
    import pandas as pd  # noqa: PLC0415 - heavy, and costing alone does not need it

    frames = {}
    for table, rows in book_cells(book).items():
        filled = [dict.fromkeys(TABLES[table], "") | row for row in rows]
        for row in filled:
            row |= {n: ", ".join(c) for n, c in row.items() if isinstance(c, tuple)}
        frames[table] = pd.DataFrame(filled, columns=list(TABLES[table]))
    return frames


def book_from_frames(frames: dict[str, pd.DataFrame], source: str) -> PriceBook:
    """Return the book that the tables make; rows wholly blank are left out.

    Parameters
    ----------
    frames
        As `book_frames` gives them; rows may be added, taken out or changed.
    source
        Named in errors.

    Raises
    ------
    PriceBookError
        Carrying a message for each cell that cannot stand, which names its table, row (from 1)
        and column.
    """
    settings = _rows(frames["book"], "book")
    return build_book(
        source,
        settings[0] if settings else Row({}, lambda column: f"book, {column}"),
        _rows(frames["exchange"], "exchange"),
        _rows(frames["rates"], "rates"),
    )


def _rows(frame: pd.DataFrame, table: str) -> list[Row]:
    rows = []
    for number, record in enumerate(frame.to_dict("records"), 1):
        cells = {str(name): cell for name, cell in record.items() if not _is_blank(cell)}
        if cells:
            rows.append(_row(cells, table, number))
    return rows


def _row(cells: dict[str, Any], table: str, number: int) -> Row:
    return Row(cells, lambda column: f"{table} row {number}, {column}")


def _is_blank(cell: object) -> bool:
    """Whether a cell is empty: blank text, or one of pandas' ways to say that nothing is there."""
    import pandas as pd  # noqa: PLC0415 - heavy, and costing alone does not need it

    if isinstance(cell, str):
        return not cell.strip()
    return cell is None or cell is pd.NA or cell is pd.NaT or cell != cell  # noqa: PLR0124 - NaN


@dataclass(frozen=True, slots=True)
class BookHistory:
    """Versions of a book while it is edited.

    Parameters
    ----------
    versions
        Each version, the saved one first.
    at
        Index of the version in force.

    Examples
    --------
    >>> from datetime import date
    >>> old = PriceBook(name="b", currency="EUR", date=date(2026, 10, 1), note="", rates=())
    >>> history = BookHistory((old,)).edited(dataclasses.replace(old, currency="USD"))
    >>> history.book.currency, history.undone().book.currency, history.undone().redone() == history
    ('USD', 'EUR', True)
    """

    versions: tuple[PriceBook, ...]
    at: int = 0

    @property
    def book(self) -> PriceBook:
        """The version in force."""
        return self.versions[self.at]

    @property
    def saved(self) -> PriceBook:
        """The version that editing began from."""
        return self.versions[0]

    def edited(self, book: PriceBook) -> BookHistory:
        """Put a new version in force; what was undone before is forgotten."""
        if book == self.book:
            return self
        kept = self.versions[: self.at + 1]
        return BookHistory((*kept, book), len(kept))

    def undone(self) -> BookHistory:
        """Go back one version; at the first, stay."""
        return dataclasses.replace(self, at=max(self.at - 1, 0))

    def redone(self) -> BookHistory:
        """Go forward one version; at the last, stay."""
        return dataclasses.replace(self, at=min(self.at + 1, len(self.versions) - 1))
