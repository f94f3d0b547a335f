"""Saved estimates: each with the price book that it was priced with."""

from __future__ import annotations

import dataclasses
import json
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from meshcore.costing.book.files import from_toml, to_toml
from meshcore.costing.book.price_book import PriceBook
from meshcore.documents.cloth_lines import labels_of
from meshcore.reading.columns import cell_texts
from meshcore.register.connecting import RECORDS_VARIABLE, Register, beside, default_records
from meshcore.register.errors import RecordsError
from meshcore.register.indexing import DELETED, FoundLine, Head
from meshcore.register.opening import open_register
from meshcore.register.storing import Entry, add, entry, mark_as
from meshcore.register.taking_in import is_earlier, take_in_once
from meshcore.register.words import line_words
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.policy import SupplyPolicy, policy_from_values
from meshcore.weave.geometry.path import PathModel

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.estimates.results import EstimateSet

__all__ = [
    "RECORDS_VARIABLE",
    "RecordsError",
    "SavedEstimate",
    "default_records",
    "delete_estimate",
    "estimate_from",
    "load_estimate",
    "save_estimate",
    "saved_estimates",
]


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
    versions
        Distribution → version, of the library and of each plugin's; empty where it was not kept.
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
    versions: dict[str, str]


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
        The register, made if it is not there; the one in use if None.

    Raises
    ------
    RecordsError
        If it cannot be written.
    """
    register = _opened(path)
    head, body, found = packed(estimates, title, note)
    for _ in range(_TRIES):
        number = _next(register)
        try:
            add(register, "estimate", head, body, found, number=str(number), note=note)
        except RecordsError as error:
            # Another took the number between its being looked up and its being written.
            if "on file already" not in str(error):
                raise
        else:
            return number
    raise RecordsError("the estimate got no number, since many save at once. Save it again.")


#: Numbers that are tried before others are let go first.
_TRIES = 50


def _next(register: Register) -> int:
    from sqlalchemy import Integer, cast, func, select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import items  # noqa: PLC0415

    newest = select(func.max(cast(items.c.number, Integer))).where(items.c.kind == "estimate")
    with register.reading() as connection:
        return int(connection.execute(newest).scalar() or 0) + 1


def packed(
    estimates: EstimateSet, title: str, note: str = ""
) -> tuple[Head, dict[str, Any], list[FoundLine]]:
    """Return an estimate as it is filed: under what, what, and the lines it is found by."""
    ledger = estimates.ledger
    now = datetime.now(UTC)
    refused = estimates.log.refused()
    body = {
        "title": title,
        "note": note,
        "saved_at": now.isoformat(timespec="seconds"),
        "lines": len(estimates),
        "refused": int(refused.sum()),
        "book_name": estimates.book.name,
        "book_date": estimates.book.date.isoformat(),
        "book_toml": to_toml(estimates.book),
        "policy_json": json.dumps(dataclasses.asdict(estimates.policy), default=str),
        "settings_json": json.dumps(
            {
                "path_model": estimates.path_model,
                "cutting": dataclasses.asdict(estimates.cutting) if estimates.cutting else None,
                "versions": dict(estimates.versions),
            }
        ),
        "enquiries": _packed(estimates.enquiries),
        "priced": _packed(estimates.table),
        "items": _packed(estimates.cost_items()),
    }
    head = Head(
        day=now.date().isoformat(),
        title=title,
        currency=ledger.currency,
        digits=ledger.digits,
        total_minor=int(ledger.price_minor[estimates.totalled].sum()),
    )
    return head, body, found_lines(estimates)


def found_lines(estimates: EstimateSet) -> list[FoundLine]:
    """Return lines of an estimate with the words by which they are found."""
    cloth = estimates.orders.cloth
    own = [cell_texts(estimates.enquiries.iloc[:, n]) for n in range(estimates.enquiries.shape[1])]
    found: list[FoundLine] = []
    labels = labels_of(estimates)
    for row in range(len(estimates)):
        texts = [str(column[row]) for column in own if str(column[row]).strip()]
        place = int(cloth.alloy[row])
        alloy = cloth.alloys[place] if place >= 0 else None
        names = (alloy.designation, alloy.uns, alloy.en, *alloy.aliases) if alloy else ()
        sizes = [
            float(column[row])
            for column in (cloth.wire_diameter_m, cloth.aperture_m, cloth.width_m)
            if np.isfinite(column[row]) and column[row] > 0
        ]
        pitches = [float(cloth.pitch_m[row])] if np.isfinite(cloth.pitch_m[row]) else []
        words = line_words((*texts, *names), sizes, pitches)
        found.append(FoundLine(labels[row], " · ".join(texts), words))
    return found


def saved_estimates(path: Path | None = None) -> pd.DataFrame:
    """List what is on file, newest first, without opening the estimates themselves.

    Returns
    -------
    ``id``, ``title``, ``note``, ``saved_at``, ``currency``, ``price``, ``lines``, ``refused``,
    ``book_name``, ``book_date``.
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import changes, heads  # noqa: PLC0415

    register = _opened(path)
    with register.reading() as connection:
        found = connection.execute(
            select(heads, changes.c.body)
            .join(changes, changes.c.item == heads.c.item)
            .where(heads.c.kind == "estimate", heads.c.state != DELETED, changes.c.version == 1)
            .order_by(heads.c.item.desc())
        ).all()
    rows = []
    for head in found:
        body = json.loads(head.body)
        row = body | {"id": int(head.number), "currency": head.currency}
        row["price"] = head.total_minor / 10.0**head.digits
        rows.append([row[name] for name in _SUMMARY])
    return pd.DataFrame(rows, columns=_SUMMARY)


_SUMMARY = [
    "id", "title", "note", "saved_at", "currency", "price", "lines", "refused", "book_name",
    "book_date",
]  # fmt: skip


def load_estimate(number: int, path: Path | None = None) -> SavedEstimate:
    """Open a saved estimate.

    Raises
    ------
    RecordsError
        If there is no such record.
    PriceBookError
        If its price book no longer reads, as one written by a later version may not.
    """
    kept = _kept(_opened(path), number)
    return estimate_from(kept.body, number)


def estimate_from(body: dict[str, Any], number: int = 0) -> SavedEstimate:
    """Return an estimate from what was filed of it."""
    settings = json.loads(body["settings_json"])
    cutting = settings["cutting"]
    return SavedEstimate(
        id=number,
        title=body["title"],
        note=body["note"],
        saved_at=datetime.fromisoformat(body["saved_at"]),
        enquiries=_unpacked(body["enquiries"]),
        priced=_unpacked(body["priced"]),
        items=_unpacked(body["items"]),
        book=from_toml(body["book_toml"], f"of estimate {number}" if number else "on file"),
        policy=policy_from_values(json.loads(body["policy_json"])),
        path_model=settings["path_model"],
        cutting=CuttingEffort(**cutting) if cutting else None,
        versions=settings.get("versions", {}),
    )


def delete_estimate(number: int, path: Path | None = None) -> None:
    """Mark a saved estimate as deleted: it is not listed any more, and stays on file.

    Raises
    ------
    RecordsError
        If there is no such record.
    """
    register = _opened(path)
    mark_as(register, _kept(register, number), DELETED)


def _kept(register: Register, number: int) -> Entry:
    missing = f"no estimate {number} is on file. List them to see what there is."
    try:
        kept = entry(register, "estimate", str(number))
    except RecordsError as error:
        if "is on file" not in str(error):
            raise
        raise RecordsError(missing) from error
    if kept.state == DELETED:
        raise RecordsError(missing)
    return kept


def _opened(path: Path | None) -> Register:
    """Open a register; one beside it, where the path is that of an earlier file of records."""
    if path is None:
        return open_register()
    if is_earlier(path):
        register = open_register(beside(path))
        take_in_once(register, path)
        return register
    return open_register(path)


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
