"""Estimates on file: saved, listed, and two of them side by side."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

import pandas as pd
import streamlit as st

from meshcore.costing.book.price_book import PriceBook, PriceBookError
from meshcore.costing.comparison import compare_books
from meshcore.costing.item_tables import compare_items
from meshcore.costing.money import minor_digits, money_text
from meshcore.enquiry import COLUMNS
from meshcore.register.records import (
    RecordsError,
    delete_estimate,
    deleted_estimates,
    estimate_changes,
    load_estimate,
    restore_estimate,
    saved_estimates,
)
from meshcore_estimator.shared import saving, side_by_side, who
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import LABELS, Cell, aside, book_name, lines, soft, table
from meshcore_estimator.shared.roles import Deed, need

#: Stands for the enquiry on the screen among the numbers of those on file.
_CURRENT = 0
#: Estimates on file that are listed on the screen, newest first.
_MOST_LISTED = 50


@dataclass(frozen=True, slots=True)
class Side:
    """One of two estimates to compare."""

    name: str
    enquiries: pd.DataFrame
    items: pd.DataFrame
    book: PriceBook


def draw(line: Line | None) -> None:
    """Draw the estimates on file.

    Parameters
    ----------
    line
        The enquiry on the screen, which may be saved and compared with the others.
    """
    saved = line if line is not None and line.estimates.ledger.priced[line.number] else None
    with st.container(key="save"):
        st.header("Estimates on file", anchor=False)
        if saved is not None:
            saving.ask(saved)
        saving.say()
    try:
        listed = saved_estimates()
    except RecordsError as error:
        st.html(aside(str(error), "refused"))
        return
    with st.container(key="saved"):
        _list(listed)
        _deleted()
    with st.container(key="compared"):
        _compare(saved, listed)


def _list(listed: pd.DataFrame) -> None:
    if listed.empty:
        st.html(aside("Nothing is on file yet."))
        return
    rows = [
        (
            lines(f"{row['id']}: {row['title']}", soft(row["note"]) if row["note"] else ""),
            str(row["saved_at"]).replace("T", " ").removesuffix("+00:00") + " UTC",
            lines(book_name(row["book_name"]), soft(row["book_date"])),
            money_text(row["price"], row["currency"], minor_digits(row["currency"])),
        )
        for row in listed.head(_MOST_LISTED).to_dict("records")
    ]
    headings = ("Title and note", "Saved", "Price book", "Price")
    st.html(table(headings, rows, numeric=(3,), wide=True))
    if len(listed) > _MOST_LISTED:
        st.caption(f"The newest {_MOST_LISTED} of {len(listed)}.")
    with st.popover("Take one off the file", icon=":material/delete:"):
        who.ask()
        names = _names(listed)
        gone = st.selectbox("Estimate", list(names), key="remove", format_func=_named(names))
        author = estimate_changes(gone)[0].who
        if author == who.name():
            st.html(aside(f"Take number {gone} off the file? It can be put back."))
        else:
            st.html(aside(f"Number {gone} was saved by {author}, who alone may take it off.",
                          "review"))  # fmt: skip
        st.button("Take it off", key="remove_estimate", on_click=_do, disabled=author != who.name(),
                  args=(delete_estimate, gone, "off the file. It can be put back"))  # fmt: skip


def _deleted() -> None:
    """Offer to put back what was taken off the file."""
    gone = deleted_estimates()
    if not gone:
        return
    with st.popover("Put one back", icon=":material/undo:", key="put_back_box"):
        names = {
            number: f"{number}: {title}, taken off by {estimate_changes(number)[-1].who}"
            for number, title in gone.items()
        }
        chosen = st.selectbox("Taken off", list(names), key="put_back_choice",
                              format_func=_named(names))  # fmt: skip
        st.button("Put it back", key="put_back_estimate", on_click=_do,
                  args=(restore_estimate, chosen, "on file again"))  # fmt: skip


def _do(deed: Callable[..., None], number: int, what: str) -> None:
    try:
        need(Deed.REGISTER)
        deed(number, who=who.name())
    except RecordsError as error:
        saving.note(str(error), "refused")
    else:
        saving.note(f"Number {number} is {what}.", "ok")


def _names(listed: pd.DataFrame) -> dict[int, str]:
    return {int(row["id"]): f"{row['id']}: {row['title']}" for row in listed.to_dict("records")}


def _named(names: Mapping[int, str]) -> Callable[[int], str]:
    return lambda number: names.get(number, str(number))


def _compare(line: Line | None, listed: pd.DataFrame) -> None:
    names = _names(listed)
    if line is not None:
        names = {_CURRENT: "The enquiry as it stands"} | names
    if len(names) <= 1:
        return
    st.header("Two estimates side by side", anchor=False)
    on_file = [number for number in names if number != _CURRENT]
    left, right = st.columns(2)
    chosen = [
        column.selectbox(label, list(names), index=list(names).index(start), key=f"compare_{label}",
                         format_func=_named(names))
        for column, label, start in (
            (left, "First", on_file[0]),
            (right, "Second", _CURRENT if line is not None else on_file[1]),
        )
    ]  # fmt: skip
    try:
        first, second = (_side(number, line) for number in chosen)
        compared = compare_items(first.items, second.items)
    except (RecordsError, PriceBookError, ValueError) as error:
        st.html(aside(f"No comparison: {error}", "review"))
        return
    currency = str(first.items["currency"].iloc[0])
    st.html(side_by_side.comparison(compared, currency, (first.name, second.name)))
    rows = [*_asked_otherwise(first, second), *_priced_otherwise(first, second)]
    if rows:
        st.html(table(("What differs", first.name, second.name), rows))
    else:
        st.caption("The same was asked, and priced with the same book.")


def _side(number: int, line: Line | None) -> Side:
    if number == _CURRENT and line is not None:
        estimates = line.estimates
        return Side("As it stands", estimates.enquiries, estimates.cost_items(), estimates.book)
    kept = load_estimate(number)
    return Side(f"No. {number}", kept.enquiries, kept.items, kept.book)


def _asked_otherwise(first: Side, second: Side) -> Iterator[tuple[Cell, ...]]:
    """Yield the cells in which two enquiries of one line differ."""
    if len(first.enquiries) != 1 or len(second.enquiries) != 1:
        return
    for name in COLUMNS:
        texts = [_cell(side.enquiries, name) for side in (first, second)]
        if texts[0] != texts[1]:
            yield LABELS.get(name, name.capitalize()), *(text or soft("blank") for text in texts)


def _cell(enquiries: pd.DataFrame, name: str) -> str:
    return str(enquiries[name].iloc[0]) if name in enquiries.columns else ""


def _priced_otherwise(first: Side, second: Side) -> Iterator[tuple[Cell, ...]]:
    for change in compare_books(first.book, second.book).to_dict("records"):
        what = lines(str(change["what"]), soft(f"price book, {change['table']}"))
        yield what, str(change["saved"]) or soft("not there"), str(change["edited"]) or soft("none")
