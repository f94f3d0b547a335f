"""Backup and restore: all that happened as lines of JSON, which either database takes."""

from __future__ import annotations

import gzip
import json
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from meshcore.register.connecting import Register
from meshcore.register.errors import RecordsError
from meshcore.register.indexing import rebuild
from meshcore.register.schema import LAYOUT
from meshcore.whole_files import whole_file

#: First line of a backup, so that a file tells what it is.
_FORMAT = "meshcore register backup"
#: Rows written to the database at a time.
_BATCH = 500


def backup(path: Path, register: Register) -> int:
    """Write all that happened; return the number of changes.

    Raises
    ------
    RecordsError
        If the file is there already, or cannot be written.
    """
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import changes, items  # noqa: PLC0415

    if path.exists():
        raise RecordsError(f"{path}: is there already. Give the backup another name.")
    count = 0
    try:
        # Whole or not at all: a backup that broke off is none.
        with (
            register.reading() as connection,
            whole_file(path) as whole,
            gzip.open(whole, "wt", encoding="ascii") as file,
        ):
            file.write(json.dumps({"format": _FORMAT, "layout": LAYOUT}) + "\n")
            for table in (items, changes):
                for row in connection.execute(select(table).order_by(*table.primary_key)):
                    file.write(json.dumps([table.name, dict(row._mapping)]) + "\n")
                    count += table is changes
            file.write(json.dumps({"changes": count}) + "\n")
    except OSError as error:
        if isinstance(error, RecordsError):
            raise
        raise RecordsError(f"{path}: cannot be written ({error.strerror}).") from error
    return count


def restore(path: Path, register: Register) -> int:
    """Put a backup into an empty register; return the number of changes.

    Raises
    ------
    RecordsError
        If the register holds anything, or the file is no whole backup.
    """
    from sqlalchemy import func, select, text  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import changes, items  # noqa: PLC0415

    tables = {table.name: table for table in (items, changes)}
    count = 0
    with register.writing() as connection:
        if connection.execute(select(func.count()).select_from(items)).scalar():
            raise RecordsError(
                f"{register.where}: is not empty. Restore into a new register, and compare."
            )
        batch: dict[str, list[dict[str, Any]]] = {name: [] for name in tables}
        for name, row in _rows(path):
            batch[name].append(row)
            count += name == "changes"
            if len(batch[name]) == _BATCH:
                connection.execute(tables[name].insert(), batch[name])
                batch[name] = []
        for name, rows in batch.items():
            if rows:
                connection.execute(tables[name].insert(), rows)
        if register.engine.dialect.name == "postgresql":
            connection.execute(
                text("SELECT setval(pg_get_serial_sequence('items', 'id'), "
                     "coalesce((SELECT max(id) FROM items), 0) + 1, false)")
            )  # fmt: skip
        rebuild(connection)
    return count


def check_backup(path: Path) -> None:
    """Read a backup through.

    Raises
    ------
    RecordsError
        If it is no whole one.
    """
    for _ in _rows(path):
        pass


def _rows(path: Path) -> Iterator[tuple[str, dict[str, Any]]]:
    """Rows of a backup; it is whole only if its last line counts them right."""
    try:
        with gzip.open(path, "rt", encoding="ascii") as file:
            first = json.loads(next(file, "null"))
            if not isinstance(first, dict) or first.get("format") != _FORMAT:
                raise RecordsError(f"{path}: no backup of a register.")
            if str(first.get("layout", "")) > LAYOUT:
                raise RecordsError(f"{path}: of a later version. Bring this one up to it.")
            count, last = 0, None
            for line in file:
                last = json.loads(line)
                if isinstance(last, list):
                    count += last[0] == "changes"
                    yield last[0], last[1]
    except (OSError, EOFError, ValueError, LookupError, RecursionError, zlib.error) as error:
        if isinstance(error, RecordsError):
            raise
        raise RecordsError(f"{path}: no whole backup ({error}). Nothing was restored.") from error
    if not isinstance(last, dict) or last.get("changes") != count:
        raise RecordsError(f"{path}: breaks off. Nothing was restored.")
