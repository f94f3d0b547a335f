"""Rates to come, from a list of them: next month's metal prices and surcharges."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from meshcore.alloys.records.registry import designation, installed_registry
from meshcore.costing.book.cells import CellReader, Row
from meshcore.costing.book.checking import RATE_COLUMNS, check_rates, read_rate
from meshcore.costing.book.price_book import BookRemark, PriceBook, PriceBookError, Rate
from meshcore.costing.book.remarks import remark_in, take_remarks
from meshcore.costing.book.workbooks import read_rate_rows, unreadable

#: Separators of a list in csv that are told apart.
_SEPARATORS = ",;\t"


@dataclass(frozen=True, slots=True)
class RateChanges:
    """Rates to come, as a list of them was read.

    Parameters
    ----------
    rates
        One a row.
    remarks
        What stands in the list besides.
    """

    rates: tuple[Rate, ...]
    remarks: tuple[BookRemark, ...] = ()


def read_rate_changes(path: str | Path, start: date | None = None) -> RateChanges:
    """Read rates to come from ``.csv`` or ``.xlsx``, one a row, headed as the rates of a book.

    Parameters
    ----------
    path
        The file.
    start
        Day from which rows hold that do not say it in ``valid_from``.

    Raises
    ------
    PriceBookError
        If the file cannot be read, or any cell cannot stand; carries a message for each.
    """
    file = Path(path)
    if not file.is_file():
        raise unreadable(file, "there is no such file. Check the path.")
    match file.suffix.casefold():
        case ".csv":
            rows = _csv_rows(file)
        case ".xlsx":
            rows = read_rate_rows(file)
        case _:
            raise unreadable(file, "rates to come are .csv or .xlsx. Save them as one of these.")
    check = CellReader()
    rates: list[Rate] = []
    held, remarks = take_remarks(check, rows)
    for row in held:
        for column in row.cells.keys() - {*RATE_COLUMNS}:
            text = f"nothing of that name is known. Known: {', '.join(RATE_COLUMNS)}."
            check.wrong(row, column, text, code="book.column_unknown")
        rate = read_rate(check, row)
        begins = rate.valid_from or start
        if begins is None:
            text = "a rate to come needs the day from which it holds, as 2026-12-01."
            check.wrong(row, "valid_from", text, code="book.start_missing")
        rates.append(replace(rate, valid_from=begins))
    if not rates:
        raise unreadable(file, "there is no rate in it. Write one a row, with its key.")
    if check.messages:
        raise PriceBookError(file.name, check.messages)
    return RateChanges(tuple(rates), remarks)


def _csv_rows(file: Path) -> list[Row]:
    try:
        text = file.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise unreadable(file, f"not text in UTF-8: {error}.") from error
    except OSError as error:
        raise unreadable(file, f"cannot be opened: {error.strerror}.") from error
    first = text.partition("\n")[0]
    separator = max(_SEPARATORS, key=first.count)
    reader = csv.reader(io.StringIO(text), delimiter=separator)
    headings = [heading.strip() for heading in next(reader, ())]
    rows, end, apart = [], reader.line_num, False
    for cells in reader:
        number, end = end + 1, reader.line_num
        held = zip(headings, map(str.strip, cells), strict=False)
        filled = {name: cell for name, cell in held if name and cell}
        remark = remark_in(filled, apart=apart)
        apart = bool(remark) or not filled
        if filled:
            rows.append(Row(filled, _namer(file.name, number), remark=remark))
    return rows


def _namer(name: str, number: int) -> Callable[[str], str]:
    return lambda column: f"{name}, line {number}, {column}"


def _named_alike(book: PriceBook, rates: Sequence[Rate]) -> tuple[Rate, ...]:
    """Return rates with each alloy under the name that the book has for it, 316L for 1.4404."""
    registry = installed_registry()
    own = {designation(registry, r.alloy): r.alloy for r in book.rates if r.alloy}
    return tuple(
        replace(r, alloy=own.get(designation(registry, r.alloy) or r.alloy, r.alloy)) for r in rates
    )


def with_changes(book: PriceBook, changes: RateChanges) -> PriceBook:
    """Return a book with rates to come in it, beside those that hold until then.

    An alloy may go by another of its names than in the book. A rate that says nothing of its
    uncertainty keeps that of the row that it follows.

    Raises
    ------
    PriceBookError
        If a rate is of a currency that the book does not exchange, or of another kind than the
        book's rows of its key.
    """
    rates = _named_alike(book, changes.rates)
    held = {(r.key, r.selectors, r.valid_from) for r in rates}
    kept = tuple(r for r in book.rates if (r.key, r.selectors, r.valid_from) not in held)
    off = {(r.key, r.selectors): r.uncertainty_pct for r in book.rates}
    coming = (
        replace(r, uncertainty_pct=off.get((r.key, r.selectors)))
        if r.uncertainty_pct is None
        else r
        for r in rates
    )
    changed = replace(book, rates=(*kept, *coming), remarks=(*book.remarks, *changes.remarks))
    if messages := check_rates(changed):
        raise PriceBookError(book.name, messages)
    return changed
