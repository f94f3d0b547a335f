"""Money: currencies and their minor units, rounding half-up, and sharing without a cent lost."""

from __future__ import annotations

import math

import numpy as np

from meshcore.arrays import FloatArray, IntArray

#: Codes in circulation: ISO 4217, list one (from memory), without metals, funds and test codes;
#: the tests compare them with Debian's ``iso-codes``.
_CODES = """
AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD CAD
CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD
GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD
KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO
NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE
SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX USD UYU UZS VES VND VUV WST
XAF XCD XOF XPF YER ZAR ZMW
"""
CURRENCIES: frozenset[str] = frozenset(_CODES.split())
#: Currencies whose minor unit is not a hundredth, by its decimal places (same source).
_NO_MINOR_UNIT = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF"
_THOUSANDTHS = "BHD IQD JOD KWD LYD OMR TND"
_DIGITS_OTHER_THAN_TWO: dict[str, int] = {
    **dict.fromkeys(_NO_MINOR_UNIT.split(), 0),
    **dict.fromkeys(_THOUSANDTHS.split(), 3),
}
#: A product of a quantity and a rate carries a few units in the last place of rounding; what
#: lies within this share of a half is a half. 16 units in the last place: 4e-6 of a cent on
#: ten million.
_HALF_TOLERANCE = 2.0**-48

#: Whole numbers are exact as floats up to here; an amount of more minor units cannot be summed to
#: the cent.
MOST_MINOR = 2.0**53


def minor_digits(currency: str) -> int:
    """Return the decimal places of a currency's minor unit.

    Examples
    --------
    >>> minor_digits("USD"), minor_digits("JPY"), minor_digits("KWD")
    (2, 0, 3)
    """
    if currency not in CURRENCIES:
        raise ValueError(f'"{currency}" is no currency of ISO 4217. Write three letters, as "EUR".')
    return _DIGITS_OTHER_THAN_TWO.get(currency, 2)


def money_text(amount: float, currency: str = "", digits: int | None = None) -> str:
    """Write an amount with thousands apart and its currency: the one way in which money is printed.

    Parameters
    ----------
    amount
        In the major unit; NaN is no price.
    currency
        Code of ISO 4217, written behind the amount; empty where a heading says it.
    digits
        Decimal places; those of the currency's minor unit, if None.

    Examples
    --------
    >>> money_text(12345.5, "EUR"), money_text(12345.5, "KWD"), money_text(12345.5, digits=0)
    ('12,345.50 EUR', '12,345.500 KWD', '12,346')
    """
    if math.isnan(amount):
        return "no price"
    places = minor_digits(currency) if digits is None else digits
    # Half-up, as amounts are rounded where they arise: 12,345.5 to whole yen is 12,346.
    minor = float(to_minor(np.array([abs(amount)]), places)[0])
    sign = "-" if amount < 0.0 and minor else ""
    return f"{sign}{minor / 10.0**places:,.{places}f} {currency}".rstrip()


def money_format(digits: int) -> str:
    """Return the number format of a workbook's cells for amounts with `digits` decimal places.

    Examples
    --------
    >>> money_format(3), money_format(0)
    ('#,##0.000', '#,##0')
    """
    return "#,##0" + ("." + "0" * digits if digits else "")


def to_minor(amount: FloatArray, digits: int) -> FloatArray:
    """Round amounts half-up to whole minor units.

    Parameters
    ----------
    amount
        In the currency's major unit; credits are negative.
    digits
        Decimal places of the minor unit.

    Returns
    -------
    Whole numbers of minor units, exact as floats up to 2⁵³.

    Notes
    -----
    Half-up on the decimal that a clerk would read: 1.005 has no exact double and lies just
    below, so the scaled amount is first raised by 2⁻⁴⁸ of itself. A half goes away from zero,
    so a credit mirrors its charge.

    Examples
    --------
    >>> to_minor(np.array([1.005, 2.675, 0.125, 0.1249999, -1.005]), 2).tolist()
    [101.0, 268.0, 13.0, 12.0, -101.0]
    """
    scaled = np.multiply(amount, 10.0**digits * (1.0 + _HALF_TOLERANCE))
    scaled += 0.5
    return np.floor(scaled, out=scaled)


def from_minor(minor: FloatArray, digits: int) -> FloatArray:
    """Return minor units as the nearest double of the major unit: prints as money should."""
    major: FloatArray = minor / 10.0**digits
    return major


def apportion(minor_total: FloatArray, weight: FloatArray, order: IntArray) -> FloatArray:
    """Share each order's amount over its lines by weight, to whole minor units, none lost.

    Parameters
    ----------
    minor_total
        The order's amount in minor units, on each of its lines; the first line's counts.
    weight
        Share weights, not negative; an order of zero weights is shared equally.
    order
        Index of each line's order; lines of an order need not stand together.

    Returns
    -------
    Whole minor units per line; they add up to the order's amount exactly.

    Examples
    --------
    >>> apportion(np.array([5000.0, 5000, 5000]), np.ones(3), np.array([4, 4, 4])).tolist()
    [1667.0, 1666.0, 1667.0]
    """
    if np.all(order[1:] > order[:-1]):
        return minor_total.copy()
    ranked = np.argsort(order, kind="stable")
    sorted_order = order[ranked]
    starts = np.flatnonzero(np.r_[True, sorted_order[1:] != sorted_order[:-1]])
    counts = np.diff(np.r_[starts, len(order)])
    weights = weight[ranked]
    whole = np.repeat(np.add.reduceat(weights, starts), counts)
    weights = np.where(whole > 0.0, weights, 1.0)
    whole = np.repeat(np.add.reduceat(weights, starts), counts)
    total = np.repeat(minor_total[ranked][starts], counts)
    running = _running_within(weights, starts, counts)
    last = np.zeros(len(order), dtype=np.bool_)
    last[starts + counts - 1] = True
    reached = np.where(last, total, np.floor(total * (running / whole) + 0.5))
    before = np.r_[0.0, reached[:-1]]
    before[starts] = 0.0
    shares = np.empty(len(order))
    shares[ranked] = reached - before
    return shares


def _running_within(values: FloatArray, starts: IntArray, counts: IntArray) -> FloatArray:
    """Cumulative sum that begins anew at each start."""
    running = np.cumsum(values)
    offset = np.r_[0.0, running[starts[1:] - 1]]
    within: FloatArray = running - np.repeat(offset, counts)
    return within
