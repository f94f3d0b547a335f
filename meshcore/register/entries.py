"""Opening what is on file, as it is or as it was."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from meshcore.register.connecting import Register
from meshcore.register.errors import RecordsError
from meshcore.register.indexing import FoundLine, Head, head_from, lines_from

if TYPE_CHECKING:
    from sqlalchemy import Connection, Row

#: Kinds of things on file, and the letters that their numbers begin with.
KINDS: Mapping[str, str] = {
    "sender": "S",
    "letter": "L",
    "list": "T",
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


def found_as_filed(register: Register, opened: Entry) -> list[FoundLine]:
    """Return the lines that a thing is found by, as they were last filed."""
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import changes  # noqa: PLC0415

    newest = (
        select(changes.c.lines)
        .where(changes.c.item == opened.id, changes.c.lines.is_not(None))
        .order_by(changes.c.version.desc())
    )
    with register.reading() as connection:
        return lines_from(connection.execute(newest).scalars().first() or "[]")


def kinds_of(connection: Connection, opened: Entry, kind: str) -> int:
    """Count what came from a thing, of one kind, within a change that is open."""
    from sqlalchemy import func, select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import items  # noqa: PLC0415

    count = select(func.count()).where(items.c.parent == opened.id, items.c.kind == kind)
    return int(connection.execute(count).scalar() or 0)


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
