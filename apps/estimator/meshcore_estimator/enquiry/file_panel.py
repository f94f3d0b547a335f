"""Estimates on file, where the work is: saved, found, opened, and so priced again."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from meshcore.costing.book.price_book import PriceBookError
from meshcore.costing.money import minor_digits, money_text
from meshcore.register.records import RecordsError, load_estimate, saved_estimates
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.lists import origin
from meshcore_estimator.shared import saving, settings
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import aside
from meshcore_estimator.shared.pricing import estimate_list
from meshcore_estimator.shared.roles import Deed, may

_FIND, _CHOSEN = "file_find", "file_chosen"
#: Estimates to choose from, newest first.
_MOST = 50


def draw(line: Line | None) -> None:
    """Draw a box to save the enquiry's estimate in, and to open another from."""
    box = st.popover("On file", icon=":material/folder_open:", key="on_file", on_change="rerun")
    if not box.open:
        return
    with box:
        is_priced = line is not None and line.estimates.ledger.priced[line.number]
        if line is not None and is_priced and may(Deed.REGISTER):
            saving.ask(line, side_by_side=False)
        saving.say()
        try:
            listed = saved_estimates()
        except RecordsError as error:
            st.html(aside(str(error), "refused"))
            return
        _find(listed)


def _find(listed: pd.DataFrame) -> None:
    if listed.empty:
        st.html(aside("Nothing is on file yet."))
        return
    text = st.text_input("Find", key=_FIND, placeholder="Part of a title or note",
                         persist_state="session", live="500ms").strip()  # fmt: skip
    words = listed["id"].astype("str") + " " + listed["title"] + " " + listed["note"]
    found = listed[words.str.contains(text, case=False, regex=False)].head(_MOST)
    if found.empty:
        st.html(aside("Nothing on file agrees."))
        return
    names = {int(row["id"]): _name(row) for _, row in found.iterrows()}
    st.selectbox("Estimate", list(names), key=_CHOSEN, format_func=lambda n: names.get(n, str(n)))
    st.button("Open, and price again", icon=":material/edit_note:", key="file_open",
              on_click=_open, width="stretch")  # fmt: skip


def _name(row: pd.Series) -> str:
    price = money_text(row["price"], row["currency"], minor_digits(row["currency"]))
    return f"{row['id']}: {row['title']}, {price}"


def _open() -> None:
    """Put the enquiry of an estimate on file into the form; what was saved stays as it is."""
    number = int(st.session_state[_CHOSEN])
    try:
        kept = load_estimate(number)
    except (RecordsError, PriceBookError) as error:
        saving.note(str(error), "refused")
        return
    estimates = estimate_list(
        kept.enquiries.head(1), settings.price_book(), settings.supply_policy()
    )
    enquiry_form.fill(Line(estimates, estimates.table, 0))
    origin.forget()
    more = len(kept.enquiries) - 1
    rest = f" Its first line of {more + 1}; a list is opened on the page of lists." if more else ""
    saving.note(f"Number {number} is opened, and priced with the book of today.{rest}", "ok")
