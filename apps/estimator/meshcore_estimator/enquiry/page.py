"""One enquiry: what is asked on the left, the estimate on the right."""

from __future__ import annotations

from functools import partial

import streamlit as st

from meshcore.costing.money import minor_digits, money_text
from meshcore.estimates.set_prices import price_set
from meshcore.lists.workbook import workbook_bytes
from meshcore.messages import Message
from meshcore_estimator.enquiry import answer, file_panel, form_fields, options_panel
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.lists import origin
from meshcore_estimator.shared import breakdown, current, question_panel, result, settings, settling
from meshcore_estimator.shared.files import XLSX
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import aside, status_word, tag
from meshcore_estimator.shared.provenance import made_from
from meshcore_estimator.shared.roles import Deed, may


def page() -> None:
    """Draw the page."""
    current.start()
    line = current.line()
    asking, answering = st.columns([5, 12], gap="large")
    with asking, st.container(key="enquiry_form", gap="small"):
        in_form = _ask(line)
    enquiry_form.keep()
    settling.taken()
    with answering, st.container(key="estimate"):
        if line is None:
            file_panel.draw(None)
            _invite()
        else:
            _answer(line, in_form)


def _ask(line: Line | None) -> frozenset[str]:
    notes: dict[str, list[Message]] = {}
    for message in result.gravest(line, line.messages) if line else ():
        notes.setdefault(message.field, []).append(message)
    completed = result.completed(line) if line else {}
    return form_fields.draw(notes, completed, settings.supply_policy())


def _invite() -> None:
    st.html(
        aside(
            "Give any two of mesh count, wire diameter, aperture, pitch and open area, an alloy, "
            "and how the cloth is to be supplied. Write sizes with their units, as they stand in "
            'the enquiry: 0.025 in, 3/4", 1.6 mm, 25 µm, 16 SWG, 10 / in.'
        )
    )


def _answer(line: Line, in_form: frozenset[str]) -> None:
    with st.container(horizontal=True, vertical_alignment="center", key="answer_title"):
        with st.container(key="status", width="stretch"):
            st.html(result.title(line))
        options_panel.button()
        origin.button()
        st.download_button(
            "Workbook",
            partial(_workbook, line),
            file_name="estimate.xlsx",
            mime=XLSX,
            icon=":material/download:",
            on_click="ignore",
            key="download_workbook",
        )
        file_panel.draw(line)
    origin.draw()
    with st.container(key="headline"):
        result.headline(line)
        with st.container(key="price_set"):
            _set_price(line)
        breakdown.priced_with(line.estimates)
    with st.container(key="options"):
        options_panel.draw()
    with st.container(key="messages"):
        result.messages(line, in_form)
    answer.draw(line, lambda: question_panel.of(line.estimates), in_form=True)
    with st.container(key="basis"):
        breakdown.basis(line.estimates)
    _price_bar(line)


def _set_price(line: Line) -> None:
    """Say what a price or margin that is tried comes to; for the mill's eyes."""
    held = price_set(line.estimates, line.number) if may(Deed.COSTS) else None
    if held is not None:
        st.html(aside(held.text(), "review" if held.is_below_cost else ""))


def _workbook(line: Line) -> bytes:
    book = line.estimates.book
    return workbook_bytes(line.estimates, made_from(f"the enquiry {result.subject(line)}", book))


def _price_bar(line: Line) -> None:
    currency = str(line["currency"])
    amount = money_text(float(line["price"]), currency, minor_digits(currency))
    with st.container(key="price_bar"):
        st.html(
            f'<div class="mc-bar"><b>{amount}</b>'
            f"{tag(status_word(line.status), line.status).html}</div>"
        )
