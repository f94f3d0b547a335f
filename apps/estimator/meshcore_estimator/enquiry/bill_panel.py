"""Bill of rolls by the lengths that were delivered."""

from __future__ import annotations

from functools import partial

import streamlit as st

from meshcore.costing.money import minor_digits, money_text
from meshcore.documents.printing import pdf, preview
from meshcore.documents.terms import TermsError
from meshcore.enquiry import ROLL
from meshcore.register.billing import Bill
from meshcore.register.entries import Entry, entry
from meshcore.register.errors import RecordsError
from meshcore.register.invoicing import bill_rolls
from meshcore.register.opening import open_register
from meshcore.register.roll_bills import file_roll_bill, roll_bill_sheet
from meshcore_estimator.quotations import state
from meshcore_estimator.shared import settling, who
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.numbers import converted, fixed, percent
from meshcore_estimator.shared.parts import Cell, aside, message_list, soft, table, tag
from meshcore_estimator.shared.roles import Deed, need

_DELIVERED, _TO, _ORDER = "bill_delivered", "bill_to", "bill_order"
_FILED, _SAID = "bill_filed", "bill_said"
#: Fields that are kept over a reload.
KEPT = (_DELIVERED, _TO, _ORDER, _FILED)
_PDF = "application/pdf"


def applies(line: Line) -> bool:
    """Whether there is anything to bill: a priced line of rolls."""
    return line.status != "refused" and int(line.estimates.orders.form[line.number]) == ROLL


def draw(line: Line) -> None:
    """Draw a field for the lengths delivered, the bill that they make, and the bill on file."""
    text = st.text_input(
        "Lengths delivered, roll by roll", key=_DELIVERED, persist_state="session",
        placeholder="e.g. 99 ft, 101.5 ft, 30.4 m", live="500ms", autocomplete="off",
        help="Each roll is billed for its own length, at the price quoted for a metre. Part the "
        "lengths by semicolons where a comma is your decimal sign.",
    )  # fmt: skip
    if text:
        _reckoned(line, text)
    _filed()


def _reckoned(line: Line, text: str) -> None:
    lengths = [length.strip() for length in text.split(";" if ";" in text else ",")]
    made = bill_rolls(line.estimates, lengths, line.number)
    if isinstance(made, tuple):
        st.html(message_list(made))
        return
    st.html(_table(made))
    if made.messages:
        st.html(message_list(made.messages))
    st.html(soft("At the price quoted, per metre of cloth as ordered.").html)
    left, right = st.columns(2)
    left.text_area("To", key=_TO, placeholder="Name and address, a line each", height=110,
                   persist_state="session")  # fmt: skip
    with right:
        st.text_input("Buyer's order", key=_ORDER, persist_state="session")
        who.ask()
    st.button("File the bill", key="bill_file", icon=":material/receipt_long:", type="primary",
              on_click=_file, args=(line, made))  # fmt: skip
    st.html(soft("It gets a number, stays in the register, and can be taken away below.").html)


def _file(line: Line, made: Bill) -> None:
    given = (str(st.session_state.get(key) or "") for key in (_TO, _ORDER))
    to, order = given
    try:
        need(Deed.REGISTER)
        filed = file_roll_bill(
            open_register(), line.estimates, made, line.number, terms=state.terms(), to=to,
            buyer_number=order, who=who.name(),
        )  # fmt: skip
    except (RecordsError, TermsError) as error:
        st.session_state[_SAID] = (str(error), "refused")
        return
    total = money_text(made.total, made.currency, minor_digits(made.currency))
    st.session_state[_SAID] = (f"Bill {filed.number} over {total} is on file.", "ok")
    st.session_state[_FILED] = filed.number
    # A second click would be a second bill of the same rolls.
    settling.write({_DELIVERED: ""})


def _filed() -> None:
    """Draw the bill that was filed last: its file, and how it prints."""
    if said := st.session_state.pop(_SAID, None):
        st.html(aside(*said))
    number = st.session_state.get(_FILED)
    if not number:
        return
    try:
        opened = entry(open_register(), "bill", str(number))
    except RecordsError as error:
        st.html(aside(str(error), "refused"))
        return
    sheet = roll_bill_sheet(opened)
    st.download_button(f"Bill {number}", partial(_content, opened), file_name=f"{number}.pdf",
                       mime=_PDF, on_click="ignore", icon=":material/download:",
                       key="bill_pdf")  # fmt: skip
    with st.container(key="bill_page", border=True):
        for image in preview(sheet):
            st.image(image, width="stretch", alt=f"Bill {number} as it prints")


def _content(opened: Entry) -> bytes:
    return pdf(roll_bill_sheet(opened)).content


def _table(made: Bill) -> str:
    digits = minor_digits(made.currency)
    rows: list[tuple[Cell, ...]] = [
        (
            str(number),
            _length(ordered),
            _length(delivered),
            percent(deviation, 2, signed=True),
            tag("within", "ok") if within else tag("outside", "review"),
            money_text(amount, "", digits).strip(),
        )
        for number, (ordered, delivered, deviation, within, amount) in enumerate(
            zip(made.ordered_m.tolist(), made.delivered_m.tolist(), made.deviation.tolist(),
                made.within.tolist(), made.amounts.tolist(), strict=True),
            start=1,
        )
    ]  # fmt: skip
    total = money_text(made.total, "", digits).strip()
    headings = ("Roll", "Ordered", "Delivered", "Deviation", "Tolerance",
                f"Amount [{made.currency}]")  # fmt: skip
    foot = (("Total", "", "", "", "", total),)
    return table(headings, rows, numeric=(1, 2, 3, 5), foot=foot)


def _length(metres: float) -> str:
    return f"{fixed(metres, 3, 'm')} ({fixed(converted(metres, 'm', 'foot'), 2, 'ft')})"
