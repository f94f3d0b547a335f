"""Letters and lists as they came, and the senders who are known by them."""

from __future__ import annotations

import base64
import hashlib
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Literal

from meshcore.register.connecting import Register
from meshcore.register.entries import Entry, entry_of
from meshcore.register.indexing import FoundLine, Head
from meshcore.register.storing import add, revise
from meshcore.register.words import folded, line_words

if TYPE_CHECKING:
    from meshcore.documents.facts import Quotation

#: Signs of a letter's text that it is found by, and that are shown where it is found (our choice).
_SEARCHED, _SHOWN = 20_000, 200


@dataclass(frozen=True, slots=True)
class Came:
    """What came in: a letter or a list, its name, its bytes, and the text to find it by."""

    kind: Literal["letter", "list"]
    name: str
    content: bytes
    text: str = ""


def file_came(
    register: Register, came: Came, *, sender: str = "", reference: str = "", who: str = ""
) -> Entry:
    """File a letter or a list just as it came; one that is on file already is found again.

    Parameters
    ----------
    register, came
        Where, and what.
    sender, reference
        Whose, and theirs.
    who
        By whom it is filed.
    """
    mark = hashlib.sha256(came.content).hexdigest()
    known = _known(register, came.kind, mark)
    if known is not None:
        return known
    head = Head(
        day=datetime.now(UTC).date().isoformat(), sender=sender, reference=reference,
        title=came.name, keys=(mark,), state="came",
    )  # fmt: skip
    body = {
        "name": came.name,
        "zlib_base64": base64.b64encode(zlib.compress(came.content)).decode("ascii"),
    }
    shown = " ".join(came.text.split())[:_SHOWN] or came.name
    found = FoundLine("", shown, line_words((came.name, came.text[:_SEARCHED]), (), ()))
    return add(register, came.kind, head, body, [found], who=who)


def content_of(opened: Entry) -> bytes:
    """Return a letter or a list on file, byte for byte as it came."""
    return zlib.decompress(base64.b64decode(opened.body["zlib_base64"]))


def file_sender(register: Register, facts: Quotation, *, who: str = "") -> Entry | None:
    """Keep who a quotation is for: name and address, person and language; a change is a revision.

    Returns
    -------
    The sender on file; None where the quotation names nobody.
    """
    name = facts.to.name
    if not folded(name):
        return None
    body = {"lines": list(facts.to.lines), "person": facts.to.person, "language": facts.language}
    title = ", ".join(facts.to.lines[1:])
    head = Head(day=facts.day.isoformat(), sender=name, title=title, keys=(name,), state="known")
    found = [FoundLine("", ", ".join(facts.to.lines), line_words(facts.to.lines, (), ()))]
    known = _known(register, "sender", name)
    if known is None:
        return add(register, "sender", head, body, found, who=who)
    if known.body == body:
        return known
    return revise(register, known, head, body, found, who=who)


def senders(register: Register) -> Sequence[Entry]:
    """Return the senders on file, by name."""
    from meshcore.register.finding import find  # noqa: PLC0415 - finding knows all kinds

    every = [entry_of(register, one.id) for one in find(register, kinds=("sender",), limit=10_000)]
    return sorted(every, key=lambda one: folded(one.head.sender))


def _known(register: Register, kind: str, key: str) -> Entry | None:
    """Return the thing of a kind that bears a key; None where there is none."""
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import items, keys  # noqa: PLC0415

    with register.reading() as connection:
        place = connection.execute(
            select(items.c.id)
            .join(keys, keys.c.item == items.c.id)
            .where(items.c.kind == kind, keys.c.key == folded(key))
            .order_by(items.c.id)
        ).scalar()
    return None if place is None else entry_of(register, int(place))
