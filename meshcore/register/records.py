"""Saved estimates: a file of records, each with the price book that it was priced with."""

from __future__ import annotations

import dataclasses
import json
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.costing.book.files import from_toml, to_toml
from meshcore.costing.book.price_book import PriceBook
from meshcore.reading.columns import cell_texts
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.policy import SupplyPolicy, policy_from_values
from meshcore.weave.geometry.path import PathModel

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.estimates.results import EstimateSet

#: Path of the file of records to use where none is named.
RECORDS_VARIABLE = "MESHCORE_RECORDS"
#: Layout of the file; raised when a column is added, so that an older program says so.
LAYOUT = 1

_TABLE = """
CREATE TABLE IF NOT EXISTS estimates (
    id INTEGER PRIMARY KEY,
    title TEXT NOT NULL,
    note TEXT NOT NULL,
    saved_at TEXT NOT NULL,
    currency TEXT NOT NULL,
    digits INTEGER NOT NULL,
    price_minor INTEGER NOT NULL,
    lines INTEGER NOT NULL,
    refused INTEGER NOT NULL,
    book_name TEXT NOT NULL,
    book_date TEXT NOT NULL,
    book_toml TEXT NOT NULL,
    policy_json TEXT NOT NULL,
    settings_json TEXT NOT NULL,
    enquiries TEXT NOT NULL,
    priced TEXT NOT NULL,
    items TEXT NOT NULL
)
"""
_SUMMARY = (
    "id, title, note, saved_at, currency, digits, price_minor, lines, refused, book_name, book_date"
)


class RecordsError(OSError):
    """A file of records that cannot be read or written, or a record that is not there."""


@dataclass(frozen=True, slots=True)
class SavedEstimate:
    """An estimate as it was saved.

    Parameters
    ----------
    id, title, note, saved_at
        What it is filed under, and when (UTC).
    enquiries
        The enquiry list, cells as text; it prices again with ``estimate_table(enquiries,
        price_book=book)``.
    priced
        The list with its priced columns, as they were then.
    items
        Cost items of all lines, as they were then.
    book
        The price book that it was priced with.
    policy, path_model, cutting
        The supply policy, the path rule and the cutting effort of the day.
    """

    id: int
    title: str
    note: str
    saved_at: datetime
    enquiries: pd.DataFrame
    priced: pd.DataFrame
    items: pd.DataFrame
    book: PriceBook
    policy: SupplyPolicy
    path_model: PathModel
    cutting: CuttingEffort | None


def default_records() -> Path:
    """Return the file named by ``MESHCORE_RECORDS``, or one in the user's data folder."""
    named = os.environ.get(RECORDS_VARIABLE)
    if named:
        return Path(named)
    data = os.environ.get("XDG_DATA_HOME") or os.environ.get("LOCALAPPDATA")
    return (Path(data) if data else Path.home() / ".local" / "share") / "meshcore/records.sqlite"


def save_estimate(
    estimates: EstimateSet, title: str, note: str = "", path: Path | None = None
) -> int:
    """File an estimate; return its number.

    Parameters
    ----------
    estimates
        The priced list.
    title, note
        What to file it under.
    path
        File of records, made if it is not there; `default_records` if None.

    Raises
    ------
    RecordsError
        If the file cannot be written.
    """
    ledger = estimates.ledger
    row = {
        "title": title,
        "note": note,
        "saved_at": datetime.now(UTC).isoformat(timespec="seconds"),
        "currency": ledger.currency,
        "digits": ledger.digits,
        "price_minor": int(ledger.price_minor[~estimates.log.refused()].sum()),
        "lines": len(estimates),
        "refused": int(estimates.log.refused().sum()),
        "book_name": estimates.book.name,
        "book_date": estimates.book.date.isoformat(),
        "book_toml": to_toml(estimates.book),
        "policy_json": json.dumps(dataclasses.asdict(estimates.policy), default=str),
        "settings_json": json.dumps(
            {
                "path_model": estimates.path_model,
                "cutting": dataclasses.asdict(estimates.cutting) if estimates.cutting else None,
            }
        ),
        "enquiries": _packed(estimates.enquiries),
        "priced": _packed(estimates.table),
        "items": _packed(estimates.cost_items()),
    }
    names = ", ".join(row)
    marks = ", ".join(f":{name}" for name in row)
    with _opened(path) as records:
        number = records.execute(f"INSERT INTO estimates ({names}) VALUES ({marks})", row).lastrowid
    if number is None:
        raise RecordsError("the record got no number. Try again, or take another file.")
    return number


def saved_estimates(path: Path | None = None) -> pd.DataFrame:
    """List what is on file, newest first, without opening the estimates themselves.

    Returns
    -------
    ``id``, ``title``, ``note``, ``saved_at``, ``currency``, ``price``, ``lines``, ``refused``,
    ``book_name``, ``book_date``.
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    with _opened(path) as records:
        rows = records.execute(f"SELECT {_SUMMARY} FROM estimates ORDER BY id DESC").fetchall()
    frame = pd.DataFrame(rows, columns=_SUMMARY.split(", "))
    price = frame.pop("price_minor") / 10.0 ** frame.pop("digits")
    frame.insert(5, "price", price)
    return frame


def load_estimate(number: int, path: Path | None = None) -> SavedEstimate:
    """Open a saved estimate.

    Raises
    ------
    RecordsError
        If there is no such record.
    PriceBookError
        If its price book no longer reads, as one written by a later version may not.
    """
    with _opened(path) as records:
        records.row_factory = sqlite3.Row
        row = records.execute("SELECT * FROM estimates WHERE id = ?", (number,)).fetchone()
    if row is None:
        raise RecordsError(f"no estimate {number} is on file. List them to see what there is.")
    settings = json.loads(row["settings_json"])
    cutting = settings["cutting"]
    return SavedEstimate(
        id=row["id"],
        title=row["title"],
        note=row["note"],
        saved_at=datetime.fromisoformat(row["saved_at"]),
        enquiries=_unpacked(row["enquiries"]),
        priced=_unpacked(row["priced"]),
        items=_unpacked(row["items"]),
        book=from_toml(row["book_toml"], f"of estimate {number}"),
        policy=policy_from_values(json.loads(row["policy_json"])),
        path_model=settings["path_model"],
        cutting=CuttingEffort(**cutting) if cutting else None,
    )


def delete_estimate(number: int, path: Path | None = None) -> None:
    """Take a saved estimate off the file.

    Raises
    ------
    RecordsError
        If there is no such record.
    """
    with _opened(path) as records:
        gone = records.execute("DELETE FROM estimates WHERE id = ?", (number,)).rowcount
    if gone == 0:
        raise RecordsError(f"no estimate {number} is on file. List them to see what there is.")


@contextmanager
def _opened(path: Path | None) -> Iterator[sqlite3.Connection]:
    file = default_records() if path is None else path
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        records = sqlite3.connect(file)
    except (OSError, sqlite3.Error) as error:
        raise RecordsError(f"{file}: cannot be opened ({error}). Name another file.") from error
    try:
        with records:
            layout = records.execute("PRAGMA user_version").fetchone()[0]
            if layout > LAYOUT:
                raise RecordsError(f"{file}: written by a later version. Bring this one up to it.")
            records.execute(_TABLE)
            records.execute(f"PRAGMA user_version = {LAYOUT}")
            yield records
    except sqlite3.Error as error:
        raise RecordsError(f"{file}: no file of records ({error}). Name another file.") from error
    finally:
        records.close()


def _packed(frame: pd.DataFrame) -> str:
    """Frame as JSON, column by column; cells other than numbers as the text that they read as."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    columns = [frame.iloc[:, place] for place in range(frame.shape[1])]
    cells = [
        column.tolist() if pd.api.types.is_numeric_dtype(column.dtype) else list(cell_texts(column))
        for column in columns
    ]
    return json.dumps({"columns": [str(name) for name in frame.columns], "cells": cells})


def _unpacked(text: str) -> pd.DataFrame:
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    held = json.loads(text)
    frame = pd.DataFrame(dict(enumerate(held["cells"])))
    frame.columns = held["columns"]
    return frame
