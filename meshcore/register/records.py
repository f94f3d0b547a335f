"""Saved estimates: each with the price book that it was priced with."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.register.connecting import RECORDS_VARIABLE, Register, beside, default_records
from meshcore.register.entries import Change, Entry, entry
from meshcore.register.errors import RecordsError
from meshcore.register.indexing import DELETED, DRAFT
from meshcore.register.opening import open_register
from meshcore.register.packing import SavedEstimate, estimate_from, packed
from meshcore.register.storing import add, mark_as, who_is_at_work
from meshcore.register.taking_in import is_earlier, take_in_once

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.estimates.results import EstimateSet

__all__ = [
    "RECORDS_VARIABLE",
    "RecordsError",
    "SavedEstimate",
    "default_records",
    "delete_estimate",
    "deleted_estimates",
    "estimate_changes",
    "estimate_from",
    "load_estimate",
    "restore_estimate",
    "save_estimate",
    "saved_estimates",
]


def save_estimate(
    estimates: EstimateSet,
    title: str,
    note: str = "",
    path: Path | None = None,
    *,
    who: str = "",
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
    who
        By whom; whoever is at work if empty.

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
            add(register, "estimate", head, body, found, number=str(number), note=note,
                who=who)  # fmt: skip
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


def delete_estimate(number: int, path: Path | None = None, *, who: str = "") -> None:
    """Mark a saved estimate as deleted: it is not listed any more, and stays on file.

    Parameters
    ----------
    number, path
        Which, and the register.
    who
        By whom; whoever is at work if empty.

    Raises
    ------
    RecordsError
        If there is no such record, or somebody else saved it.
    """
    register = _opened(path)
    held = _kept(register, number)
    author = held.changes[0].who
    if author and author != (who.strip() or who_is_at_work()):
        raise RecordsError(f"estimate {number} was saved by {author}, who alone may take it off.")
    mark_as(register, held, DELETED, who=who)


def estimate_changes(number: int, path: Path | None = None) -> tuple[Change, ...]:
    """Return all that was done to a saved estimate, deleted or not, first to last.

    Raises
    ------
    RecordsError
        If there is no such record.
    """
    return entry(_opened(path), "estimate", str(number)).changes


def restore_estimate(number: int, path: Path | None = None, *, who: str = "") -> None:
    """Put a deleted estimate back, whoever asks: what was done to it stays on file.

    Raises
    ------
    RecordsError
        If there is no such record, or it is not deleted.
    """
    register = _opened(path)
    held = entry(register, "estimate", str(number))
    if held.state != DELETED:
        raise RecordsError(f"estimate {number} is on file, and needs no putting back.")
    mark_as(register, held, DRAFT, who=who)


def deleted_estimates(path: Path | None = None) -> dict[int, str]:
    """Return the deleted estimates: number → title, newest first."""
    from sqlalchemy import select  # noqa: PLC0415 - heavy: loaded when one is opened

    from meshcore.register.schema import heads  # noqa: PLC0415

    with _opened(path).reading() as connection:
        found = connection.execute(
            select(heads.c.number, heads.c.title)
            .where(heads.c.kind == "estimate", heads.c.state == DELETED)
            .order_by(heads.c.item.desc())
        ).all()
    return {int(one.number): one.title for one in found}


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
