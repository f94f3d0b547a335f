"""What is being typed, kept on disk by session: a reload or a restarted server loses nothing.

A draft has an id that cannot be guessed and stands in the page's address, and parts, each a text.
Whoever has the address has the draft; nobody else does. Where people sign in, it is that of the
person who began it alone. The session that opened a draft last
holds it: one that held it before goes on under an id of its own, so that two never write over
each other.
"""

from __future__ import annotations

import os
import secrets
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from meshcore.register.records import default_records

#: Path of the file of drafts; one beside the records without it.
DRAFTS_VARIABLE = "MESHCORE_DRAFTS"
#: A draft that nobody opened for so long is given up.
KEPT_FOR = timedelta(days=90)
#: Random bytes of an id: 128 bits, beyond guessing (RFC 4122 holds 122 to be unique).
_ID_BYTES = 16
#: Longest wait for another session that writes [s].
_BUSY_S = 10.0
_TABLES = """
CREATE TABLE IF NOT EXISTS drafts (
    id TEXT PRIMARY KEY,
    holder TEXT NOT NULL,
    opened_at TEXT NOT NULL
);
CREATE TABLE IF NOT EXISTS parts (
    draft TEXT NOT NULL REFERENCES drafts (id) ON DELETE CASCADE,
    name TEXT NOT NULL,
    text TEXT NOT NULL,
    PRIMARY KEY (draft, name)
);
"""


class DraftsError(ValueError):
    """Drafts that cannot be kept or read."""


@dataclass(frozen=True, slots=True)
class Hold:
    """A session's hold of a draft."""

    draft: str
    holder: str


def default_drafts() -> Path:
    """Return the file named by ``MESHCORE_DRAFTS``, or one beside the records."""
    named = os.environ.get(DRAFTS_VARIABLE)
    return Path(named) if named else default_records().with_name("drafts.sqlite")


#: Under which stands whose a draft is; no part of a page has this name.
_OWNER = "owner"


def begin(path: Path | None = None, *, owner: str = "") -> Hold:
    """Begin a draft under a new id, and give up those that nobody opened for long.

    Parameters
    ----------
    path
        The file of drafts.
    owner
        Who signed in; empty where nobody has to.
    """
    hold = Hold(secrets.token_urlsafe(_ID_BYTES), secrets.token_urlsafe(_ID_BYTES))
    with writing(path) as file:
        old = (datetime.now(UTC) - KEPT_FOR).isoformat()
        file.execute("DELETE FROM drafts WHERE opened_at < ?", (old,))
        file.execute("INSERT INTO drafts VALUES (?, ?, ?)", (hold.draft, hold.holder, _now()))
        if owner:
            file.execute("INSERT INTO parts VALUES (?, ?, ?)", (hold.draft, _OWNER, owner))
    return hold


def resume(
    draft: str, path: Path | None = None, *, owner: str = ""
) -> tuple[Hold, dict[str, str]] | None:
    """Take hold of a draft, and return its parts; None if the owner has none of that id."""
    hold = Hold(draft, secrets.token_urlsafe(_ID_BYTES))
    with writing(path) as file:
        whose = file.execute(
            "SELECT text FROM parts WHERE draft = ? AND name = ?", (draft, _OWNER)
        ).fetchone()
        if (whose[0] if whose else "") != owner:
            return None
        changed = file.execute(
            "UPDATE drafts SET holder = ?, opened_at = ? WHERE id = ?",
            (hold.holder, _now(), draft),
        ).rowcount
        if not changed:
            return None
        parts = file.execute("SELECT name, text FROM parts WHERE draft = ?", (draft,)).fetchall()
    return hold, {name: text for name, text in parts if name != _OWNER}


def save(hold: Hold, parts: Mapping[str, str], path: Path | None = None) -> bool:
    """Write some parts of a draft, all or none.

    Returns
    -------
    Whether they were written; False where another session holds the draft by now.
    """
    with writing(path) as file:
        held = file.execute(
            "SELECT 1 FROM drafts WHERE id = ? AND holder = ?", (hold.draft, hold.holder)
        ).fetchone()
        if held is None:
            return False
        file.executemany(
            "INSERT INTO parts VALUES (?, ?, ?) "
            "ON CONFLICT (draft, name) DO UPDATE SET text = excluded.text",
            [(hold.draft, name, text) for name, text in parts.items()],
        )
    return True


def _now() -> str:
    return datetime.now(UTC).isoformat()


@contextmanager
def writing(path: Path | None) -> Iterator[sqlite3.Connection]:
    """Open the file for one change, which is made as a whole or not at all."""
    file = path or default_drafts()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        # What a buyer asks for is nobody else's business on a machine that several people use.
        file.touch(mode=0o600)
        with closing(sqlite3.connect(file, timeout=_BUSY_S)) as opened:
            opened.execute("PRAGMA foreign_keys = ON")
            opened.executescript(_TABLES)
            opened.execute("BEGIN IMMEDIATE")
            with opened:
                yield opened
    except (sqlite3.Error, OSError) as error:
        raise DraftsError(f"drafts in {file}: {error}") from error
