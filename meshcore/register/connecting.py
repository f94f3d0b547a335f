"""A register, where it is, and the connections to it."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.register.errors import RecordsError
from meshcore.register.sqlite_files import connect_to_file

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

#: URL or path of the register to use where none is named.
REGISTER_VARIABLE = "MESHCORE_REGISTER"
#: Path of the file of records of earlier versions; the register lies beside it where none is named.
RECORDS_VARIABLE = "MESHCORE_RECORDS"
#: Key of PostgreSQL's advisory lock, which lets one writer number at a time (our choice).
_LOCK = 0x6D657368


@dataclass(frozen=True, slots=True)
class Register:
    """An open register.

    Parameters
    ----------
    engine
        Gives connections to it.
    where
        Its path, or its URL without the password.
    """

    engine: Engine
    where: str

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Open it to read."""
        with told(self.where), self.engine.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Open it for one change, which is made as a whole or not at all."""
        from sqlalchemy import text  # noqa: PLC0415 - heavy: loaded when a register is opened

        with (
            told(self.where),
            self.engine.connect().execution_options(writes=True) as connection,
            connection.begin(),
        ):
            if self.engine.dialect.name == "postgresql":
                connection.execute(text(f"SELECT pg_advisory_xact_lock({_LOCK})"))
            yield connection


def default_records() -> Path:
    """Return the file named by ``MESHCORE_RECORDS``, or one in the user's data folder."""
    named = os.environ.get(RECORDS_VARIABLE)
    if named:
        return Path(named)
    data = os.environ.get("XDG_DATA_HOME") or os.environ.get("LOCALAPPDATA")
    return (Path(data) if data else Path.home() / ".local" / "share") / "meshcore/records.sqlite"


def default_register() -> str:
    """Return what ``MESHCORE_REGISTER`` names, or a file beside the earlier records."""
    return os.environ.get(REGISTER_VARIABLE) or str(beside(default_records()))


def beside(records: Path) -> Path:
    """Return the register that takes in a file of records: ``register.sqlite`` in its folder.

    Examples
    --------
    >>> beside(Path("kept/records.sqlite")).name, beside(Path("kept/mine.sqlite")).name
    ('register.sqlite', 'mine.register.sqlite')
    """
    stem = records.stem
    return records.with_name("register.sqlite" if stem == "records" else f"{stem}.register.sqlite")


@cache
def connect(url: str) -> Register:
    """Return the register at a URL, which is not looked at yet.

    Raises
    ------
    RecordsError
        If it is no URL of a register, or the driver of PostgreSQL is not installed.
    """
    from sqlalchemy import create_engine, event  # noqa: PLC0415 - heavy: loaded when one is opened
    from sqlalchemy.engine import make_url  # noqa: PLC0415
    from sqlalchemy.exc import ArgumentError  # noqa: PLC0415
    from sqlalchemy.pool import NullPool  # noqa: PLC0415

    try:
        parsed = make_url(url)
    except ArgumentError as error:
        raise RecordsError(f"{REGISTER_VARIABLE}: no path and no URL ({error}).") from error
    kind = parsed.get_backend_name()
    if kind not in ("sqlite", "postgresql"):
        raise RecordsError(
            f"{parsed.render_as_string()}: a register is an SQLite file, or a database "
            "postgresql+psycopg://…"
        )
    if kind == "postgresql":
        if parsed.drivername == "postgresql":
            parsed = parsed.set(drivername="postgresql+psycopg")
        try:
            engine = create_engine(parsed, pool_pre_ping=True)
        except ModuleNotFoundError as error:
            raise RecordsError(
                f"a register in PostgreSQL needs {error.name}. "
                'Install it with: pip install "wirecloth-meshcore[office]"'
            ) from error
        return Register(engine, parsed.render_as_string())
    # A connection for each use: none is carried into a forked process, or from thread to thread.
    file = parsed.database or ""
    engine = create_engine(parsed, poolclass=NullPool, creator=partial(connect_to_file, file))
    event.listen(engine, "begin", _begin_sqlite)
    return Register(engine, file)


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


#: What either database calls a disk that is full, or takes no writing.
_UNWRITABLE = ("disk is full", "No space left", "disk I/O error", "readonly database")


@contextmanager
def told(where: str) -> Iterator[None]:
    """Say what a database's own error comes to.

    Raises
    ------
    RecordsError
        In place of the database's error.
    """
    from sqlalchemy.exc import DBAPIError  # noqa: PLC0415 - heavy: loaded when a register is opened

    try:
        yield
    except DBAPIError as error:
        text = " ".join(str(error.orig).split())
        if any(one in text for one in _UNWRITABLE):
            raise RecordsError(
                f"{where}: the disk is full, or cannot be written ({text}). Nothing was changed. "
                "Make room and try again."
            ) from error
        if "not a database" in text or "unable to open" in text or "malformed" in text:
            raise RecordsError(f"{where}: cannot be opened as a register ({text}).") from error
        raise RecordsError(f"{where}: {text}") from error
    except sqlite3.Error as error:
        raise RecordsError(f"{where}: {error}") from error
