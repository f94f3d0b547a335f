"""The file of records of earlier versions, taken into the register and left where it is."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.register.connecting import Register
from meshcore.register.errors import RecordsError
from meshcore.register.indexing import FoundLine, Head
from meshcore.register.storing import insert
from meshcore.register.words import line_words, measures

if TYPE_CHECKING:
    from sqlalchemy import Connection

#: Layout of the earlier file; a later one was never written.
_EARLIER = 1
#: Fields of an earlier record that are texts of JSON or TOML, kept as they are.
_BODY = ("book_toml", "policy_json", "settings_json", "enquiries", "priced", "items")


def take_in_once(register: Register, records: Path) -> int:
    """Take in what an earlier file holds and the register does not yet; return how many.

    Parameters
    ----------
    register
        Where to.
    records
        The earlier file; nothing is done where there is none.

    Raises
    ------
    RecordsError
        If it is no file of records.
    """
    if not is_earlier(records):
        return 0
    try:
        with closing(sqlite3.connect(f"file:{records}?mode=ro", uri=True)) as file:
            file.row_factory = sqlite3.Row
            rows = file.execute("SELECT * FROM estimates ORDER BY id").fetchall()
    except sqlite3.Error as error:
        raise RecordsError(
            f"{records}: no file of records ({error}). Name another file."
        ) from error
    if _known(register, rows):
        return 0
    with register.writing() as connection:
        return sum(_take_in(connection, row, records) for row in rows)


def is_earlier(path: Path) -> bool:
    """Whether a file is one of records of an earlier version.

    Raises
    ------
    RecordsError
        If it was written by a later version.
    """
    if not path.is_file() or not path.stat().st_size:
        return False
    try:
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as file:
            layout = file.execute("PRAGMA user_version").fetchone()[0]
            tables = {row[0] for row in file.execute("SELECT name FROM sqlite_master")}
    except sqlite3.Error as error:
        raise RecordsError(f"{path}: no file of records ({error}). Name another file.") from error
    if layout > _EARLIER:
        raise RecordsError(f"{path}: written by a later version. Bring this one up to it.")
    return "estimates" in tables and "changes" not in tables


def _known(register: Register, rows: list[sqlite3.Row]) -> bool:
    from sqlalchemy import func, select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import items  # noqa: PLC0415

    numbers = [earlier_number(row["id"]) for row in rows]
    with register.reading() as connection:
        kept = connection.execute(
            select(func.count()).where(items.c.kind == "estimate", items.c.number.in_(numbers))
        ).scalar()
    return kept == len(rows)


def earlier_number(place: int) -> str:
    """Return the number in the register of an earlier record.

    Examples
    --------
    >>> earlier_number(7)
    '7'
    """
    return str(place)


def _take_in(connection: Connection, row: sqlite3.Row, records: Path) -> int:
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import items  # noqa: PLC0415

    number = earlier_number(row["id"])
    if connection.execute(
        select(items.c.id).where(items.c.kind == "estimate", items.c.number == number)
    ).first():
        return 0
    head = Head(
        day=row["saved_at"][:10], title=row["title"], currency=row["currency"],
        digits=row["digits"], total_minor=row["price_minor"],
    )  # fmt: skip
    body = {name: row[name] for name in _BODY} | {
        name: row[name] for name in ("title", "note", "saved_at", "book_name", "book_date",
                                     "lines", "refused")
    }  # fmt: skip
    insert(
        connection, "estimate", head, body, asked_lines(row["enquiries"]), number=number,
        note=f"taken in from {records}",
    )  # fmt: skip
    return 1


def asked_lines(packed: str) -> list[FoundLine]:
    """Return the lines of a packed enquiry list, by the words of their cells."""
    held = json.loads(packed)
    rows = zip(*held["cells"], strict=True) if held["cells"] else ()
    found: list[FoundLine] = []
    for number, cells in enumerate(rows, 1):
        texts = [str(cell) for cell in cells if cell not in (None, "")]
        text = " · ".join(texts)
        sizes = [word for cell in texts for _, _, word in measures(cell.split())]
        found.append(FoundLine(str(number), text, line_words((*texts, *sizes), (), ())))
    return found
