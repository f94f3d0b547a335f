"""What follows a quotation: order, labels, lengths delivered, bill."""

from __future__ import annotations

from datetime import date
from functools import partial
from io import BytesIO

import numpy as np
import pandas as pd
import streamlit as st

from meshcore.commands.on_file import counted
from meshcore.costing.money import from_minor, to_minor
from meshcore.documents.labels import Label, LabelSheet, label_pdf
from meshcore.documents.order_sheets import bill_sheet, difference_texts, order_sheet
from meshcore.documents.orders import Order
from meshcore.documents.printing import pdf
from meshcore.documents.sheet import Sheet
from meshcore.documents.wording import words
from meshcore.register.bills import billed_goods, file_bill
from meshcore.register.connecting import Register
from meshcore.register.deliveries import Delivery
from meshcore.register.delivery_files import ENDINGS, read_deliveries
from meshcore.register.entries import Entry, children
from meshcore.register.errors import RecordsError
from meshcore.register.labels import as_ordered, deliver, make_labels, measured, printable
from meshcore.register.order_lengths import delivered_texts, deliveries_for
from meshcore.register.orders import (
    CANCELLED,
    accept_order,
    cancel_order,
    draft_order,
    live_orders,
    ordered,
)
from meshcore.register.quotations import quoted
from meshcore_estimator.quotations import state
from meshcore_estimator.shared import settling
from meshcore_estimator.shared.parts import aside, table, verbatim
from meshcore_estimator.shared.roles import Deed, may

_BUYER, _DAY, _LENGTHS = "order_buyer", "order_day", "order_lengths"
_ANYWAY, _KEEP, _FAR_OFF = "order_anyway", "order_keep_prices", "order_far_off"
#: What a person fills in stands where no width of screen hides it; what was asked, behind.
_COLUMNS = ("line", "quoted", "ordered", "unit price", "offered", "asked")
_CANCEL, _INSTEAD = "order_cancel_reason", "order_instead"
#: How an order that differs from the quotation is priced.
_AS_LINES, _KEPT_PRICES = "Anew where the quantity differs", "Unit prices as quoted"
_ALL_ANEW = "All anew, as this order"
_PRICES = (_AS_LINES, _KEPT_PRICES, _ALL_ANEW)
#: Fields that are kept over a reload.
KEPT = (_BUYER, _LENGTHS, _CANCEL, _KEEP)
_PDF = "application/pdf"


def draw(register: Register, opened: Entry) -> None:
    """Draw the order against a quotation: the next one, or the one there is."""
    filed = children(register, opened, "order")
    if may(Deed.REGISTER) and not live_orders(register, opened):
        _take(register, opened)
    for one in filed:
        with st.container(key=f"order_{one.number}", border=True):
            _order(register, one)


def _take(register: Register, opened: Entry) -> None:
    st.markdown("**Order**")
    facts = quoted(opened)
    if not (facts.lines or facts.offers):
        return
    buyer, day = st.columns(2)
    number = buyer.text_input("Buyer's order", key=_BUYER, persist_state="session")
    dated: date = day.date_input("Of", key=_DAY, persist_state="session")
    shown = pd.DataFrame(
        [(line.label, line.asked, line.quantity, line.quantity, "") for line in facts.lines]
        + [(line.label, line.asked, line.quantity, 0, line.role) for line in facts.offers],
        columns=["line", "asked", "quoted", "ordered", "offered"],
    )
    units = [line.unit_minor for line in (*facts.lines, *facts.offers)]
    shown["unit price"] = from_minor(np.array(units, dtype=np.float64), facts.digits)
    edited = st.data_editor(
        shown,
        column_config={"unit price": st.column_config.NumberColumn(
            f"unit price {facts.currency}", format=f"%.{facts.digits}f",
            help="As the buyer's order has it, where it is other than quoted.")},
        disabled=("line", "asked", "quoted", "offered"), hide_index=True,
        column_order=_COLUMNS if facts.offers else [n for n in _COLUMNS if n != "offered"],
        key=f"order_lines_{opened.number}",
    )  # fmt: skip
    wanted = zip(edited["line"], edited["ordered"].fillna(0), strict=True)
    changed = {str(label): int(count) for label, count in wanted}
    written = to_minor(edited["unit price"].fillna(shown["unit price"]).to_numpy(), facts.digits)
    prices = {str(label): int(price) for label, price, unit
              in zip(edited["line"], written, units, strict=True) if price != unit}  # fmt: skip
    way = st.segmented_control("Prices", _PRICES, default=_AS_LINES, required=True, key=_KEEP,
                               persist_state="session", width="stretch", wrap=True)  # fmt: skip
    try:
        order = draft_order(opened, number, dated, changed, keep_prices=way == _KEPT_PRICES,
                            reprice=way == _ALL_ANEW, prices=prices)  # fmt: skip
    except RecordsError as error:
        st.html(aside(str(error), "refused"))
        return
    _differences(order)
    st.checkbox("Take it even if it is on file already, or the quotation does not hold",
                key=_ANYWAY)  # fmt: skip
    st.button("Accept the order", icon=":material/task_alt:", key="order_accept",
              disabled=not number.strip(), on_click=state.do,
              args=(partial(_accept, register, opened, order),))  # fmt: skip


def _differences(order: Order) -> None:
    told = difference_texts(words("en"), order.differences, order.currency, order.digits)
    for one in told:
        st.html(aside(one, "review"))


def _accept(register: Register, opened: Entry, order: Order) -> str:
    filed = accept_order(register, opened, order,
                         anyway=bool(st.session_state.get(_ANYWAY)))  # fmt: skip
    labels = make_labels(register, filed)
    return f"Order {filed.number} is on file, with {counted(len(labels), 'label')}."


def _order(register: Register, one: Entry) -> None:
    facts = ordered(one)
    st.markdown(f"**Order {one.number}** for {verbatim(facts.buyer_number)}")
    if one.state == CANCELLED:
        st.html(aside(f"Cancelled: {one.changes[-1].note}", "review"))
        return
    labels = (make_labels(register, one) if may(Deed.REGISTER)
              else children(register, one, "label"))  # fmt: skip
    with st.container(horizontal=True):
        st.download_button("Acknowledgement", lambda: pdf(order_sheet(facts)).content,
                           file_name=f"{one.number}.pdf", mime=_PDF, on_click="ignore",
                           icon=":material/download:", key=f"ack_{one.number}")  # fmt: skip
        shown = printable(one, labels)
        kinds: tuple[tuple[LabelSheet, str], ...] = (("single", "Labels"), ("a4", "Labels on A4"))
        for sheet, name in kinds:
            st.download_button(name, partial(_labels, shown, sheet, facts.language),
                               file_name=f"{one.number}_labels.pdf", mime=_PDF, on_click="ignore",
                               icon=":material/qr_code_2:",
                               key=f"labels_{sheet}_{one.number}")  # fmt: skip
    st.html(table(("Label", "Line", "Delivered"), [
        (label.number, label.body["line"], "; ".join(delivered_texts(facts, label)) or "–")
        for label in labels
    ]))  # fmt: skip
    if may(Deed.REGISTER):
        _note_lengths(register, one, labels)
    for bill in children(register, one, "bill"):
        _show_bill(bill, facts)
    if may(Deed.REGISTER) and not children(register, one, "bill"):
        _cancelling(register, one)


def _note_lengths(register: Register, one: Entry, labels: list[Entry]) -> None:
    st.text_input("Lengths delivered", key=_LENGTHS,
                  placeholder="as 3 x 100 ft; 98; R2026-000003: 12 pcs; all",
                  persist_state="session")  # fmt: skip
    st.file_uploader("Or a file of them", type=[ending[1:] for ending in ENDINGS],
                     key=_file_key(labels))  # fmt: skip
    st.checkbox("Note them even if one is far off what was ordered", key=_FAR_OFF)
    if any(measured(label) for label in labels):
        st.checkbox("In place of what these labels have and no bill has", key=_INSTEAD)
    with st.container(horizontal=True):
        st.button("Note the lengths", key="order_deliver", icon=":material/straighten:",
                  on_click=state.do, args=(partial(_deliver, register, one),))  # fmt: skip
        st.button("Bill what is delivered", key="order_bill", icon=":material/receipt_long:",
                  on_click=state.do, args=(partial(_bill, register, one),))  # fmt: skip


def _show_bill(bill: Entry, facts: Order) -> None:
    goods = billed_goods(bill)
    for item in goods:
        if not item.within:
            st.html(aside(f"{item.label} is outside the tolerance. Settle with the buyer "
                          "whether it is accepted.", "review"))  # fmt: skip
    printed = bill_sheet(facts, bill.number, date.fromisoformat(bill.head.day), goods)
    st.download_button(f"Bill {bill.number}", partial(_pdf, printed),
                       file_name=f"{bill.number}.pdf", mime=_PDF, on_click="ignore",
                       icon=":material/download:", key=f"bill_{bill.number}")  # fmt: skip


def _cancelling(register: Register, one: Entry) -> None:
    with st.expander("Cancel the order"):
        st.text_input("Why it is cancelled", key=_CANCEL)
        st.button("Cancel it", key="order_cancel", icon=":material/cancel:", on_click=state.do,
                  args=(partial(_cancel, register, one),))  # fmt: skip


def _cancel(register: Register, one: Entry) -> str:
    cancelled = cancel_order(register, one, str(st.session_state.get(_CANCEL, "")))
    return f"Order {cancelled.number} is cancelled."


def _labels(shown: list[Label], sheet: LabelSheet, language: str) -> bytes:
    return label_pdf(shown, sheet, language).content


def _pdf(sheet: Sheet) -> bytes:
    return pdf(sheet).content


def _file_key(labels: list[Entry]) -> str:
    """Name the field of a file by what is noted: once its lengths are, it is empty again."""
    return f"order_file_{labels[0].number}_{[label.version for label in labels]}"


def _given(one: Entry, labels: list[Entry]) -> list[Delivery]:
    typed = str(st.session_state[_LENGTHS]).strip()
    file = st.session_state.get(_file_key(labels))
    if typed and file is not None:
        raise RecordsError("lengths are typed and in a file. Leave one of them.")
    if file is not None:
        return read_deliveries(BytesIO(file.getvalue()), name=file.name)
    if typed.casefold() == "all":
        return as_ordered(ordered(one), labels)
    return deliveries_for(ordered(one), typed)


def _deliver(register: Register, one: Entry) -> str:
    given = _given(one, children(register, one, "label"))
    if not given:
        raise RecordsError("write the lengths delivered, such as 98 ft; 101 ft.")
    noted = deliver(register, one, given, anyway=bool(st.session_state.get(_FAR_OFF)),
                    instead=bool(st.session_state.get(_INSTEAD)))  # fmt: skip
    # What is to be taken back is said anew each time.
    settling.write({_LENGTHS: "", _INSTEAD: False})
    verb = "is" if len(given) == 1 else "are"
    return " ".join((f"{counted(len(given), 'length')} {verb} noted.", *noted.said))


def _bill(register: Register, one: Entry) -> str:
    filed, goods = file_bill(register, one)
    return f"Bill {filed.number} for {counted(len(goods), 'label')}."
