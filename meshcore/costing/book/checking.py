"""Cells of a price book to a price book, with everything that is wrong said at once."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, cast

from meshcore.costing.book.limits import MOST_AMOUNT, amount_astray, base_astray
from meshcore.costing.book.price_book import (
    Exchange,
    PriceBook,
    PriceBookError,
    Rate,
    Rounding,
    conversion,
)
from meshcore.costing.book.units import read_unit
from meshcore.costing.money import CURRENCIES
from meshcore.costing.stages import STAGES
from meshcore.enquiry import FORMS, WEAVES
from meshcore.messages import Message

SETTING_NAMES: tuple[str, ...] = (
    "name",
    "currency",
    "date",
    "note",
    "stale_after_days",
    "rounding",
    "rules_disabled",
)
RATE_COLUMNS: tuple[str, ...] = (
    "key",
    "alloy",
    "family",
    "weave",
    "form",
    "base",
    "at",
    "amount",
    "currency",
    "unit",
    "date",
    "note",
)
EXCHANGE_COLUMNS: tuple[str, ...] = ("currency", "to", "amount", "date", "note")
#: Bases besides the stages: all that came before; what a margin is reckoned on.
BASE_WORDS: tuple[str, ...] = ("subtotal", "cost", "price")

_KEY = re.compile(r"^[a-z][a-z0-9_]*(\.[a-z0-9_][a-z0-9_ ]*)*$")


@dataclass(frozen=True, slots=True)
class Row:
    """Cells of one row, and how to name the place of each in its file."""

    cells: Mapping[str, Any]
    place: Callable[[str], str]


@dataclass(slots=True)
class _Checker:
    """Reads cells of rows and gathers what is wrong with them."""

    messages: list[Message] = field(default_factory=list)

    def wrong(self, row: Row, column: str, text: str) -> None:
        self.messages.append(Message(row.place(column), _shown(row.cells.get(column)), text))

    def text(self, row: Row, column: str, *, needed: bool = False) -> str:
        cell = row.cells.get(column)
        text = "" if cell is None else str(cell).strip()
        if isinstance(cell, float) and cell.is_integer():
            text = str(int(cell))
        if needed and not text:
            self.wrong(row, column, f"a {column} is needed.")
        return text

    def number(self, row: Row, column: str) -> float:
        cell = row.cells.get(column)
        if isinstance(cell, int | float) and not isinstance(cell, bool) and math.isfinite(cell):
            if 0 <= cell <= MOST_AMOUNT:
                return float(cell)
            if cell > 0:
                self.wrong(row, column, f"nothing here is above {MOST_AMOUNT:,.0f}.")
                return math.nan
            self.wrong(row, column, "no rate is negative; a discount is written as a plain share.")
        else:
            self.wrong(row, column, "a plain number is needed here, as 3.85.")
        return math.nan

    def date(self, row: Row, column: str = "date") -> date:
        cell = row.cells.get(column)
        if isinstance(cell, datetime):
            return cell.date()
        if isinstance(cell, date):
            return cell
        try:
            return date.fromisoformat(str(cell).strip())
        except ValueError:
            self.wrong(row, column, "a date is needed, as 2026-10-01.")
            return date.min

    def currency(self, row: Row, column: str = "currency", *, needed: bool = True) -> str:
        code = self.text(row, column)
        if (code and code not in CURRENCIES) or (needed and not code):
            self.wrong(row, column, 'a currency of ISO 4217 is needed, as "EUR" or "USD".')
        return code

    def choice(self, row: Row, column: str, choices: Sequence[str]) -> str:
        text = self.text(row, column).casefold()
        if text and text not in choices:
            self.wrong(row, column, f"only {', '.join(choices)} are known here.")
        return text


def build_book(
    source: str, settings: Row, exchange: Sequence[Row], rates: Sequence[Row]
) -> PriceBook:
    """Make a price book from cells.

    Parameters
    ----------
    source
        Named in errors.
    settings, exchange, rates
        Cells by ``SETTING_NAMES``, ``EXCHANGE_COLUMNS`` and ``RATE_COLUMNS``.

    Raises
    ------
    PriceBookError
        Carrying a message for every cell that cannot stand.
    """
    check = _Checker()
    for row, known in (
        (settings, SETTING_NAMES),
        *((row, EXCHANGE_COLUMNS) for row in exchange),
        *((row, RATE_COLUMNS) for row in rates),
    ):
        for column in row.cells.keys() - set(known):
            check.wrong(row, column, f"nothing of that name is known. Known: {', '.join(known)}.")
    entries = tuple(_exchange(check, row) for row in exchange)
    made = tuple(_rate(check, row) for row in rates)
    book = _settings(check, settings, entries, made)
    if not check.messages:
        _check_currencies(check, book, rates)
        _check_rows_agree(check, made, rates)
    if check.messages:
        raise PriceBookError(source, check.messages)
    return book


def _settings(
    check: _Checker, row: Row, exchange: tuple[Exchange, ...], rates: tuple[Rate, ...]
) -> PriceBook:
    days = row.cells.get("stale_after_days", 90)
    if not isinstance(days, int | float) or isinstance(days, bool) or not 0 < days <= MOST_AMOUNT:
        check.wrong(row, "stale_after_days", "a number of days above 0 is needed.")
        days = 0
    disabled = row.cells.get("rules_disabled") or ()
    if isinstance(disabled, str):
        disabled = [name.strip() for name in disabled.split(",") if name.strip()]
    if not isinstance(disabled, Sequence) or not all(isinstance(n, str) for n in disabled):
        check.wrong(row, "rules_disabled", "a list of rule names is needed.")
        disabled = ()
    rounding = check.choice(row, "rounding", ("up", "nearest")) or "up"
    return PriceBook(
        name=check.text(row, "name", needed=True),
        currency=check.currency(row),
        date=check.date(row),
        note=check.text(row, "note"),
        rates=rates,
        exchange=exchange,
        stale_after_days=int(days),
        rounding=cast(Rounding, rounding),
        rules_disabled=tuple(disabled),
    )


def _exchange(check: _Checker, row: Row) -> Exchange:
    amount = check.number(row, "amount")
    if amount < 1.0 / MOST_AMOUNT:
        check.wrong(row, "amount", "a rate of exchange is well above 0; it is divided by.")
    return Exchange(
        currency=check.currency(row),
        to=check.currency(row, "to"),
        amount=amount or math.nan,
        date=check.date(row),
        note=check.text(row, "note", needed=True),
        where=row.place("amount"),
    )


def _rate(check: _Checker, row: Row) -> Rate:
    key = check.text(row, "key", needed=True)
    if key and not _KEY.match(key):
        check.wrong(row, "key", 'a key is small letters with points, as "wire.metal".')
    unit, at = check.text(row, "unit"), check.text(row, "at")
    per = read_unit(unit)
    if per is None:
        check.wrong(row, "unit", 'not a unit of a price book. Write "kg", "m", "m2", "h", "%" …')
    if at and ((size := read_unit(at)) is None or not size.name):
        check.wrong(row, "at", 'a size with its unit is needed, as "0.10 mm" or "50 kg".')
    rate = Rate(
        key=key,
        amount=check.number(row, "amount"),
        unit=unit,
        currency=check.currency(row, needed=False),
        date=check.date(row),
        note=check.text(row, "note", needed=True),
        alloy=check.text(row, "alloy"),
        family=check.text(row, "family"),
        weave=check.choice(row, "weave", WEAVES),
        form=check.choice(row, "form", FORMS),
        base=_base(check, row),
        at=at,
        where=row.place("amount"),
    )
    if per and not math.isnan(rate.amount) and (text := amount_astray(rate)):
        check.wrong(row, "amount", text)
    if text := base_astray(rate):
        check.wrong(row, "base", text)
    return rate


def _base(check: _Checker, row: Row) -> str:
    names = [name.strip().casefold() for name in check.text(row, "base").split(",")]
    known = (*STAGES, *BASE_WORDS)
    if names != [""] and any(name not in known for name in names):
        check.wrong(row, "base", f"a share is of stages ({', '.join(STAGES)}), or of "
                    f"{', '.join(BASE_WORDS)}.")  # fmt: skip
        return ""
    return ", ".join(names)


def _check_currencies(check: _Checker, book: PriceBook, rows: Sequence[Row]) -> None:
    for rate, row in zip(book.rates, rows, strict=True):
        if rate.currency and conversion(book, rate.currency) is None:
            check.wrong(
                row,
                "currency",
                f"no rate of exchange from {rate.currency} to {book.currency} is entered. "
                "Add it to the exchange table, with its date.",
            )


def _check_rows_agree(check: _Checker, rates: Sequence[Rate], rows: Sequence[Row]) -> None:
    first: dict[str, Rate] = {}
    seen: dict[tuple[str, tuple[str, ...]], str] = {}
    for rate, row in zip(rates, rows, strict=True):
        model = first.setdefault(rate.key, rate)
        if rate.per.name != model.per.name or bool(rate.currency) != bool(model.currency):
            check.wrong(row, "unit", f"other rows of {rate.key} are {_priced_in(model)}; all rows "
                        "of a key are of one kind.")  # fmt: skip
        size, model_size = rate.size, model.size
        if (size and size.name) != (model_size and model_size.name):
            check.wrong(row, "at", f"{model.where} has {model.at or 'no size'}; either every row "
                        "of a key has a size, all of one kind, or none has.")  # fmt: skip
        earlier = seen.setdefault((rate.key, rate.selectors), rate.where)
        if earlier != rate.where:
            check.wrong(row, "key", f"{rate.name} is already given at {earlier}. Keep one.")


def _priced_in(rate: Rate) -> str:
    return f"{rate.currency} per {rate.unit}" if rate.currency else f'in "{rate.unit}"'


def _shown(cell: object) -> str:
    return "" if cell is None else str(cell)
