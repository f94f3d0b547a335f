"""Cells of a price book to a price book, with everything that is wrong said at once."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import cast

from meshcore.costing.book.cells import CellReader, Row
from meshcore.costing.book.limits import MOST_AMOUNT, amount_astray, base_astray
from meshcore.costing.book.price_book import (
    Exchange,
    PriceBook,
    PriceBookError,
    Rate,
    Rounding,
    conversion,
)
from meshcore.costing.book.remarks import take_remarks
from meshcore.costing.book.units import RateUnit, either_count, read_unit
from meshcore.costing.stages import STAGES
from meshcore.enquiry import FORMS, WEAVES
from meshcore.messages import Message
from meshcore.reading.numbers import numerals

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
    "valid_from",
    "valid_to",
    "uncertainty_pct",
)
EXCHANGE_COLUMNS: tuple[str, ...] = ("currency", "to", "amount", "date", "note")
#: Bases besides the stages: all that came before; what a margin is reckoned on.
BASE_WORDS: tuple[str, ...] = ("subtotal", "cost", "price")

_WHOLE_PCT = 100.0
_KEY = re.compile(r"^[a-z][a-z0-9_]*(\.[a-z0-9_][a-z0-9_ ]*)*$")


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
    check = CellReader()
    exchange, exchange_remarks = take_remarks(check, exchange)
    rates, rate_remarks = take_remarks(check, rates)
    for row, known in (
        (settings, SETTING_NAMES),
        *((row, EXCHANGE_COLUMNS) for row in exchange),
        *((row, RATE_COLUMNS) for row in rates),
    ):
        for column in row.cells.keys() - set(known):
            check.unknown(row, column, known)
    entries = tuple(_exchange(check, row) for row in exchange)
    made = tuple(read_rate(check, row) for row in rates)
    book = _settings(check, settings, entries, made)
    if not check.messages:
        _check_currencies(check, book, rates)
        _check_rows_agree(check, made, rates)
    if check.messages:
        raise PriceBookError(source, check.messages)
    return replace(book, remarks=(*exchange_remarks, *rate_remarks))


def _settings(
    check: CellReader, row: Row, exchange: tuple[Exchange, ...], rates: tuple[Rate, ...]
) -> PriceBook:
    days = row.cells.get("stale_after_days", 90)
    if not isinstance(days, int | float) or isinstance(days, bool) or not 0 < days <= MOST_AMOUNT:
        check.wrong(
            row,
            "stale_after_days",
            "a number of days above 0 is needed.",
            code="book.days_unreadable",
        )
        days = 0
    disabled = row.cells.get("rules_disabled") or ()
    if isinstance(disabled, str):
        disabled = [name.strip() for name in disabled.split(",") if name.strip()]
    if not isinstance(disabled, Sequence) or not all(isinstance(n, str) for n in disabled):
        check.wrong(
            row, "rules_disabled", "a list of rule names is needed.", code="book.rules_not_a_list"
        )
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


def _exchange(check: CellReader, row: Row) -> Exchange:
    amount = check.number(row, "amount")
    if amount < 1.0 / MOST_AMOUNT:
        check.wrong(
            row,
            "amount",
            "a rate of exchange is well above 0; it is divided by.",
            code="book.exchange_too_small",
        )
    return Exchange(
        currency=check.currency(row),
        to=check.currency(row, "to"),
        amount=amount or math.nan,
        date=check.date(row),
        note=check.text(row, "note", needed=True),
        where=row.place("amount"),
    )


def read_rate(check: CellReader, row: Row) -> Rate:
    """Read one rate; what is wrong with it is gathered by `check`."""
    key = check.text(row, "key", needed=True)
    if key and not _KEY.match(key):
        check.wrong(
            row,
            "key",
            'a key is small letters with points, as "wire.metal".',
            code="book.key_malformed",
        )
    unit, at = check.text(row, "unit"), check.text(row, "at")
    per = read_unit(unit)
    if per is not None and not per.name:
        row = _with_percent(row, per)
    either = {column: either_count(text) for column, text in (("unit", unit), ("at", at))}
    for column, numbers in either.items():
        if numbers:
            mend = f"could be {numbers}. Write it without separators, with a point for the decimal."
            check.wrong(row, column, mend, code="book.unit_ambiguous")
    if per is None and not either["unit"]:
        check.wrong(
            row,
            "unit",
            'not a unit of a price book. Write "kg", "m", "m2", "h", "%" …',
            code="book.unit_unknown",
        )
    if at and not either["at"] and ((size := read_unit(at)) is None or not size.name):
        check.wrong(
            row,
            "at",
            'a size with its unit is needed, as "0.10 mm" or "50 kg".',
            code="book.size_unreadable",
        )
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
        valid_from=check.day_or_none(row, "valid_from"),
        valid_to=check.day_or_none(row, "valid_to"),
        uncertainty_pct=_uncertainty(check, row),
        where=row.place("amount"),
        away=row.away,
    )
    if rate.valid_from and rate.valid_to and rate.valid_to < rate.valid_from:
        text = f"it ends before it begins, on {rate.valid_from}."
        check.wrong(row, "valid_to", text, code="book.validity_ends_first")
    if per and not math.isnan(rate.amount) and (text := amount_astray(rate)):
        check.wrong(row, "amount", text, code="book.amount_astray")
    if text := base_astray(rate):
        check.wrong(row, "base", text, code="book.base_astray")
    return rate


def _with_percent(row: Row, per: RateUnit) -> Row:
    """Return a row of a share whose amount is written with its sign: "18 %" is 18 of %."""
    text = str(row.cells.get("amount", "")).strip()
    number = text.removesuffix("%").rstrip()
    values, rest = numerals.leading(number)
    if number == text or len(values) != 1 or rest:
        return row
    amount = float(f"{values[0] / _WHOLE_PCT / per.factor:.12g}")
    return replace(row, cells={**row.cells, "amount": amount})


def _uncertainty(check: CellReader, row: Row) -> float | None:
    """Read how far an amount may be off [%]; None where the cell is blank."""
    column = "uncertainty_pct"
    if row.cells.get(column) in (None, ""):
        return None
    percent = check.number(row, column)
    if percent >= _WHOLE_PCT:
        text = "an uncertainty is below 100 %. Write 10 for 10 % either way."
        check.wrong(row, column, text, code="book.uncertainty_astray")
    return percent


def _base(check: CellReader, row: Row) -> str:
    names = [name.strip().casefold() for name in check.text(row, "base").split(",")]
    known = (*STAGES, *BASE_WORDS)
    if names != [""] and any(name not in known for name in names):
        check.wrong(
            row,
            "base",
            f"a share is of stages ({', '.join(STAGES)}), or of {', '.join(BASE_WORDS)}.",
            code="book.base_unknown",
        )
        return ""
    return ", ".join(names)


def check_rates(book: PriceBook) -> list[Message]:
    """Say what in the rates of a book does not go together: units, sizes, currencies."""
    check = CellReader()
    rows = [_row_of(rate) for rate in book.rates]
    _check_currencies(check, book, rows)
    _check_rows_agree(check, book.rates, rows)
    return check.messages


def _row_of(rate: Rate) -> Row:
    cells = {name: getattr(rate, name) for name in RATE_COLUMNS}
    return Row(cells, lambda column: f"{rate.where or rate.name}: {column}")


def _check_currencies(check: CellReader, book: PriceBook, rows: Sequence[Row]) -> None:
    for rate, row in zip(book.rates, rows, strict=True):
        if rate.currency and conversion(book, rate.currency) is None:
            check.wrong(
                row,
                "currency",
                f"no rate of exchange from {rate.currency} to {book.currency} is entered. "
                "Add it to the exchange table, with its date.",
                code="book.exchange_missing",
            )


def _check_rows_agree(check: CellReader, rates: Sequence[Rate], rows: Sequence[Row]) -> None:
    first: dict[str, Rate] = {}
    seen: dict[tuple[str, tuple[str, ...], date | None], str] = {}
    for rate, row in zip(rates, rows, strict=True):
        model = first.setdefault(rate.key, rate)
        if rate.per.name != model.per.name or bool(rate.currency) != bool(model.currency):
            check.wrong(
                row,
                "unit",
                f"other rows of {rate.key} are {_priced_in(model)}; all rows "
                "of a key are of one kind.",
                code="book.unit_differs",
            )
        size, model_size = rate.size, model.size
        if (size and size.name) != (model_size and model_size.name):
            check.wrong(
                row,
                "at",
                f"{model.where} has {model.at or 'no size'}; either every row "
                "of a key has a size, all of one kind, or none has.",
                code="book.size_differs",
            )
        earlier = seen.setdefault((rate.key, rate.selectors, rate.valid_from), rate.where)
        if earlier != rate.where:
            check.wrong(
                row,
                "key",
                f"{rate.name} is already given at {earlier}. Keep one.",
                code="book.rate_twice",
            )


def _priced_in(rate: Rate) -> str:
    return f"{rate.currency} per {rate.unit}" if rate.currency else f'in "{rate.unit}"'
