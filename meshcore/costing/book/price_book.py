"""The price book: a mill's rates as data, each with unit, currency, date and note of origin."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType
from typing import Any, Literal, TypeAlias

from meshcore.costing.book.units import RateUnit, read_unit
from meshcore.costing.money import minor_digits
from meshcore.messages import Message

#: How a line's price is brought to the rounding step, where the book has one.
Rounding = Literal["up", "nearest"]


#: Key of the step that prices are rounded to, and the steps of a power of ten that are customary
#: (coins and notes; common practice, no source).
ROUNDING = "rounding.step"
_STEPS = (1.0, 2.0, 5.0, 10.0)
#: A date, where a field of that name stands in the way.
Day: TypeAlias = date


class PriceBookError(ValueError):
    """A price book that cannot be used.

    Parameters
    ----------
    source
        The file, or whatever else the book came from.
    messages
        All that is wrong; each names the cell or key, what was read, and what would mend it.
    """

    def __init__(self, source: str, messages: Iterable[Message]) -> None:
        self.source = source
        self.messages = tuple(messages)
        more = f" (and {len(self.messages) - 1} more)" if len(self.messages) > 1 else ""
        super().__init__(f"price book {source}: {self.messages[0]}{more}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """One rate or working figure of the book.

    Parameters
    ----------
    key
        What it is for, such as ``"wire.metal"``; rules look rates up by it.
    amount
        In `currency` per `unit`; a figure without currency is in `unit` itself.
    unit
        As written: ``"kg"``, ``"m of cut"``, ``"100 pieces"``, ``"%"``, ``"picks/min"``.
    currency
        ISO 4217 code; empty for a share or a working figure.
    date
        When the rate was set.
    note
        Where it comes from.
    alloy, family, weave, form
        What it holds for; empty is any. The most particular row wins: alloy before family before
        weave before form.
    base
        For a share: the stages that it is a share of, with commas, or ``subtotal``; for a margin
        ``cost`` or ``price``.
    at
        For a table: the size at which the rate stands, such as ``"0.10 mm"`` or ``"50 kg"``.
    valid_from, valid_to
        First and last day on which the row holds; None is without limit. Of rows for the same, the
        one that began last holds.
    uncertainty_pct
        Furthest share, either way, by which the amount may turn out otherwise [%]; None where the
        row says nothing of it.
    where
        Its place in the file, for messages.
    away
        How it looks as if it did not count where it was read: hidden, or struck through.
    agreed
        Whether it is of a customer's terms: while it holds, it stands in for the mill's own.
    """

    key: str
    amount: float
    unit: str
    date: date
    note: str
    currency: str = ""
    alloy: str = ""
    family: str = ""
    weave: str = ""
    form: str = ""
    base: str = ""
    at: str = ""
    valid_from: Day | None = None
    valid_to: Day | None = None
    uncertainty_pct: float | None = None
    where: str = field(default="", compare=False)
    away: str = field(default="", compare=False)
    agreed: bool = field(default=False, compare=False)

    @property
    def size(self) -> RateUnit | None:
        """Size `at` which the rate stands: its canonical unit and value; None if it has none."""
        return read_unit(self.at) if self.at else None

    @property
    def per(self) -> RateUnit:
        """The unit in canonical form.

        Raises
        ------
        ValueError
            If the unit is none; a book that was read has none such.
        """
        unit = read_unit(self.unit)
        if unit is None:
            raise ValueError(f'{self.key}: "{self.unit}" is no unit of a price book')
        return unit

    @property
    def selectors(self) -> tuple[str, ...]:
        """What tells this row from the others of its key."""
        return tuple(
            text.casefold()
            for text in (self.alloy, self.family, self.weave, self.form, self.base, self.at)
        )

    @property
    def name(self) -> str:
        """Key and selectors as a person would say them.

        Examples
        --------
        >>> Rate(key="wire.metal", amount=3.8, unit="kg", currency="EUR", alloy="304",
        ...      date=date(2026, 10, 1), note="invented").name
        'wire.metal for 304'
        """
        held = [s for s in (self.alloy, self.family, self.weave, self.form) if s]
        share = f" of {self.base}" if self.base else ""
        size = f" at {self.at}" if self.at else ""
        return self.key + share + (f" for {', '.join(held)}" if held else "") + size


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """A dated rate of exchange: one unit of `currency` is `amount` of `to`.

    Parameters
    ----------
    currency
        ISO 4217 code of what is changed.
    to
        ISO 4217 code of what it is changed into.
    amount
        How much of `to` one unit of `currency` is.
    date
        When the rate was taken.
    note
        Where it comes from.
    where
        Its place in the file, for messages.
    """

    currency: str
    to: str
    amount: float
    date: date
    note: str
    where: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class BookRemark:
    """A text in a sheet of a price book that is no row of its table.

    Parameters
    ----------
    where
        Its cell.
    text
        What it says.
    """

    where: str
    text: str


@dataclass(frozen=True, slots=True)
class Terms:
    """Terms of a customer that a book has in it, the days on which they hold, and what else does.

    Parameters
    ----------
    customer
        Whose they are.
    valid_from, valid_to
        First and last day on which the book with them holds; None is without limit.
    otherwise
        The mill's own book, which holds on any other day.
    """

    customer: str
    valid_from: Day | None
    valid_to: Day | None
    otherwise: PriceBook


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBook:
    """A mill's price book.

    Parameters
    ----------
    name
        Of the mill or the book.
    currency
        ISO 4217 code in which prices are made.
    date
        When the book was issued.
    note
        What should be said of it.
    rates, exchange
        Rates and rates of exchange.
    stale_after_days
        Age beyond which a rate is warned about [d].
    rounding
        Whether a line's price goes up to the rounding step, or to the nearest.
    rules_disabled
        Names of pricing rules that this mill does not use.
    stand_in
        Whether it stands in for a book that nobody named: estimates made with it are in review.
    terms
        Those of the customer for whom it prices; None where it prices for anybody.
    remarks
        What stands in its sheets besides.
    """

    name: str
    currency: str
    date: date
    note: str
    rates: tuple[Rate, ...]
    exchange: tuple[Exchange, ...] = ()
    stale_after_days: int = 90
    rounding: Rounding = "up"
    rules_disabled: tuple[str, ...] = ()
    stand_in: bool = field(default=False, compare=False)
    terms: Terms | None = field(default=None, compare=False, repr=False)
    remarks: tuple[BookRemark, ...] = field(default=(), compare=False, repr=False)
    by_key: Mapping[str, tuple[Rate, ...]] = field(init=False, repr=False, compare=False)
    # What `Rates` worked out from the rows, kept because a book is read once and used often.
    resolved: dict[tuple[str, str], Any] = field(
        init=False, repr=False, compare=False, default_factory=dict
    )

    def __post_init__(self) -> None:
        gathered: dict[str, list[Rate]] = {}
        for rate in self.rates:
            gathered.setdefault(rate.key, []).append(rate)
        by_key = MappingProxyType({key: tuple(rows) for key, rows in gathered.items()})
        object.__setattr__(self, "by_key", by_key)

    def __reduce__(self) -> tuple[object, ...]:
        return _rebuild, (
            {f.name: getattr(self, f.name) for f in dataclasses.fields(self) if f.init},
        )


def _rebuild(fields: dict[str, object]) -> PriceBook:
    return PriceBook(**fields)  # type: ignore[arg-type]


def in_currency(book: PriceBook, currency: str) -> PriceBook:
    """Return the same book making its prices in another currency, at its own exchange rates.

    Raises
    ------
    PriceBookError
        If some rate cannot be converted.
    """
    terms = book.terms and dataclasses.replace(
        book.terms, otherwise=in_currency(book.terms.otherwise, currency)
    )
    changed = dataclasses.replace(book, currency=currency, terms=terms)
    stepped = tuple(_in_steps_of(changed, rate) for rate in book.rates)
    changed = dataclasses.replace(changed, rates=stepped)
    used = {rate.currency for rate in book.rates if rate.currency}
    missing = sorted(code for code in used if conversion(changed, code) is None)
    if missing:
        text = f"no rate of exchange to {currency} is entered. Add one, with its date."
        raise PriceBookError(
            book.name,
            [Message("exchange", code, text, code="book.exchange_missing") for code in missing],
        )
    return changed


def _in_steps_of(book: PriceBook, rate: Rate) -> Rate:
    """Return a rounding step as one that is customary in the book's currency; any other rate as is.

    A step of 0.05 EUR is not 8.62 JPY: it is the nearest 1, 2 or 5 of a power of ten, and at least
    one minor unit.
    """
    held = conversion(book, rate.currency) if rate.currency and rate.key == ROUNDING else None
    if held is None or rate.currency == book.currency or rate.amount == 0.0:
        return rate
    step = rate.amount / rate.per.factor * held.factor
    power = 10.0 ** math.floor(math.log10(step))
    customary = min((f * power for f in _STEPS), key=lambda one: abs(math.log(one / step)))
    digits = minor_digits(book.currency)
    amount = round(max(customary, 10.0**-digits), digits)
    note = f"{rate.note}: {rate.amount:g} {rate.currency}, at the customary step"
    return dataclasses.replace(
        rate, amount=amount, unit=rate.per.name, currency=book.currency, note=note
    )


@dataclass(frozen=True, slots=True)
class Conversion:
    """Factor from a currency to the book's, and the entries that it rests on."""

    factor: float
    by: tuple[Exchange, ...]


def conversion(book: PriceBook, currency: str) -> Conversion | None:
    """Find how to convert `currency` to the book's: directly, inversely, or by one in between.

    Examples
    --------
    >>> usd = Exchange(currency="USD", to="EUR", amount=0.8, date=date(2026, 10, 1), note="")
    >>> book = PriceBook(name="x", currency="USD", date=date(2026, 10, 1), note="", rates=(),
    ...                  exchange=(usd,))
    >>> conversion(book, "EUR").factor
    1.25
    """
    if currency == book.currency:
        return Conversion(1.0, ())
    steps = dict(_steps(book.exchange))
    if direct := steps.get((currency, book.currency)):
        return Conversion(direct[0], (direct[1],))
    for (start, middle), (factor, entry) in steps.items():
        onward = steps.get((middle, book.currency))
        if start == currency and onward:
            return Conversion(factor * onward[0], (entry, onward[1]))
    return None


def _steps(
    entries: Iterable[Exchange],
) -> Iterator[tuple[tuple[str, str], tuple[float, Exchange]]]:
    for entry in entries:
        yield (entry.to, entry.currency), (1.0 / entry.amount, entry)
    for entry in entries:
        if math.isfinite(entry.amount):
            yield (entry.currency, entry.to), (entry.amount, entry)
