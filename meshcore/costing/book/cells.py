"""Cells of a price book read one by one, and what is wrong with each gathered."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Literal, TypeAlias

from meshcore.costing.book.limits import MOST_AMOUNT
from meshcore.costing.money import CURRENCIES
from meshcore.messages import Message
from meshcore.reading import refusals
from meshcore.reading.numbers import numerals
from meshcore.reading.texts import FORMULA, tidy

#: A date, where a method or a field of that name stands in the way.
Day: TypeAlias = date


#: How a row looks as if it did not count.
Away: TypeAlias = Literal["", "hidden", "struck through"]


@dataclass(frozen=True, slots=True)
class Row:
    """Cells of one row, the name of each one's place in its file, and how it looks away there.

    A row that is none of the table, but a remark beside it, has its text in `remark`.
    """

    cells: Mapping[str, Any]
    place: Callable[[str], str]
    away: Away = ""
    remark: str = ""


@dataclass(slots=True)
class CellReader:
    """Reads cells of rows and gathers what is wrong with them."""

    messages: list[Message] = field(default_factory=list)

    def wrong(self, row: Row, column: str, text: str, *, code: str) -> None:
        """Note what is wrong with a cell; of a formula without its value, that alone."""
        shown = _shown(row.cells.get(column))
        if shown.startswith(FORMULA):
            self._formula(row, column, shown)
            return
        self.messages.append(Message(row.place(column), shown, text, code=code))

    def _formula(self, row: Row, column: str, shown: str) -> None:
        read = shown.removeprefix(FORMULA).strip()
        told = refusals.about(refusals.formula(), row.place(column), read)
        self.messages += [told] if told not in self.messages else []

    def unknown(self, row: Row, column: str, known: Sequence[str]) -> None:
        """Note a column that nothing reads, by its heading, once for all rows that share it."""
        text = f"nothing of that name is known. Known: {', '.join(known)}."
        message = Message(row.place(column), column, text, code="book.column_unknown")
        if message not in self.messages:
            self.messages.append(message)

    def text(self, row: Row, column: str, *, needed: bool = False) -> str:
        """Read a text; blank unless it is needed."""
        cell = row.cells.get(column)
        text = "" if cell is None else str(cell).strip()
        if text.startswith(FORMULA):
            self._formula(row, column, text)
        if isinstance(cell, float) and cell.is_integer():
            text = str(int(cell))
        if needed and not text:
            self.wrong(row, column, f"a {column} is needed.", code="book.cell_missing")
        return text

    def number(self, row: Row, column: str) -> float:
        """Read a number that is not negative; NaN where there is none."""
        cell = row.cells.get(column)
        if isinstance(cell, str):
            cell = _without_currency(cell, str(row.cells.get("currency") or ""))
            values, rest = numerals.leading(tidy(cell))
            if len(values) > 1 and not rest:
                either = " or ".join(map(numerals.shown, values))
                text = f"could be {either}. Write it as a number, with a point for the decimal."
                self.wrong(row, column, text, code="book.number_ambiguous")
                return math.nan
            cell = values[0] if values and not rest else cell
        if isinstance(cell, int | float) and not isinstance(cell, bool) and math.isfinite(cell):
            if 0 <= cell <= MOST_AMOUNT:
                return float(cell)
            if cell > 0:
                self.wrong(
                    row,
                    column,
                    f"nothing here is above {MOST_AMOUNT:,.0f}.",
                    code="book.amount_too_large",
                )
                return math.nan
            self.wrong(
                row,
                column,
                "no rate is negative; a discount is written as a plain share.",
                code="book.amount_negative",
            )
        else:
            self.wrong(
                row,
                column,
                "a plain number is needed here, as 3.85.",
                code="book.amount_not_a_number",
            )
        return math.nan

    def date(self, row: Row, column: str = "date") -> date:
        """Read a date."""
        cell = row.cells.get(column)
        if isinstance(cell, datetime):
            return cell.date()
        if isinstance(cell, date):
            return cell
        try:
            return date.fromisoformat(str(cell).strip())
        except ValueError:
            self.wrong(row, column, "a date is needed, as 2026-10-01.", code="book.date_unreadable")
            return date.min

    def day_or_none(self, row: Row, column: str) -> Day | None:
        """Read a date that may be left blank."""
        return None if row.cells.get(column) in (None, "") else self.date(row, column)

    def currency(self, row: Row, column: str = "currency", *, needed: bool = True) -> str:
        """Read a code of ISO 4217."""
        code = self.text(row, column).upper()
        if (code and code not in CURRENCIES) or (needed and not code):
            self.wrong(
                row,
                column,
                'a currency of ISO 4217 is needed, as "EUR" or "USD".',
                code="book.currency_unknown",
            )
        return code

    def choice(self, row: Row, column: str, choices: Sequence[str]) -> str:
        """Read a word that must be one of some, if there is any."""
        text = self.text(row, column).casefold()
        if text and text not in choices:
            self.wrong(
                row,
                column,
                f"only {', '.join(choices)} are known here.",
                code="book.choice_unknown",
            )
        return text


#: Signs before or after an amount, and the currency that each is of (Unicode, currency symbols).
_SIGNS = {"€": "EUR", "£": "GBP", "$": "USD", "¥": "JPY"}


def _without_currency(text: str, currency: str) -> str:
    """Return an amount without the sign or code of its row's currency; of another it keeps it."""
    own = currency.strip().upper()
    plain = text.strip()
    for word in (own, *(sign for sign, code in _SIGNS.items() if code == own)):
        for bare in (plain.removeprefix(word), plain.removesuffix(word)):
            if word and bare != plain:
                return bare.strip()
    return text


def _shown(cell: object) -> str:
    return "" if cell is None else str(cell)
