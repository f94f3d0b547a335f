"""Saving and opening what is on file: added to, never overwritten."""

from __future__ import annotations

import getpass
import json
import os
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from meshcore.register.connecting import Register
from meshcore.register.errors import ChangedMeanwhileError, RecordsError
from meshcore.register.indexing import SAVED, FoundLine, Head, head_from, index, mark, storable

if TYPE_CHECKING:
    from sqlalchemy import Connection, Row

#: Who is at work, where it is not to be the name of the login.
USER_VARIABLE = "MESHCORE_USER"
#: Kinds of things on file, and the letters that their numbers begin with.
KINDS: Mapping[str, str] = {
    "sender": "S",
    "letter": "L",
    "estimate": "E",
    "quotation": "Q",
    "order": "A",
    "label": "R",
    "bill": "B",
}


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that was done: which version it made, when (UTC), by whom, what and why."""

    version: int
    at: datetime
    who: str
    what: str
    note: str


@dataclass(frozen=True, slots=True)
class Entry:
    """A thing on file, as it was at one version.

    Parameters
    ----------
    id, kind, number, parent
        What it is, and the id of what it came from; None where it came from nothing on file.
    version, state
        Of the last change, to be given back when it is changed.
    head, body
        What it is filed under, and what it holds.
    changes
        All that was done to it, first to last.
    """

    id: int
    kind: str
    number: str
    parent: int | None
    version: int
    state: str
    head: Head
    body: dict[str, Any]
    changes: tuple[Change, ...]


def who_is_at_work() -> str:
    """Return the name under which changes are made."""
    return os.environ.get(USER_VARIABLE) or getpass.getuser()


def add(
    register: Register,
    kind: str,
    head: Head,
    body: Mapping[str, Any],
    found: Sequence[FoundLine] = (),
    *,
    parent: int | None = None,
    number: str = "",
    note: str = "",
    who: str = "",
) -> Entry:
    """File a new thing.

    Parameters
    ----------
    register, kind, head, body, found
        Where, which of ``KINDS``, under what, what, and the lines it is found by.
    parent
        Id of what it came from.
    number
        Its number; the next of its kind and year if empty.
    note, who
        Why, and by whom; whoever is at work if empty.

    Raises
    ------
    RecordsError
        If it cannot be written, or the number is taken.
    """
    with register.writing() as connection:
        _, given = insert(
            connection, kind, head, body, found, parent=parent, number=number, note=note, who=who
        )
    return entry(register, kind, given)


def insert(
    connection: Connection,
    kind: str,
    head: Head,
    body: Mapping[str, Any],
    found: Sequence[FoundLine] = (),
    *,
    parent: int | None = None,
    number: str = "",
    note: str = "",
    who: str = "",
) -> tuple[int, str]:
    """File a new thing within a change that is open; return its id and number."""
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import items  # noqa: PLC0415

    given = number or next_number(connection, kind, head.day[:4])
    taken = select(items.c.id).where(items.c.kind == kind, items.c.number == given)
    if connection.execute(taken).first():
        raise RecordsError(f"{kind} {given} is on file already. Save it as a revision.")
    made = connection.execute(
        items.insert().values(kind=kind, number=given, parent=parent).returning(items.c.id)
    ).scalar_one()
    _append(connection, made, 1, SAVED, note, who, head, body, found)
    index(connection, (made, kind, given), head, found, 1)
    return int(made), given


def next_number(connection: Connection, kind: str, year: str) -> str:
    """Return the number after the highest of its kind and year; writers come one by one."""
    from sqlalchemy import func, select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import items  # noqa: PLC0415

    start = f"{KINDS[kind]}{year}-"
    newest = select(func.max(items.c.number)).where(
        items.c.kind == kind, items.c.number >= start, items.c.number < f"{start}:",
        func.length(items.c.number) == len(start) + _DIGITS,
    )  # fmt: skip
    last = connection.execute(newest).scalar()
    number = int(str(last)[len(start) :]) if last else 0
    return f"{start}{number + 1:0{_DIGITS}d}"


#: Digits of a number within a year: a million of a kind, each as long as the other.
_DIGITS = 6


def revise(
    register: Register,
    opened: Entry,
    head: Head,
    body: Mapping[str, Any],
    found: Sequence[FoundLine] = (),
    *,
    note: str = "",
    who: str = "",
) -> Entry:
    """Save new contents of a thing; what it held before stays on file.

    Raises
    ------
    ChangedMeanwhileError
        If somebody else changed it since it was opened.
    """
    with register.writing() as connection:
        version = _after(connection, opened)
        _append(connection, opened.id, version, SAVED, note, who, head, body, found)
        index(connection, (opened.id, opened.kind, opened.number), head, found, version)
    return entry(register, opened.kind, opened.number)


def mark_as(
    register: Register, opened: Entry, what: str, note: str = "", *, who: str = ""
) -> Entry:
    """Mark a thing, such as "sent" or "deleted".

    Raises
    ------
    ChangedMeanwhileError
        If somebody else changed it since it was opened.
    """
    with register.writing() as connection:
        version = append_mark(connection, opened, what, note, who)
        mark(connection, opened.id, version, what)
    return entry(register, opened.kind, opened.number)


def append_mark(connection: Connection, opened: Entry, what: str, note: str, who: str) -> int:
    """Mark a thing within a change that is open; return the version that it makes."""
    version = _after(connection, opened)
    _append(connection, opened.id, version, what, note, who)
    return version


def _after(connection: Connection, opened: Entry) -> int:
    """Version after the one that was opened, if it still is the last."""
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import changes  # noqa: PLC0415

    newest = connection.execute(
        select(changes.c.version, changes.c.who, changes.c.at, changes.c.what)
        .where(changes.c.item == opened.id)
        .order_by(changes.c.version.desc())
    ).first()
    if newest is None or newest.version != opened.version:
        by = f"{newest.who} ({newest.what}, {newest.at[:16]} UTC)" if newest else "somebody"
        raise ChangedMeanwhileError(
            f"{opened.kind} {opened.number} was changed by {by} since you opened it. Open it "
            "again, and put your change to what it holds now."
        )
    return opened.version + 1


def _append(
    connection: Connection,
    item: int,
    version: int,
    what: str,
    note: str,
    who: str,
    head: Head | None = None,
    body: Mapping[str, Any] | None = None,
    found: Sequence[FoundLine] = (),
) -> None:
    from meshcore.register.schema import changes  # noqa: PLC0415 - heavy: loaded when one is opened

    held = head is not None
    connection.execute(
        changes.insert().values(
            item=item,
            version=version,
            at=datetime.now(UTC).isoformat(timespec="microseconds"),
            who=storable(who) or who_is_at_work(),
            what=what,
            note=storable(note),
            head=_json(asdict(head)) if head else None,
            lines=_json([(one.label, one.text, one.words) for one in found]) if held else None,
            body=_json(body) if held else None,
        )
    )


def _json(value: object) -> str:
    # All but ASCII as escapes: broken text holds signs that no database takes as they are.
    return json.dumps(value, allow_nan=False)


def entry(register: Register, kind: str, number: str, revision: int | None = None) -> Entry:
    """Open a thing.

    Parameters
    ----------
    register, kind, number
        Which.
    revision
        Its contents at a revision; the newest if None.

    Raises
    ------
    RecordsError
        If it is not on file.
    """
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import items  # noqa: PLC0415

    with register.reading() as connection:
        row = connection.execute(
            select(items).where(items.c.kind == kind, items.c.number == number)
        ).first()
        return _none(kind, number) if row is None else _opened(connection, row, revision)


def entry_of(register: Register, place: int) -> Entry:
    """Open a thing by its id."""
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import items  # noqa: PLC0415

    with register.reading() as connection:
        row = connection.execute(select(items).where(items.c.id == place)).one()
        return _opened(connection, row, None)


def children(register: Register, opened: Entry, kind: str) -> list[Entry]:
    """Open what came from a thing, of one kind, first to last."""
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import items  # noqa: PLC0415

    with register.reading() as connection:
        rows = connection.execute(
            select(items)
            .where(items.c.parent == opened.id, items.c.kind == kind)
            .order_by(items.c.id)
        ).all()
        return [_opened(connection, row, None) for row in rows]


def _opened(connection: Connection, row: Row[Any], revision: int | None) -> Entry:
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import changes  # noqa: PLC0415

    rows = connection.execute(
        select(changes).where(changes.c.item == row.id).order_by(changes.c.version)
    ).all()
    saved = [(head_from(one.head), one) for one in rows if one.head is not None]
    chosen = [one for one in saved if revision is None or one[0].revision == revision]
    if not chosen:
        raise RecordsError(
            f"{row.kind} {row.number} has no revision {revision}; the newest is "
            f"{saved[-1][0].revision}."
        )
    head, contents = chosen[-1]
    marks = [one.what for one in rows if one.version > saved[-1][1].version]
    return Entry(
        id=row.id,
        kind=row.kind,
        number=row.number,
        parent=row.parent,
        version=rows[-1].version,
        state=marks[-1] if marks else head.state,
        head=head,
        body=json.loads(contents.body),
        changes=tuple(
            Change(one.version, datetime.fromisoformat(one.at), one.who, one.what, one.note)
            for one in rows
        ),
    )


def _none(kind: str, number: str) -> Entry:
    raise RecordsError(f"no {kind} {number} is on file. Find it first, to see what there is.")
