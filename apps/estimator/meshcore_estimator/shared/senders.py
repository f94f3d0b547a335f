"""How each sender's lists are read, kept beside the drafts and shared by all who use this app."""

from __future__ import annotations

import json
from pathlib import Path

from meshcore.lists.mapping import ListMapping, as_mapping
from meshcore_estimator.shared.drafts import writing

_TABLE = """
CREATE TABLE IF NOT EXISTS senders (
    name TEXT PRIMARY KEY COLLATE NOCASE,
    mapping TEXT NOT NULL
)
"""
_LAID_ASIDE = """
CREATE TABLE IF NOT EXISTS senders_laid_aside (
    name TEXT PRIMARY KEY COLLATE NOCASE,
    mapping TEXT NOT NULL
)
"""


def remember(sender: str, mapping: ListMapping, path: Path | None = None) -> None:
    """Keep the mapping of a sender's lists, in place of one that is kept already.

    Raises
    ------
    DraftsError
        If it cannot be kept.
    """
    text = json.dumps(mapping.to_dict(), ensure_ascii=False)
    with writing(path) as file:
        file.execute(_TABLE)
        file.execute(
            "INSERT INTO senders VALUES (?, ?) "
            "ON CONFLICT (name) DO UPDATE SET mapping = excluded.mapping",
            (sender.strip(), text),
        )


def forget(sender: str, path: Path | None = None) -> None:
    """Lay aside what is kept of a sender; `recall` takes it up again."""
    with writing(path) as file:
        file.execute(_TABLE)
        file.execute(_LAID_ASIDE)
        file.execute(
            "INSERT OR REPLACE INTO senders_laid_aside SELECT name, mapping FROM senders "
            "WHERE name = ?", (sender,),
        )  # fmt: skip
        file.execute("DELETE FROM senders WHERE name = ?", (sender,))


def recall(sender: str, path: Path | None = None) -> None:
    """Take up again what was laid aside of a sender; what was kept since then stands."""
    with writing(path) as file:
        file.execute(_TABLE)
        file.execute(_LAID_ASIDE)
        file.execute(
            "INSERT OR IGNORE INTO senders SELECT name, mapping FROM senders_laid_aside "
            "WHERE name = ?", (sender,),
        )  # fmt: skip


def remembered(path: Path | None = None) -> dict[str, ListMapping]:
    """Return the mapping of every sender, by name.

    Raises
    ------
    DraftsError
        If the store cannot be read.
    """
    with writing(path) as file:
        file.execute(_TABLE)
        rows = file.execute("SELECT name, mapping FROM senders ORDER BY name").fetchall()
    return {name: as_mapping(json.loads(text)) for name, text in rows}
