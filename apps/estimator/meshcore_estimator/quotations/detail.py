"""One quotation: the page as it will print, its files, and what becomes of it."""

from __future__ import annotations

from functools import partial

import streamlit as st

from meshcore.documents.facts import Quotation
from meshcore.documents.plain_data import to_data
from meshcore.documents.printing import missing_text, pdf, preview, text
from meshcore.documents.sheet import Sheet, quotation_sheet
from meshcore.documents.typesetting import is_beyond_latin
from meshcore.documents.workbook import workbook
from meshcore.register.connecting import Register
from meshcore.register.entries import Entry, entry
from meshcore.register.orders import live_orders
from meshcore.register.quotations import NEXT, confirm_lines, mark_quotation, quoted
from meshcore_estimator.quotations import order, state
from meshcore_estimator.shared.files import XLSX
from meshcore_estimator.shared.parts import aside, soft, table, verbatim
from meshcore_estimator.shared.roles import Deed, may

_REASON = "quotation_reason"
#: Fields that are kept over a reload.
KEPT = (_REASON, *order.KEPT)
_DEEDS = {
    "sent": ("Mark as sent", ":material/send:"),
    "won": ("Won", ":material/check_circle:"),
    "lost": ("Lost", ":material/cancel:"),
}
_PDF = "application/pdf"


def draw(register: Register) -> None:
    """Draw the quotation that is chosen."""
    number = state.chosen()
    if not number:
        return
    opened = entry(register, "quotation", number)
    facts = quoted(opened)
    sheet = quotation_sheet(facts)
    st.header(f"{sheet.title} {sheet.number}", anchor=False)
    st.caption(f"{opened.state} · {verbatim(facts.to.name) or 'no addressee'} · holds until "
               f"{facts.valid_until:%Y-%m-%d}")  # fmt: skip
    page, side = st.columns([3, 2], gap="large")
    with page, st.container(key="quotation_page", border=True):
        for image in preview(sheet):
            st.image(image, width="stretch")
    with side:
        _open_points(register, opened)
        _files(number, sheet)
        if may(Deed.REGISTER):
            _deeds(register, opened)
        if opened.state != "draft":
            order.draw(register, opened)
        with st.expander("What was done"):
            st.html(table(("When (UTC)", "What", "Who"), [
                (f"{c.at:%Y-%m-%d %H:%M}", f"{c.what} {c.note}".strip(), soft(c.who))
                for c in opened.changes
            ]))  # fmt: skip


def _open_points(register: Register, opened: Entry) -> None:
    """Tell what is open; a draft's lines can be confirmed, and then no longer say so."""
    facts = quoted(opened)
    said = missing_text(pdf(quotation_sheet(facts)).missing) if _is_rare(facts) else ""
    if said:
        st.html(aside(said, "review"))
    if facts.sample:
        st.html(aside("The prices are of an invented price book; the quotation says so.", "review"))
    doubtful = [line for line in facts.lines if line.to_confirm]
    for line in facts.lines:
        for missing in line.not_included:
            st.html(aside(f"Line {line.label}: not in the price, and told so: {missing}", "review"))
        for doubt in line.to_confirm:
            read = f", read “{doubt.read}”" if doubt.read else ""
            st.html(aside(f"Line {line.label}: still to be confirmed, and told so: "
                          f"{doubt.field}{read}", "review"))  # fmt: skip
        if line.late:
            st.html(aside(f"Line {line.label}: wanted by {line.wanted_by}, before the lead time "
                          "is over.", "review"))  # fmt: skip
    if doubtful and opened.state == "draft" and may(Deed.REGISTER):
        settled = st.multiselect("Settled lines", [line.label for line in doubtful],
                                 key=f"quotation_settled_{opened.version}")  # fmt: skip
        st.button("Confirm these lines", key="quotation_confirm", icon=":material/check:",
                  disabled=not settled, on_click=state.do,
                  args=(partial(_confirm, register, opened, tuple(settled)),))  # fmt: skip


def _is_rare(facts: Quotation) -> bool:
    return is_beyond_latin(str(to_data(facts)))


def _confirm(register: Register, opened: Entry, labels: tuple[str, ...]) -> str:
    confirm_lines(register, opened, labels)
    return f"Lines {', '.join(labels)} are confirmed."


def _files(number: str, sheet: Sheet) -> None:
    with st.container(horizontal=True):
        st.download_button("PDF", lambda: pdf(sheet).content, file_name=f"{number}.pdf", mime=_PDF,
                           on_click="ignore", icon=":material/download:",
                           key="quotation_pdf")  # fmt: skip
        st.download_button("Workbook", lambda: workbook(sheet), file_name=f"{number}.xlsx",
                           mime=XLSX, on_click="ignore", icon=":material/download:",
                           key="quotation_xlsx")  # fmt: skip
        st.download_button("Text", text(sheet), file_name=f"{number}.txt", mime="text/plain",
                           on_click="ignore", icon=":material/download:",
                           key="quotation_txt")  # fmt: skip


def _deeds(register: Register, opened: Entry) -> None:
    """Draw what may become of the quotation now."""
    ordered = bool(live_orders(register, opened))
    able = [name for name in NEXT.get(opened.state, ())
            if name in _DEEDS and not (ordered and name == "lost")]  # fmt: skip
    if not able:
        return
    if "lost" in able:
        st.text_input("Why, if it is lost", key=_REASON, persist_state="session")
    with st.container(horizontal=True):
        for name in able:
            label, icon = _DEEDS[name]
            st.button(label, icon=icon, key=f"quotation_{name}", on_click=state.do,
                      args=(partial(_mark, register, opened, name),))  # fmt: skip
    if opened.state == "lapsed":
        st.html(aside("It holds no more. Sent again, it holds as it is printed.", "review"))


def _mark(register: Register, opened: Entry, name: str) -> str:
    reason = str(st.session_state.get(_REASON, "")) if name == "lost" else ""
    marked = mark_quotation(register, opened, name, reason)
    return f"{marked.number} is {marked.state}."
