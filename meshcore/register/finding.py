"""Finding: one box for numbers, references, senders, labels, cloth and sizes, dates, states."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from meshcore.register.connecting import Register
from meshcore.register.indexing import DELETED, DRAFT
from meshcore.register.storing import KINDS
from meshcore.register.words import folded, measures, plain_words

if TYPE_CHECKING:
    from sqlalchemy import ColumnElement, Connection, Row

#: States that a thing may be in, as they are typed.
STATES: tuple[str, ...] = (
    DRAFT, "sent", "won", "lost", "lapsed", "accepted", "cut", "delivered", "billed", DELETED,
)  # fmt: skip
#: Lines of the newest things that are ranked; older ones come when more words are typed (our
#: choice: it bounds the time of a word that stands everywhere).
_RANKED = 200
#: A word of so many signs is found by its beginning too; shorter ones are numbers mostly.
_PREFIX_FROM = 3
#: What each kind of agreement counts for when things are ranked (our choice).
_WHOLE_KEY, _KEY_BEGINS, _WORD, _BEGINS = 1000, 300, 3, 1
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
    """

    terms: tuple[tuple[tuple[str, ...], ...], ...] = ()
    key: str = ""
    kinds: tuple[str, ...] = ()
    states: tuple[str, ...] = ()
    since: str = ""
    until: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """A thing that was found, and its line that agrees best."""

    id: int
    kind: str
    number: str
    revision: int
    state: str
    day: str
    until: str
    sender: str
    reference: str
    title: str
    currency: str
    digits: int
    total_minor: int
    line_count: int
    label: str
    line: str


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
        tuple(_terms(chunks)), folded("".join(chunks)), tuple(named), tuple(states), since, until
    )


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


def find(
    register: Register,
    text: str = "",
    *,
    kinds: Sequence[str] = (),
    limit: int = 20,
    offset: int = 0,
) -> list[Found]:
    """Find things on file, those that agree best first, newer before older.

    Parameters
    ----------
    register
        Where.
    text
        As typed into the box; empty for all.
    kinds
        Only of these kinds.
    limit, offset
        As many, after so many.

    Notes
    -----
    All words must stand in one line of a thing, or in what it is filed under; where none does,
    any of the words will do. What was deleted comes only where "deleted" is asked for.
    """
    asked = wanted(text, kinds)
    with register.reading() as connection:
        if not asked.terms:
            return [_found(row, "", "") for row in _listed(connection, asked, limit, offset)]
        ranked = _by_key(connection, asked)
        _by_words(connection, asked, ranked, every=True, begins=False)
        if len(ranked) < offset + limit:
            _by_words(connection, asked, ranked, every=True, begins=True)
        if not ranked and len(asked.terms) > 1:
            _by_words(connection, asked, ranked, every=False, begins=True)
        ordered = sorted(ranked.values(), key=_order, reverse=True)
        return [one.found for one in ordered[offset : offset + limit]]


@dataclass(frozen=True, slots=True)
class _Ranked:
    """A thing with what its number and its best line count for."""

    by_key: int
    by_line: int
    found: Found


def _order(one: _Ranked) -> tuple[int, str, int]:
    return one.by_key + one.by_line, one.found.day, one.found.id


def _conditions(asked: Wanted) -> list[ColumnElement[bool]]:
    from meshcore.register.schema import heads  # noqa: PLC0415 - heavy: loaded when one is opened

    held: list[ColumnElement[bool]] = []
    if asked.kinds:
        held.append(heads.c.kind.in_(asked.kinds))
    held.append(heads.c.state.in_(asked.states) if asked.states else heads.c.state != DELETED)
    if asked.since:
        held.append(heads.c.day >= asked.since)
    if asked.until:
        held.append(heads.c.day <= asked.until)
    return held


def _listed(connection: Connection, asked: Wanted, limit: int, offset: int) -> Sequence[Any]:
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import heads  # noqa: PLC0415

    return connection.execute(
        select(heads)
        .where(*_conditions(asked))
        .order_by(heads.c.day.desc(), heads.c.item.desc())
        .limit(limit)
        .offset(offset)
    ).all()


def _by_key(connection: Connection, asked: Wanted) -> dict[int, _Ranked]:
    """Things whose number or reference is what was typed, or begins with it."""
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import heads, keys  # noqa: PLC0415

    if len(asked.key) < _PREFIX_FROM:
        return {}
    rows = connection.execute(
        select(keys.c.key, heads)
        .join(heads, heads.c.item == keys.c.item)
        .where(keys.c.key >= asked.key, keys.c.key < asked.key + "\U0010ffff",
               *_conditions(asked))
        .order_by(keys.c.key)
        .limit(_RANKED)
    ).all()  # fmt: skip
    ranked: dict[int, _Ranked] = {}
    for row in rows:
        score = _WHOLE_KEY if row.key == asked.key else _KEY_BEGINS
        if row.item not in ranked or ranked[row.item].by_key < score:
            ranked[row.item] = _Ranked(score, 0, _found(row, "", ""))
    return ranked


def _by_words(
    connection: Connection,
    asked: Wanted,
    ranked: dict[int, _Ranked],
    *,
    every: bool,
    begins: bool,
) -> None:
    """Add the things of which a line holds the words."""
    from sqlalchemy import text  # noqa: PLC0415 - heavy: loaded when one is opened

    is_sqlite = connection.dialect.name == "sqlite"
    limits, values = _limits(asked)
    matching, place = (
        ("word_index JOIN lines ON lines.id = word_index.rowid", "word_index.rowid")
        if is_sqlite
        else ("lines", "lines.id")
    )
    held = "word_index MATCH :words" if is_sqlite else "lines.tokens @@ cast(:words AS tsquery)"
    first = ""
    if begins and not is_sqlite:
        # How many lines hold a word that only begins so is unknown to the planner, which would
        # rather read all of them; so the index is looked up by itself.
        first = f"WITH lines AS MATERIALIZED (SELECT * FROM lines WHERE {held}) "
        held = "true"
    # The newest lines that hold the words; the order of their ids is that of filing.
    rows = connection.execute(
        text(
            f"{first}SELECT heads.*, lines.label AS line_label, lines.text AS line_text, "
            f"lines.words AS line_words FROM {matching} JOIN heads ON heads.item = lines.item "
            f"WHERE {held} AND {limits} ORDER BY {place} DESC LIMIT :many"
        ),
        {"words": _query(asked, is_sqlite, every, begins), "many": _RANKED} | values,
    ).all()
    for row in rows:
        score = _score(asked, row.line_words)
        known = ranked.get(row.item)
        if known is not None and known.by_key == _WHOLE_KEY:
            # Its number was typed: all of it is meant, not one of its lines.
            continue
        if known is None or score > known.by_line:
            by_key = 0 if known is None else known.by_key
            ranked[row.item] = _Ranked(by_key, score, _found(row, row.line_label, row.line_text))


def _limits(asked: Wanted) -> tuple[str, dict[str, str]]:
    """Conditions on the heads as SQL, with their values."""
    held: list[str] = []
    values: dict[str, str] = {}
    for column, given in (("kind", asked.kinds), ("state", asked.states)):
        if given:
            names = {f"{column}{n}": one for n, one in enumerate(given)}
            held.append(f"heads.{column} IN ({', '.join(f':{name}' for name in names)})")
            values |= names
    if not asked.states:
        held.append("heads.state <> 'deleted'")
    for sign, name, day in ((">=", "since", asked.since), ("<=", "until", asked.until)):
        if day:
            held.append(f"heads.day {sign} :{name}")
            values[name] = day
    return " AND ".join(held), values


def _query(asked: Wanted, is_sqlite: bool, every: bool, begins: bool) -> str:
    """Write what is wanted as either database's own query; words are letters and digits alone."""
    both, either = (" AND ", " OR ") if is_sqlite else (" & ", " | ")
    quote, rest = ('"', "*") if is_sqlite else ("'", ":*")

    def word(plain: str) -> str:
        return f"{quote}{plain}{quote}{rest if begins and len(plain) >= _PREFIX_FROM else ''}"

    terms = [
        "(" + either.join("(" + both.join(map(word, option)) + ")" for option in term) + ")"
        for term in asked.terms
    ]
    return (both if every else either).join(terms)


def _score(asked: Wanted, text: str) -> int:
    """How well a line agrees: a word that stands there counts more than one that begins so."""
    held, score = set(text.split()), 0
    for term in asked.terms:
        score += max(
            sum(_WORD if w in held else _BEGINS if f" {w}" in f" {text}" else 0 for w in option)
            for option in term
        )
    return score


def _found(row: Row[Any], label: str, line: str) -> Found:
    return Found(
        id=row.item, kind=row.kind, number=row.number, revision=row.revision, state=row.state,
        day=row.day, until=row.until, sender=row.sender, reference=row.reference, title=row.title,
        currency=row.currency, digits=row.digits, total_minor=row.total_minor,
        line_count=row.line_count, label=label, line=line,
    )  # fmt: skip
