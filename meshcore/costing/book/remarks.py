"""What stands in a price book's sheet beside its table: remarks, told from rows and from rates."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from meshcore.costing.book.cells import CellReader, Row
from meshcore.costing.book.price_book import BookRemark
from meshcore.costing.book.units import read_unit
from meshcore.costing.money import CURRENCIES
from meshcore.reading.amounts_in_prose import is_day, says_amount
from meshcore.reading.numbers import numerals
from meshcore.reading.texts import FORMULA

#: Words in a row that make it prose; one alone may be a key that is misspelt.
_SENTENCE = 2


def remark_in(cells: Mapping[str, object], *, apart: bool) -> str:
    """Return what a row says that is a remark and no row of the table; empty for any other.

    Parameters
    ----------
    cells
        Its filled cells.
    apart
        Whether a blank row, or another remark, stands above it; then it may fill several cells.

    Examples
    --------
    >>> remark_in({"key": "Prices hold until the end of the year."}, apart=True)
    'Prices hold until the end of the year.'
    >>> remark_in({"key": "wire.metal"}, apart=True)
    ''
    >>> remark_in({"key": "wire metal", "unit": "kg"}, apart=True)
    ''
    """
    texts = [cell.strip() for cell in cells.values() if isinstance(cell, str)]
    if len(texts) < len(cells) or (len(texts) > 1 and not apart) or any(map(_fills, texts)):
        return ""
    text = " ".join(texts)
    return text if len(text.split()) >= _SENTENCE else ""


def _fills(text: str) -> bool:
    """Whether a text is what a cell of a rate holds: an amount, a unit, a currency or a day."""
    if text.startswith(FORMULA):
        return True
    values, rest = numerals.leading(text)
    if values and not rest:
        return True
    is_unit = len(text.split()) == 1 and read_unit(text) is not None
    return is_unit or text.upper() in CURRENCIES or is_day(text)


def take_remarks(
    check: CellReader, rows: Iterable[Row]
) -> tuple[Sequence[Row], tuple[BookRemark, ...]]:
    """Part the rows of a sheet into rows of its table and remarks.

    Parameters
    ----------
    check
        Receives a message for each remark that looks like a rate.
    rows
        As they were read; a remark has its text in ``remark``.
    """
    kept, remarks = [], []
    for row in rows:
        if not row.remark:
            kept.append(row)
            continue
        column = next(iter(row.cells))
        if says_amount(row.remark, CURRENCIES):
            text = (
                "stands beside the table, and reads like a rate, which nothing there is. Enter it "
                "in a row with its key, amount, unit, date and note, or take it out."
            )
            check.wrong(row, column, text, code="book.remark_or_rate")
        remarks.append(BookRemark(row.place(column), row.remark))
    return kept, tuple(remarks)
