"""The sheet of rates: every rate of the book in a named cell, from which all prices follow."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from openpyxl import Workbook
from openpyxl.styles import Alignment, PatternFill, Protection
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.worksheet import Worksheet

from meshcore.costing.book.groups import Group
from meshcore.costing.book.price_book import Exchange, PriceBook, Rate, conversion
from meshcore.costing.net_prices import NET, NET_FACTS
from meshcore.lists.sheets import (
    LINE_POINTS,
    TOP,
    LiveCells,
    lines_of,
    put,
    put_headings,
    set_print,
)

SHEET = "Rates"
_HEADINGS = (
    "key", "holds for", "at", "amount", "currency", "unit", "as reckoned with", "date", "note",
)  # fmt: skip
_AMOUNT, _RECKONED = 4, 7
#: A cell that may be changed.
INPUT_FILL = PatternFill("solid", start_color="FFF6E5")
OPEN = Protection(locked=False)
#: Together no more than a page is wide.
_WIDTHS = (30, 30, 10, 10, 9, 14, 14, 12, 56)
_TEXT = Alignment(indent=1, wrap_text=True, vertical="top")


@dataclass(frozen=True, slots=True)
class RateNames:
    """Names of the cells that hold what each rate is reckoned with.

    Parameters
    ----------
    rates
        Rate → name of its cell: book currency per canonical unit, or the figure itself.
    """

    rates: Mapping[Rate, str]

    def formula(self, group: Group, at: float | None, how: str, size: str) -> str:
        """Write a rate of a group as a formula.

        Parameters
        ----------
        group
            Rows of the book.
        at
            Size at which a table is read; None where it is none.
        how
            Whether it is read on the line between two sizes, or as the step that is reached.
        size
            The size as a formula, where it may change; empty where it is `at`.
        """
        names = [self.rates[rate] for rate in group.rates]
        if not group.sizes.size or at is None:
            return names[0]
        sizes = group.sizes.tolist()
        if how == "step":
            if not size:
                reached = sum(one <= at for one in sizes)
                return names[reached - 1] if reached else "0"
            steps = "0"
            for one, name in zip(sizes, names, strict=True):
                steps = f"IF({size}>={one!r},{name},{steps})"
            return steps
        place = max(n for n, one in enumerate(sizes) if one <= at)
        if place == len(sizes) - 1 or sizes[place] == at:
            return names[place]
        low, high = names[place], names[place + 1]
        part = (at - sizes[place]) / (sizes[place + 1] - sizes[place])
        return f"({low}+({high}-{low})*{part!r})"


def fill_rates(
    workbook: Workbook, sheet: Worksheet, live: LiveCells, book: PriceBook, *, is_open: bool
) -> RateNames:
    """Write the rates of exchange and the rates, each amount in a named cell.

    Parameters
    ----------
    workbook, sheet, live, book
        Where to, and what.
    is_open
        Whether the amounts may be changed: not where a rule that made the prices has gone.
    """
    put_headings(sheet, 1, _HEADINGS)
    names: dict[Rate, str] = {}
    taken: set[str] = set()
    row = 2
    exchange: dict[Exchange, str] = {}
    for entry in book.exchange:
        exchange[entry] = _named(workbook, row, f"exchange {entry.currency} {entry.to}", taken,
                                 _AMOUNT)  # fmt: skip
        texts = ("exchange", f"1 {entry.currency} in {entry.to}", "", entry.amount, entry.to, "")
        _put(sheet, row, (*texts, "", entry.date, entry.note), is_open)
        row += 1
    for rate in book.rates:
        selectors = [s for s in (rate.alloy, rate.family, rate.weave, rate.form) if s]
        base = f"share of {rate.base}" if rate.base else ""
        held = ", ".join(filter(None, (*selectors, base)))
        what = (rate.key, held, rate.at)
        figures = (rate.amount, rate.currency, rate.unit, "", rate.date, rate.note)
        _put(sheet, row, (*what, *figures), is_open and not _is_of_the_cloth(rate))
        formula, value = _reckoned(book, rate, row, exchange)
        live.put(sheet, row, _RECKONED, formula, value, "0.00######")
        names[rate] = _named(workbook, row, f"rate {rate.name}", taken, _RECKONED)
        row += 1
    for letter, width in zip("ABCDEFGHI", _WIDTHS, strict=True):
        sheet.column_dimensions[letter].width = width
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = f"A1:I{row - 1}"
    set_print(sheet)
    return RateNames(names)


def _is_of_the_cloth(rate: Rate) -> bool:
    """Whether a row says for which cloth a net price is, which the library alone can tell."""
    return rate.key.startswith(NET) and rate.key.endswith(NET_FACTS)


def _put(sheet: Worksheet, row: int, values: tuple[object, ...], is_open: bool) -> None:
    texts = [(v, w) for v, w in zip(values, _WIDTHS, strict=True) if isinstance(v, str)]
    lines = max(lines_of(text, width) for text, width in texts)
    sheet.row_dimensions[row].height = lines * LINE_POINTS
    for column, value in enumerate(values, start=1):
        cell = put(sheet, row, column, value)
        cell.alignment = _TEXT if isinstance(value, str) and value else TOP
        if column == _AMOUNT and is_open:
            cell.protection, cell.fill = OPEN, INPUT_FILL


def _named(workbook: Workbook, row: int, text: str, taken: set[str], column: int) -> str:
    """Name a cell of this sheet after what it holds, apart from all others."""
    plain = re.sub(r"\W+", "_", text, flags=re.ASCII).strip("_")
    tries = (plain, *(f"{plain}_{n}" for n in range(2, row + 2)))
    name = next(t for t in tries if t.casefold() not in taken)
    taken.add(name.casefold())
    letter = "ABCDEFGHI"[column - 1]
    reference = f"'{SHEET}'!${letter}${row}"
    workbook.defined_names[name] = DefinedName(name, attr_text=reference)
    return name


def _reckoned(
    book: PriceBook, rate: Rate, row: int, exchange: Mapping[Exchange, str]
) -> tuple[str, float]:
    """Write the amount in the book's currency per canonical unit, and its value now."""
    amount = f"D{row}"
    if not rate.currency:
        return f"={amount}*{rate.per.factor!r}", rate.amount * rate.per.factor
    found = conversion(book, rate.currency)
    assert found is not None, "a book that was read converts all its currencies"
    factors, at = "", rate.currency
    for entry in found.by:
        forward = entry.currency == at
        factors += f"*{exchange[entry]}" if forward else f"/{exchange[entry]}"
        at = entry.to if forward else entry.currency
    value = rate.amount / rate.per.factor * found.factor
    return f"={amount}/{rate.per.factor!r}{factors}", value
