"""Whether a sentence says an amount: money, a share or a figure, and not only a day or a name."""

from __future__ import annotations

import re
from collections.abc import Collection

from meshcore.reading.letters.never import MONTH

#: Days and years, which a remark may well name: ISO 8601, or as they are spoken.
_DAY = re.compile(
    rf"\b\d{{4}}-\d\d(?:-\d\d)?\b|\b\d{{1,2}}[./]\d{{1,2}}[./]\d{{2,4}}\b"
    rf"|\b(?:\d{{1,2}}(?:st|nd|rd|th)?\.? )?{MONTH},? \d{{1,2}}(?:st|nd|rd|th)?,? \d{{4}}\b"
    rf"|\b\d{{1,2}}(?:st|nd|rd|th)?\.? {MONTH}(?:,? \d{{4}})?\b|\b(?:19|20)\d\d\b",
    re.IGNORECASE,
)
#: Numbers that name something: an alloy by its number, a standard with its part.
_NAMED = re.compile(
    r"\b1\.\d{4}\b|\b(?:EN|ISO|DIN|ASTM|UNS)(?: EN| ISO)* [A-Z]?\d[\d.:/-]*(?: [23]\.[12])?\b"
)
#: A number with a sign of money or of a share at it, with a unit after a stroke, or with decimals.
_AMOUNT = re.compile(
    r"[€£$¥]\s?\d|\d\s?[€£$¥%]|\d\s?(?:/|(?i:per)\b)\s?[A-Za-z]|\d[.,]\d|\d\s?(?i:percent)"
)
#: A key of a table, as "wire.scrap"; a number at a word that may be a currency.
_KEY = re.compile(r"\b[a-z][a-z_]*(?:\.[a-z][a-z_]*)+\b")
_DIGIT = re.compile(r"\d")
_BY_WORD = re.compile(r"\b([A-Z]{3})\s?(?=\d)|(?<=\d)\s?([A-Z]{3})\b")


def is_day(text: str) -> bool:
    """Whether a text is a day or a year and nothing else.

    Examples
    --------
    >>> [is_day(text) for text in ("2026-12-01", "1 December 2026", "2.6")]
    [True, True, False]
    """
    return _DAY.fullmatch(text) is not None


def says_amount(text: str, currencies: Collection[str]) -> bool:
    """Whether a sentence says an amount, so that setting it aside might lose one.

    Parameters
    ----------
    text
        The sentence.
    currencies
        Codes of ISO 4217.

    Examples
    --------
    >>> says_amount("304 is 4.10 EUR/kg from December", {"EUR"})
    True
    >>> says_amount("Prices of 1 October 2026, for 30 days; ask for 316L", {"EUR"})
    False
    """
    plain = _NAMED.sub(" ", _DAY.sub(" ", text))
    coded = any({before, after} & {*currencies} for before, after in _BY_WORD.findall(plain))
    keyed = bool(_KEY.search(plain) and _DIGIT.search(plain))
    return coded or keyed or _AMOUNT.search(plain) is not None
