"""What is typed into the box: numbers, words, sizes, days and states, told apart."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from meshcore.register.amounts import Amount
from meshcore.register.entries import KINDS
from meshcore.register.indexing import DELETED, DRAFT
from meshcore.register.words import folded, measures, plain_words

#: States that a thing may be in, as they are typed.
STATES: tuple[str, ...] = (
    DRAFT, "sent", "won", "lost", "lapsed", "accepted", "due", "cut", "delivered", "billed",
    "cancelled", "came", "known", DELETED,
)  # fmt: skip
_DAY = re.compile(r"(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is looked for.

    Parameters
    ----------
    terms
        Each to be found; a term is found by any of its alternatives, and one of those by all of
        its words.
    key
        All that was typed, as one word.
    kinds, states
        Any of them; any at all if empty.
    since, until
        Days (ISO 8601), inclusive; open if empty.
    signs
        Whether something was typed that is none of these, and holds no word.
    amount
        What it comes to; any at all if None.
    """

    terms: tuple[tuple[tuple[str, ...], ...], ...] = ()
    key: str = ""
    kinds: tuple[str, ...] = ()
    states: tuple[str, ...] = ()
    since: str = ""
    until: str = ""
    signs: bool = False
    amount: Amount | None = None


def wanted(text: str, kinds: Sequence[str] = ()) -> Wanted:
    """Read what is typed into the box.

    Examples
    --------
    >>> found = wanted("10 mesh 316L sent 2026-03")
    >>> found.terms, found.states, (found.since, found.until)
    (((('c10000',), ('10', 'mesh')), (('316l',),)), ('sent',), ('2026-03-01', '2026-03-31'))
    """
    chunks: list[str] = []
    states: list[str] = []
    named = list(kinds)
    since = until = ""
    for chunk in text.split():
        plain = chunk.casefold().rstrip(",;")
        days = _days(plain)
        if days:
            since, until = days
        elif plain in STATES:
            states.append(plain)
        elif plain in KINDS or plain.removesuffix("s") in KINDS:
            named.append(plain if plain in KINDS else plain.removesuffix("s"))
        else:
            chunks.append(chunk)
    return Wanted(
        tuple(_terms(chunks)),
        folded("".join(chunks)),
        tuple(named),
        tuple(states),
        since,
        until,
        bool(chunks),
    )


def no_days(text: str) -> list[str]:
    """Return what is typed like a day or a range, and is none of the calendar.

    Examples
    --------
    >>> no_days("sent 2026-02-30 2026-02"), no_days("2026-05..2026-03")
    (['2026-02-30'], ['2026-05..2026-03'])
    """
    found: list[str] = []
    for chunk in text.split():
        plain = chunk.rstrip(",;")
        first, dots, last = plain.partition("..")
        told = [part for part in (first, last) if part]
        if not told or not all(map(_DAY.fullmatch, told)) or not (dots or "-" in plain):
            continue
        days = _days(plain)
        if days is None or (days[0] and days[1] and days[0] > days[1]):
            found.append(plain)
    return found


def _days(text: str) -> tuple[str, str] | None:
    """First and last day of a range, a day, a month or a year."""
    first, dots, last = text.partition("..")
    from_, to = _span(first), _span(last)
    if not dots:
        # Four digits alone may be a number on file; a year is given as a range or with a month.
        return from_ if "-" in text else None
    if (first and not from_) or (last and not to) or not (from_ or to):
        return None
    return (from_[0] if from_ else "", to[1] if to else "")


def _span(text: str) -> tuple[str, str] | None:
    parts = _DAY.fullmatch(text)
    if not parts:
        return None
    year, month, day = int(parts[1]), int(parts[2] or 0), int(parts[3] or 0)
    try:
        first = date(year, month or 1, day or 1)
        last = date(year, month or 12, day or monthrange(year, month or 12)[1])
    except ValueError:
        return None
    return first.isoformat(), last.isoformat()


def _terms(chunks: list[str]) -> Iterator[tuple[tuple[str, ...], ...]]:
    held = {start: (many, word) for start, many, word in measures(chunks)} if chunks else {}
    place = 0
    while place < len(chunks):
        many, word = held.get(place, (1, ""))
        plain = tuple(w for chunk in chunks[place : place + many] for w in plain_words(chunk))
        whole = folded("".join(chunks[place : place + many]))
        options: list[tuple[str, ...]] = [(word,)] if word else []
        if whole and (whole,) != plain and many == 1:
            options.append((whole,))
        if plain and not (many == 1 and len(plain) > 1):
            options.append(plain)
        if options:
            yield tuple(options)
        place += many
