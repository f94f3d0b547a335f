"""Opening a register: which layout it has, and what is done about an older one."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.register.connecting import Register, connect, default_records, default_register, told
from meshcore.register.copying import backup
from meshcore.register.errors import MissingRegisterError, RecordsError
from meshcore.register.indexing import rebuild
from meshcore.register.schema import LAYOUT
from meshcore.register.taking_in import is_earlier, take_in_once

if TYPE_CHECKING:
    from sqlalchemy import Connection

#: Layouts from which a register is brought up; empty where there is none yet.
_LAYOUTS = ("", "0001", "0002", "0003", LAYOUT)


def open_register(where: str | Path | None = None, *, create: bool = True) -> Register:
    """Open a register; make it, or bring it to this layout, if need be.

    Parameters
    ----------
    where
        Path of an SQLite file, or URL of a PostgreSQL database; `default_register` if None.
    create
        Whether it is made where there is none, as for whoever is about to save. What is only to be
        read is not made: a name that is spelt wrong would look like a register with nothing in it.

    Raises
    ------
    MissingRegisterError
        If there is none, and it is not to be made.
    RecordsError
        If it cannot be opened, is none, or was written by a later version.

    Notes
    -----
    Before an older layout is changed, a copy is kept beside it (SQLite: the file; PostgreSQL: a
    backup in the user's data folder).
    """
    named = str(where) if where is not None else default_register()
    url = named if "://" in named else f"sqlite:///{Path(named).absolute()}"
    register = connect(url)
    takes_in = where is None and is_earlier(default_records())
    if not create and not takes_in and not _is_there(register):
        raise MissingRegisterError(
            f"{register.where}: no register is there yet. Check its name; the first thing saved "
            "makes it."
        )
    with told(register.where):
        layout = _layout(register)
        if layout != LAYOUT:
            _bring_up(register, layout)
    if where is None and register.engine.dialect.name == "sqlite":
        take_in_once(register, default_records())
    return register


def _is_there(register: Register) -> bool:
    from sqlalchemy import inspect  # noqa: PLC0415 - heavy: loaded when one is opened

    if register.engine.dialect.name == "sqlite":
        file = Path(register.where)
        return file.is_file() and file.stat().st_size > 0
    with told(register.where), register.engine.connect() as connection:
        return bool(inspect(connection).get_table_names())


def _layout(register: Register) -> str:
    """Layout of what is there; empty where nothing is."""
    from sqlalchemy import inspect, text  # noqa: PLC0415 - heavy: loaded when one is opened

    if register.engine.dialect.name == "sqlite":
        _make_folder(Path(register.where))
    with register.engine.connect() as connection:
        tables = inspect(connection).get_table_names()
        if "alembic_version" in tables:
            found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
            layout = str(found or "")
        else:
            layout = ""
            if tables:
                raise RecordsError(
                    f"{register.where}: no register; it holds {', '.join(sorted(tables)[:3])}. "
                    "Name another."
                )
    if layout not in _LAYOUTS:
        raise RecordsError(
            f"{register.where}: written by a later version (layout {layout}; this one knows "
            f"{LAYOUT}). Bring this one up to it."
        )
    return layout


def _make_folder(file: Path) -> None:
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        if not file.exists():
            # What buyers ask for is nobody else's business on a machine that several people use.
            file.touch(mode=0o600)
    except OSError as error:
        raise RecordsError(f"{file}: cannot be opened ({error.strerror}). Name another.") from error


def _bring_up(register: Register, layout: str) -> None:
    """Make the tables, or change those of an older layout, after a copy of it."""
    from alembic import command  # noqa: PLC0415 - heavy: loaded when a layout is changed
    from alembic.config import Config  # noqa: PLC0415

    if layout:
        _keep_copy(register, layout)
    elif register.engine.dialect.name == "sqlite":
        with closing(sqlite3.connect(register.where)) as file:
            # Stays with the file: readers do not wait for writers.
            file.execute("PRAGMA journal_mode = WAL")
    config = Config()
    config.set_main_option("script_location", "meshcore.register:migrations")
    with register.writing() as connection:
        # Another may have been first while this one waited for the lock.
        if _layout_now(connection) == LAYOUT:
            return
        config.attributes["connection"] = connection
        command.upgrade(config, LAYOUT)
        rebuild(connection)


def _layout_now(connection: Connection) -> str:
    from sqlalchemy import inspect, text  # noqa: PLC0415 - heavy: loaded when one is opened

    if "alembic_version" not in inspect(connection).get_table_names():
        return ""
    return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar() or "")


def _keep_copy(register: Register, layout: str) -> None:
    stamp = f"{datetime.now(UTC):%Y%m%dT%H%M%SZ}"
    if register.engine.dialect.name == "sqlite":
        file = Path(register.where)
        copy = file.with_name(f"{file.name}.layout-{layout}-{stamp}")
        with closing(sqlite3.connect(file)) as old, closing(sqlite3.connect(copy)) as new:
            old.backup(new)
    else:
        folder = default_records().parent
        folder.mkdir(parents=True, exist_ok=True)
        backup(folder / f"register.layout-{layout}-{stamp}.jsonl.gz", register)
