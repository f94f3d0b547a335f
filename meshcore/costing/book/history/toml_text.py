"""A price book's TOML brought up to date cell by cell, so that its comments and order stay."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping, Sequence
from typing import TYPE_CHECKING, Any

from meshcore.costing.book.files import book_cells, from_toml
from meshcore.costing.book.history.pairing import paired
from meshcore.costing.book.history.sameness import is_same_book
from meshcore.costing.book.price_book import Exchange, PriceBook, Rate

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

#: Cells that differ in one row, by column; None where the cell is to be blank.
Changed = dict[str, Any]
#: Name under which a group of rates lists its rows.
_ROWS = "amounts"


def revised_toml(text: str, book: PriceBook) -> str:
    """Return a book's text with the cells of another state of it.

    Parameters
    ----------
    text
        TOML of the book as it was; it reads as a book.
    book
        What the text is to read as.

    Returns
    -------
    The text with what differs changed in place: comments, order and spacing stay. New rows stand
    after the others.

    Raises
    ------
    ValueError
        If the text is laid out so that it cannot be changed cell by cell.
    """
    import tomlkit  # noqa: PLC0415 - only where a book is saved
    from tomlkit.exceptions import TOMLKitError  # noqa: PLC0415

    before = from_toml(text, "the book as it was")
    try:
        document = tomlkit.parse(text)
        _revise_settings(document, before, book)
        _revise_exchange(document, before, book)
        _revise_rates(document, before, book)
        made = tomlkit.dumps(document)
    except (TOMLKitError, TypeError, KeyError, IndexError, AttributeError) as error:
        raise ValueError(f"the text cannot be changed cell by cell: {error}") from error
    if not is_same_book(from_toml(made, "the book as it is"), book):
        raise ValueError("the text cannot be changed cell by cell: it would read otherwise")
    return made


def exchange_name(entry: Exchange) -> tuple[str, str]:
    """Return what tells a rate of exchange from the others."""
    return entry.currency, entry.to


def rate_name(rate: Rate) -> tuple[object, ...]:
    """Return what tells a rate from the others."""
    return rate.key, rate.selectors, rate.valid_from


def changed_cells(before: Mapping[str, Any], after: Mapping[str, Any]) -> Changed:
    """Return the cells of a row that differ; None stands for a cell that is blank now."""
    columns = dict.fromkeys([*before, *after])
    return {name: after.get(name) for name in columns if before.get(name) != after.get(name)}


def _revise_settings(document: TOMLDocument, before: PriceBook, after: PriceBook) -> None:
    changed = changed_cells(book_cells(before)["book"][0], book_cells(after)["book"][0])
    settings: Any = document["book"]
    _put(settings, changed)


def _put(cells: MutableMapping[str, Any], changed: Changed) -> None:
    for column, value in changed.items():
        if value is not None:
            cells[column] = list(value) if isinstance(value, tuple) else value
        elif column in cells:
            del cells[column]


def _revise_exchange(document: TOMLDocument, before: PriceBook, after: PriceBook) -> None:
    stays, new = paired(before.exchange, after.exchange, exchange_name)
    cells, wanted = (book_cells(one)["exchange"] for one in (before, after))
    entries: Any = document.get("exchange", [])
    for place, to in stays.items():
        _put(entries[place], changed_cells(cells[place], wanted[to]))
    _remove(entries, [place for place in range(len(cells)) if place not in stays])
    _append(document, "exchange", [wanted[place] for place in new])


def _revise_rates(document: TOMLDocument, before: PriceBook, after: PriceBook) -> None:
    stays, new = paired(before.rates, after.rates, rate_name)
    cells, wanted = (book_cells(one)["rates"] for one in (before, after))
    groups: Any = document.get("rates", [])
    first, emptied = 0, []
    for number, group in enumerate(groups):
        count = len(group[_ROWS]) if _ROWS in group else 1
        places = range(first, first + count)
        changed = [changed_cells(cells[p], wanted[stays[p]]) if p in stays else None
                   for p in places]  # fmt: skip
        if all(one is None for one in changed):
            emptied.append(number)
        elif _ROWS in group:
            _revise_group(group, changed)
        else:
            _put(group, changed[0] or {})
        first += count
    _remove_groups(document, groups, emptied)
    _append(document, "rates", [wanted[place] for place in new])


def _revise_group(group: MutableMapping[str, Any], changed: Sequence[Changed | None]) -> None:
    """Change rows that share cells: what changes alike in all of them is changed once."""
    rows: Any = group[_ROWS]
    kept = [(row, cells) for row, cells in zip(rows, changed, strict=True) if cells is not None]
    for column in list(group):
        values = [cells.get(column) for row, cells in kept if column not in row]
        if len(values) == len(kept) and values[0] is not None and len(set(values)) == 1:
            group[column] = values[0]
            for _, cells in kept:
                del cells[column]
    for row, cells in kept:
        for column, value in cells.items():
            # A blank of its own is how one row does without a cell that the others share.
            blank = value is None and column in group
            _put(row, {column: "" if blank else value})
    _remove(rows, [place for place, cells in enumerate(changed) if cells is None])


def _remove(rows: Any, places: Sequence[int]) -> None:  # noqa: ANN401 - an array of tomlkit, of either kind
    for place in reversed(places):
        del rows[place]


def _remove_groups(document: TOMLDocument, groups: Any, places: Sequence[int]) -> None:  # noqa: ANN401 - an array of tomlkit, of either kind
    """Take groups out, and leave the remarks that stand between each and the next."""
    from tomlkit.items import AoT  # noqa: PLC0415

    if not isinstance(groups, AoT):
        _remove(groups, places)
        return
    for place in reversed(places):
        remarks = _remarks_after(groups[place])
        del groups[place]
        if place:
            groups[place - 1].value.body.extend(remarks)
        elif len(groups):
            own = _remarks_after(groups[0])
            groups[0].value.body.extend([*remarks, *own])
        else:
            for _, remark in remarks:
                document.add(remark)


def _remarks_after(group: Any) -> list[Any]:  # noqa: ANN401 - a table of tomlkit
    """Take out what follows the last cell: to tomlkit it is of the group, to people of the next."""
    body = group.value.body
    end = max(place for place, (name, _) in enumerate(body) if name is not None) + 1
    remarks = body[end:]
    del body[end:]
    return list(remarks)


def _append(document: TOMLDocument, name: str, rows: Sequence[Mapping[str, Any]]) -> None:
    import tomlkit  # noqa: PLC0415 - only where a book is saved
    from tomlkit.items import AoT  # noqa: PLC0415

    if not rows:
        return
    held: Any = document.get(name)
    if held is None or not len(held):
        if held is not None:
            del document[name]
        document[name] = tomlkit.aot()
        held = document[name]
    for row in rows:
        made = tomlkit.table() if isinstance(held, AoT) else tomlkit.inline_table()
        _put(made, dict(row))
        if isinstance(held, AoT) and len(held):
            held[-1].add(tomlkit.nl())
        held.append(made)
