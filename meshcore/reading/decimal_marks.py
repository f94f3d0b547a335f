"""Which sign a column, a list or a letter writes its decimals with."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import replace

from meshcore.reading import refusals
from meshcore.reading.numbers.lexing import plain
from meshcore.reading.numbers.numerals import NUMBER, readings
from meshcore.reading.numbers.readings import MARKS, Hints, Mark, Reading
from meshcore.reading.texts import read_text
from meshcore.reading.unit_words import unit_factor
from meshcore.units import Kind

#: A mark before just three digits: thousands or decimals.
TWO_READINGS = re.compile(r"(?<!\d)[1-9]\d{0,2}[.,]\d{3}(?![\d.,])")
_NUMBERS = re.compile(NUMBER)
#: Said of a text whose field tells its two readings apart.
_SETTLED = refusals.separator_taken("", "").code


def with_decimal_mark(texts: Iterable[str], hints: Hints) -> Hints:
    """Add the decimal mark that the rest of a column or letter shows, where it shows one alone.

    Examples
    --------
    >>> with_decimal_mark(["1,250 mm", "0,63 mm"], Hints()).decimal
    ','
    >>> with_decimal_mark(["1,250 mm", "3 mm"], Hints()).decimal
    ''
    """
    texts = list(texts)
    if hints.decimal or not is_doubtful(texts):
        return hints
    marks = shown_marks(texts)
    return replace(hints, decimal=next(iter(marks))) if len(marks) == 1 else hints


def shown_marks(texts: Iterable[str]) -> frozenset[Mark]:
    """Decimal marks of those numbers that have one reading.

    Examples
    --------
    >>> sorted(shown_marks(["1,250 mm", "0,63 mm", "2.5 in"]))
    [',', '.']
    """
    found = (readings(digits) for text in texts for digits in _NUMBERS.findall(plain(text)))
    shown = {read[0].mark for read in found if len(read) == 1}
    return frozenset(mark for mark in MARKS if mark in shown)


def settled_marks(texts: Iterable[str], kind: Kind, field: str, unit: str) -> frozenset[Mark]:
    """Decimal marks of those texts whose two readings their own field tells apart.

    Examples
    --------
    >>> sorted(settled_marks(["1,600 mm", "0.5 mm"], "length", "wire_diameter", ""))
    [',']
    >>> sorted(settled_marks(["1,220"], "length", "width", "mm"))
    ['.']
    """
    marks: set[Mark] = set()
    for text in texts:
        doubtful = TWO_READINGS.search(text)
        read = read_text(text, kind, field, unit) if doubtful else None
        if not doubtful or not isinstance(read, Reading) or read.said is None:
            continue
        if read.said.code != _SETTLED:
            continue
        decimal, grouped = readings(doubtful[0])
        typed = read.value / (unit_factor(read.unit, kind) or 1.0)
        is_comma = (decimal.mark == ",") != math.isclose(typed, grouped.value)
        marks.add("," if is_comma else ".")
    return frozenset(marks)


def is_doubtful(texts: Iterable[str]) -> bool:
    """Whether any text holds a number whose mark may part thousands or begin decimals.

    Examples
    --------
    >>> is_doubtful(["1.220 mm"]), is_doubtful(["1.22 m", "3"])
    (True, False)
    """
    return any(TWO_READINGS.search(text) for text in texts)
