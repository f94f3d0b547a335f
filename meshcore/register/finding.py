"""Finding: one box for numbers, references, senders, labels, cloth and sizes, dates, states."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from meshcore.register.amounts import amount_condition, amount_in
from meshcore.register.connecting import Register
from meshcore.register.indexing import DELETED
from meshcore.register.matching import MOST_RANKED, PREFIX_FROM, newest_lines
from meshcore.register.wanting import Wanted, wanted

if TYPE_CHECKING:
    from sqlalchemy import ColumnElement, Connection, Row, TextClause

#: What each kind of agreement counts for when things are ranked (our choice).
_WHOLE_KEY, _KEY_BEGINS, _WORD, _BEGINS = 1000, 300, 3, 1


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
    choice_minor: int
    line_count: int
    label: str
    line: str


def find(
    register: Register,
    text: str = "",
    *,
    kinds: Sequence[str] = (),
    limit: int = 20,
    offset: int = 0,
    strict: bool = False,
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
    strict
        Whether all words must stand in one line, or nothing is found.

    Notes
    -----
    All words must stand in one line of a thing, or in what it is filed under; where none does,
    any of the words will do. An amount with its currency is what a thing comes to, before tax or
    with it; a bare one is so where no word is written like it. What was deleted comes only where
    "deleted" is asked for.
    """
    page = (offset, offset + limit)
    with register.reading() as connection:
        if priced := _priced(text, kinds, bare=False):
            found = _found_by(connection, priced, page, strict=True)
            if found is not None:
                return found
        asked = wanted(text, kinds)
        found = _found_by(connection, asked, page, strict=True)
        if found is None and not strict and (priced := _priced(text, kinds, bare=True)):
            found = _found_by(connection, priced, page, strict=True)
        if found is None and not strict:
            found = _found_by(connection, asked, page, strict=False)
        return found or []


def _priced(text: str, kinds: Sequence[str], *, bare: bool) -> Wanted | None:
    """Return what is wanted where an amount is told; None where none is."""
    told = amount_in(text, bare=bare)
    return replace(wanted(told[1], kinds), amount=told[0]) if told else None


def _found_by(
    connection: Connection, asked: Wanted, page: tuple[int, int], *, strict: bool
) -> list[Found] | None:
    """Return a page of what agrees; None where nothing does at all."""
    first, last = page
    if not asked.terms and asked.signs:
        # Signs alone, such as "%", are in no number and no word: they stand for nothing else.
        return None
    if not asked.terms:
        listed = _listed(connection, asked, last - first, first)
        is_some = bool(listed) or (first > 0 and bool(_listed(connection, asked, 1, 0)))
        return [_found(row, "", "") for row in listed] if is_some else None
    ranked = _by_key(connection, asked)
    _by_words(connection, asked, ranked, every=True, begins=False)
    if len(ranked) < last:
        _by_words(connection, asked, ranked, every=True, begins=True)
    if not ranked and len(asked.terms) > 1 and not strict:
        _by_words(connection, asked, ranked, every=False, begins=True)
    ordered = sorted(ranked.values(), key=_order, reverse=True)
    return [one.found for one in ordered[first:last]] if ranked else None


@dataclass(frozen=True, slots=True)
class _Ranked:
    """A thing with what its number and its best line count for."""

    by_key: int
    by_line: int
    found: Found


def _order(one: _Ranked) -> tuple[int, str, int]:
    return one.by_key + one.by_line, one.found.day, one.found.id


def _conditions(asked: Wanted) -> list[ColumnElement[bool] | TextClause]:
    from sqlalchemy import text  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import heads  # noqa: PLC0415

    held: list[ColumnElement[bool] | TextClause] = []
    if asked.kinds:
        held.append(heads.c.kind.in_(asked.kinds))
    held.append(heads.c.state.in_(asked.states) if asked.states else heads.c.state != DELETED)
    if asked.since:
        held.append(heads.c.day >= asked.since)
    if asked.until:
        held.append(heads.c.day <= asked.until)
    if asked.amount is not None:
        held.append(text(f"({amount_condition(asked.amount)})"))
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

    if len(asked.key) < PREFIX_FROM:
        return {}
    rows = connection.execute(
        select(keys.c.key, heads)
        .join(heads, heads.c.item == keys.c.item)
        .where(keys.c.key >= asked.key, keys.c.key < asked.key + "\U0010ffff",
               *_conditions(asked))
        .order_by(keys.c.key)
        .limit(MOST_RANKED)
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
    rows = newest_lines(connection, asked, every=every, begins=begins)
    for row in rows:
        score = _score(asked, row.line_words)
        known = ranked.get(row.item)
        if known is not None and known.by_key == _WHOLE_KEY:
            # Its number was typed: all of it is meant, not one of its lines.
            continue
        if known is None or score > known.by_line:
            by_key = 0 if known is None else known.by_key
            ranked[row.item] = _Ranked(by_key, score, _found(row, row.line_label, row.line_text))


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
        choice_minor=row.choice_minor, line_count=row.line_count, label=label, line=line,
    )  # fmt: skip
