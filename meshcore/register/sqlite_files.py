"""Opening a file of SQLite, also where a reader's few bytes beside it cannot be written."""

from __future__ import annotations

import sqlite3
from pathlib import Path

#: Longest wait for another that writes [s].
_BUSY_S = 60.0
#: What is set for each connection.
_PRAGMAS = ("foreign_keys = ON", "synchronous = FULL", f"busy_timeout = {_BUSY_S * 1e3:.0f}")
#: A question that has the index of the write-ahead log opened, and asks nothing else.
_PROBE = "SELECT 1 FROM sqlite_master LIMIT 1"


def connect_to_file(file: str) -> sqlite3.Connection:
    """Connect to a file of SQLite.

    Notes
    -----
    A reader of a write-ahead log keeps an index of it beside the file. Where the disk is full or
    takes no writing, that index cannot be made, and nothing could be looked up just when it may be
    needed. With an empty log there is nothing to index: the file is then read as it lies
    (``immutable``). With a log that holds something, the file is taken for this reader alone, whose
    index is in memory (SQLite's "Use of WAL without shared-memory").
    """
    try:
        return _opened(file)
    except sqlite3.OperationalError:
        if not Path(file).is_file():
            raise
        if _has_log(Path(file)):
            return _opened(file, "locking_mode = EXCLUSIVE")
        return _opened(f"{Path(file).absolute().as_uri()}?mode=ro&immutable=1")


def _opened(file: str, *first: str) -> sqlite3.Connection:
    connection = sqlite3.connect(file, uri=file.startswith("file:"), timeout=_BUSY_S)
    # SQLAlchemy's own advice for transactions that begin when they are said to.
    connection.isolation_level = None
    try:
        for pragma in (*first, *_PRAGMAS):
            connection.execute(f"PRAGMA {pragma}").close()
        connection.execute(_PROBE).close()
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def _has_log(file: Path) -> bool:
    """Tell whether what was written last is still in the log beside the file."""
    log = file.with_name(f"{file.name}-wal")
    return log.is_file() and log.stat().st_size > 0
