"""Amounts of money as they are typed into the box, in whichever way a country writes them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from meshcore.costing.money import CURRENCIES, minor_digits, money_text
from meshcore.reading.numbers.numerals import NUMBER, Number, readings
from meshcore.register.errors import RecordsError
from meshcore.rounding import SLACK

#: Signs of money, each of which several currencies may have.
_SIGNS = "€$£¥"
_AMOUNT = re.compile(
    rf"(?<![\w.,/-])(?:(?P<before>[A-Z]{{3}}|[{_SIGNS}]) ?)?(?P<number>{NUMBER})"
    rf"(?: ?(?P<after>[A-Z]{{3}}|[{_SIGNS}]))?(?![\w/-]|[.,]\d)"
)
#: Signs that part thousands, as the reader of numbers knows them.
_PARTED = str.maketrans({"\N{NO-BREAK SPACE}": " ", "\N{NARROW NO-BREAK SPACE}": " ", "’": "'"})
#: What a sum's key begins with, so that no number on file is taken for one.
_SUM = "sum"
#: Decimal places that currencies have (ISO 4217).
_PLACES = sorted({minor_digits(code) for code in CURRENCIES})


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount as it may be meant: the currency, and minor units by its decimal places.

    Parameters
    ----------
    currency
        Code of ISO 4217; empty where none is told.
    minor
        Decimal places, and the amount in minor units of as many.
    """

    currency: str
    minor: tuple[tuple[int, int], ...]


def amount_key(minor: int, currency: str) -> str:
    """Return the key under which what a thing comes to is found, before tax or with it.

    Examples
    --------
    >>> amount_key(1160622, "EUR")
    'sum1160622eur'
    """
    return f"{_SUM}{minor}{currency.casefold()}"


def amount_text(total_minor: int, choice_minor: int, digits: int, currency: str) -> str:
    """Write what a thing comes to; of a choice with no sum, the least that is taken of it.

    Examples
    --------
    >>> amount_text(249915, 0, 2, "EUR"), amount_text(0, 92095, 2, "EUR"), amount_text(0, 0, 0, "")
    ('2,499.15 EUR', 'from 920.95 EUR', '')
    """
    if not currency:
        return ""
    if choice_minor and not total_minor:
        return f"from {money_text(choice_minor / 10.0**digits, currency)}"
    return money_text(total_minor / 10.0**digits, currency)


def amount_condition(amount: Amount) -> str:
    """Return the SQL condition on heads that they come to an amount, before tax or with it."""
    keys = ", ".join(
        f"'{amount_key(minor, code)}'"
        for places, minor in amount.minor
        for code in CURRENCIES
        if amount.currency in ("", code) and minor_digits(code) == places
    )
    return f"heads.item IN (SELECT keys.item FROM keys WHERE keys.key IN ({keys}))"


def amount_in(text: str, *, bare: bool = False) -> tuple[Amount, str] | None:
    """Find an amount in what was typed; return it, and the text without it.

    Parameters
    ----------
    text
        As typed.
    bare
        Whether a number with a decimal part and no currency is taken for one too.

    Examples
    --------
    >>> amount_in("weir 5,094.95 EUR")
    (Amount(currency='EUR', minor=((2, 509495),)), 'weir  ')
    >>> amount_in("5 094,95", bare=True)[0].minor[:2], amount_in("10 mesh 48 in")
    (((2, 509495), (3, 5094950)), None)
    """
    plain = text.translate(_PARTED)
    for found in _AMOUNT.finditer(plain):
        told = [name for name in (found["before"], found["after"]) if name]
        codes = [name for name in told if name in CURRENCIES]
        if len(codes) < len([name for name in told if name not in _SIGNS]):
            continue
        numbers = readings(found["number"])
        if not told and not (bare and any(one.mark or one.grouped for one in numbers)):
            continue
        code = codes[0] if codes else ""
        places = [minor_digits(code)] if code else _PLACES
        minor = tuple((n, value) for n in places for value in _minor(numbers, n))
        if minor:
            return Amount(code, minor), f"{plain[: found.start()]} {plain[found.end() :]}"
    return None


def read_price(text: str, places: int) -> int:
    """Read a price in minor units of so many decimal places.

    Raises
    ------
    RecordsError
        If it is no price, or may be two.

    Examples
    --------
    >>> read_price("1,234.50", 2), read_price("850", 0)
    (123450, 850)
    """
    plain = text.strip().translate(_PARTED)
    numbers = readings(plain) if re.fullmatch(NUMBER, plain) else ()
    found = sorted(set(_minor(numbers, places)))
    if len(found) == 1:
        return found[0]
    told = " or ".join(f"{one / 10.0**places:.{places}f}" for one in found)
    why = f"it may be {told}" if found else f"no price of {places} decimal places at most"
    raise RecordsError(f'read "{text}": {why}. Write it as {_EXAMPLE:.{places}f}.')


#: A price as it is to be written.
_EXAMPLE = 1234.5


def _minor(numbers: Sequence[Number], places: int) -> Iterator[int]:
    """Yield what a number may come to in minor units of so many decimal places."""
    least = 0.1**places * (1.0 - SLACK)
    for number in numbers:
        if number.digit >= least:
            yield round(number.value * 10.0**places)
