"""Saving what is on file: added to, never overwritten."""

from __future__ import annotations

import getpass
import json
import os
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from meshcore.register.connecting import Register
from meshcore.register.entries import KINDS, Entry, entry
from meshcore.register.errors import ChangedMeanwhileError, RecordsError
from meshcore.register.indexing import SAVED, FoundLine, Head, index, mark, storable

if TYPE_CHECKING:
    from sqlalchemy import Connection

#: Who is at work, where it is not to be the name of the login.
USER_VARIABLE = "MESHCORE_USER"


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
    from meshcore.register.schema import items  # noqa: PLC0415 - heavy: loaded when one is opened

    given = number or next_number(connection, kind, head.day[:4])
    _check_free(connection, kind, given)
    made = connection.execute(
        items.insert().values(kind=kind, number=given, parent=parent).returning(items.c.id)
    ).scalar_one()
    _append(connection, made, 1, SAVED, note, who, head, body, found)
    index(connection, (made, kind, given), head, found, 1)
    return int(made), given


def check_free(register: Register, kind: str, number: str) -> None:
    """Refuse a number that a thing of the kind bears already.

    Raises
    ------
    RecordsError
        If one does.
    """
    with register.reading() as connection:
        _check_free(connection, kind, number)


def _check_free(connection: Connection, kind: str, number: str) -> None:
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import items  # noqa: PLC0415

    taken = select(items.c.id).where(items.c.kind == kind, items.c.number == number)
    if connection.execute(taken).first():
        raise RecordsError(f"{kind} {number} is on file already. Save it as a revision.")


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
        revise_within(connection, opened, head, body, found, note=note, who=who)
    return entry(register, opened.kind, opened.number)


def revise_within(
    connection: Connection,
    opened: Entry,
    head: Head,
    body: Mapping[str, Any],
    found: Sequence[FoundLine] = (),
    *,
    note: str = "",
    who: str = "",
) -> None:
    """Save new contents of a thing within a change that is open."""
    version = _after(connection, opened)
    _append(connection, opened.id, version, SAVED, note, who, head, body, found)
    index(connection, (opened.id, opened.kind, opened.number), head, found, version)


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
