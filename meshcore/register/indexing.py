"""What is looked up, made from what happened."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from meshcore.messages import writable
from meshcore.register.amounts import amount_key
from meshcore.register.words import folded, line_words

if TYPE_CHECKING:
    from sqlalchemy import Connection

#: Changes that are no state of a thing: its contents are saved, or a mark is taken back.
SAVED = "saved"
#: The state of what is saved and nothing else.
DRAFT = "draft"
DELETED = "deleted"


@dataclass(frozen=True, slots=True)
class Head:
    """What a thing is filed under.

    Parameters
    ----------
    day, until
        Its date, and the last day that it holds (ISO 8601); `until` empty where it always does.
    sender, reference, title
        Who it is for, their reference, and what it is.
    currency, digits, total_minor
        Its amount in whole minor units.
    choice_minor
        What it offers to choose from, in no sum: the least that is taken of each choice.
    revision
        From 1, as printed on it.
    keys
        Further numbers that it is found by.
    state
        What it is as soon as it is saved.
    """

    day: str
    until: str = ""
    sender: str = ""
    reference: str = ""
    title: str = ""
    currency: str = ""
    digits: int = 0
    total_minor: int = 0
    choice_minor: int = 0
    revision: int = 1
    keys: tuple[str, ...] = ()
    state: str = DRAFT


@dataclass(frozen=True, slots=True)
class FoundLine:
    """A line as it is found: what it is called, what is shown, and its words."""

    label: str
    text: str
    words: str


def index(
    connection: Connection,
    item: tuple[int, str, str],
    head: Head,
    found: Sequence[FoundLine],
    version: int,
) -> None:
    """Look a thing up by its newest contents.

    Parameters
    ----------
    connection
        Open to write.
    item
        Its id, kind and number.
    head, found
        What it is filed under, and its lines.
    version
        Of the change that saved it.
    """
    from meshcore.register.schema import heads, keys, lines  # noqa: PLC0415 - heavy: loaded when one is opened

    place, kind, number = item
    for table in (keys, lines, heads):
        connection.execute(table.delete().where(table.c.item == place))
    held = {k: storable(v) if isinstance(v, str) else v for k, v in asdict(head).items()}
    named = {folded(text) for text in (number, head.reference, *held.pop("keys"))} - {""}
    if head.currency:
        named.add(amount_key(head.total_minor, head.currency))
    connection.execute(
        heads.insert(),
        held | {"item": place, "kind": kind, "number": number, "version": version,
                "line_count": len(found)},
    )  # fmt: skip
    connection.execute(keys.insert(), [{"key": key, "item": place} for key in sorted(named)])
    about = line_words((number, head.sender, head.reference, head.title, *head.keys), (), ())
    rows = [
        {
            "item": place,
            "label": storable(line.label),
            "text": storable(line.text),
            "words": _joined(about, line.words),
        }
        for line in found or (FoundLine("", head.title, ""),)
    ]
    connection.execute(lines.insert(), rows)


def storable(text: str) -> str:
    r"""Return text without the signs that a database does not take.

    Examples
    --------
    >>> storable("a\x00b\ud800")
    'ab?'
    """
    return writable(text).replace("\0", "")


def _joined(*texts: str) -> str:
    return " ".join(dict.fromkeys(word for text in texts for word in text.split()))


def mark(connection: Connection, item: int, version: int, state: str) -> None:
    """Tell the newest version of a thing, and its state where that has changed."""
    from meshcore.register.schema import heads  # noqa: PLC0415 - heavy: loaded when one is opened

    changed: dict[str, object] = {"version": version} | ({"state": state} if state else {})
    connection.execute(heads.update().where(heads.c.item == item).values(changed))


def rebuild(connection: Connection) -> None:
    """Make all that is looked up anew from what happened."""
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import changes, heads, items, keys, lines  # noqa: PLC0415

    for table in (keys, lines, heads):
        connection.execute(table.delete())
    rows = connection.execute(
        select(items.c.id, items.c.kind, items.c.number, changes.c.version, changes.c.what,
               changes.c.head, changes.c.lines)
        .join(changes, changes.c.item == items.c.id)
        .order_by(items.c.id, changes.c.version)
    ).all()  # fmt: skip
    for place, kind, number, version, what, head, found in rows:
        if head is None:
            mark(connection, place, version, what)
        else:
            index(connection, (place, kind, number), head_from(head), lines_from(found), version)


def head_from(text: str) -> Head:
    """Return what a change is filed under, from its JSON."""
    held = json.loads(text)
    return Head(**held | {"keys": tuple(held["keys"])})


def lines_from(text: str) -> list[FoundLine]:
    """Return the lines of a change, from their JSON."""
    return [FoundLine(*cells) for cells in json.loads(text)]
