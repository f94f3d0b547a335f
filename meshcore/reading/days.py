"""Days as buyers write them: 2026-12-11, 11.12.2026, 30 October, week 50."""

from __future__ import annotations

import re
from datetime import date, timedelta

from meshcore.reading.letters.never import MONTH
from meshcore.reading.vocabulary import fold

_ISO = re.compile(r"\b(\d{4})-(\d{1,2})-(\d{1,2})\b")
#: With stops the day comes first in every language of Europe; with strokes it may not.
_STOPS = re.compile(r"\b(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4}|\d{2})?(?!\d)")
_STROKES = re.compile(r"\b(\d{1,2})/(\d{1,2})/(\d{4}|\d{2})(?!\d)")
_NAMED = re.compile(
    rf"\b(\d{{1,2}})(?:st|nd|rd|th|er|\.|º)?\s+(?:of\s+|de\s+)?({MONTH})(?![a-zà-ÿ])(?:\s+(?:del?\s+)?(\d{{4}}))?",
    re.IGNORECASE,
)
_WEEK = re.compile(
    r"\b(?:wk|week|kw|kalenderwoche|woche|semaine|sem|semana|w)\.?\s{0,2}(\d{1,2})(?:\s?[/.-]\s?(\d{4}))?\b",
    re.IGNORECASE,
)
#: First letters of the months in four languages, folded, which tell them apart.
_MONTHS = (
    ("jan", "ene"), ("feb", "fev"), ("mar",), ("apr", "avr", "abr"), ("may", "mai"),
    ("jun", "juin"), ("jul", "juil"), ("aug", "aou", "ago"), ("sep",), ("oct", "okt"), ("nov",),
    ("dec", "dez", "dic"),
)  # fmt: skip
#: A day without its year is the next one, but may have gone by so long ago.
_GONE_BY = timedelta(days=60)
_FRIDAY = 5
_CENTURY = 2000
_MOST_MONTHS = 12


def read_day(text: str, near: date) -> date | None:
    """Read the one day that a text names; None where it names none, or may be either of two.

    Parameters
    ----------
    text
        As it was typed.
    near
        When it was written: a day without its year is the next after it.

    Notes
    -----
    A week ends on its Friday (ISO 8601 numbers it). ``05/06/2026`` may be May or June, and is not
    read.

    Examples
    --------
    >>> today = date(2026, 11, 25)
    >>> [read_day(text, today) for text in ("wk 50", "by 2026-12-11", "30 October", "05/06/2026")]
    [datetime.date(2026, 12, 11), datetime.date(2026, 12, 11), datetime.date(2026, 10, 30), None]
    >>> read_day("KW 3", today), read_day("11.12.", today)
    (datetime.date(2027, 1, 22), datetime.date(2026, 12, 11))
    """
    if found := _ISO.search(text):
        return _day(int(found[1]), int(found[2]), int(found[3]))
    if found := _STOPS.search(text):
        return _near(found[3], int(found[2]), int(found[1]), near)
    if found := _STROKES.search(text):
        return _stroked(found, near)
    if found := _NAMED.search(text):
        return _near(found[3], _month(found[2]), int(found[1]), near)
    found = _WEEK.search(text)
    return _week(int(found[1]), found[2], near) if found else None


def _stroked(found: re.Match[str], near: date) -> date | None:
    """Day and month either way round, where only one way can be."""
    first, second = int(found[1]), int(found[2])
    if first <= _MOST_MONTHS and second <= _MOST_MONTHS and first != second:
        return None
    month, day = (second, first) if first > _MOST_MONTHS else (first, second)
    return _near(found[3], month, day, near)


def _month(name: str) -> int:
    plain = fold(name)
    return next((n for n, starts in enumerate(_MONTHS, 1) if plain.startswith(starts)), 0)


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _near(year: str | None, month: int, day: int, near: date) -> date | None:
    if year:
        return _day(int(year) + (_CENTURY if len(year) == len("26") else 0), month, day)
    found = _day(near.year, month, day)
    return _day(near.year + 1, month, day) if found and found < near - _GONE_BY else found


def _week(week: int, year: str | None, near: date) -> date | None:
    try:
        found = date.fromisocalendar(int(year) if year else near.year, week, _FRIDAY)
        if not year and found < near - _GONE_BY:
            return date.fromisocalendar(near.year + 1, week, _FRIDAY)
    except ValueError:
        return None
    return found
