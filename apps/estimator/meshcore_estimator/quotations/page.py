"""Quotations: from a price to what is sent, ordered, labelled, billed, and ordered again."""

from __future__ import annotations

import streamlit as st

from meshcore.costing.money import money_text
from meshcore.documents.terms import TermsError
from meshcore.register.connecting import Register, default_register
from meshcore.register.errors import MissingRegisterError, RecordsError
from meshcore.register.figures import figures
from meshcore.register.opening import open_register
from meshcore.register.quotations import STATES, about_to_lapse, lapse
from meshcore_estimator.quotations import detail, drafting, finding, repeat_panel, state
from meshcore_estimator.shared import saving
from meshcore_estimator.shared.numbers import NONE, percent
from meshcore_estimator.shared.parts import Bar, aside, bars
from meshcore_estimator.shared.parts import figures as figure_row
from meshcore_estimator.shared.roles import Deed, may

#: How soon a quotation is about to lapse [days]; our choice.
_SOON_DAYS = 7
#: What the value of open quotations is.
_OPEN = "sent, before tax; of a choice, the least"


def page() -> None:
    """Draw the page."""
    try:
        state.terms()
        register = open_register(create=False)
    except MissingRegisterError:
        # To look makes none: a name that is spelt wrong would pass for an empty register.
        with st.container(key="quotation_said_box"):
            state.say()
        name = saving.place_name(default_register())
        st.html(aside(f"Nothing is on file in {name} yet; the first thing saved makes it. Check "
                      "its name if that is a surprise.", "note"))  # fmt: skip
        with st.container(key="quotation_new"):
            _new()
        return
    except (RecordsError, TermsError) as error:
        st.html(aside(str(error), "refused"))
        return
    with st.container(key="quotation_said_box"):
        state.say()
        _lapse(register)
    with st.container(key="quotation_figures"):
        _figures(register)
    with st.container(key="quotation_new"):
        _new()
    with st.container(key="quotation_on_file"):
        finding.draw(register)
    with st.container(key="quotation_one"):
        detail.draw(register)
    if may(Deed.COSTS):
        with st.container(key="quotation_repeat"):
            repeat_panel.draw(register)
    st.caption(f"Kept in {saving.place_name(register.where)}.")


def _new() -> None:
    if may(Deed.REGISTER):
        drafting.draw()


def _lapse(register: Register) -> None:
    """Mark what holds no more; where nothing can be written, it is said and the page is drawn."""
    try:
        lapse(register)
    except RecordsError as error:
        st.html(aside(str(error), "refused"))


def _figures(register: Register) -> None:
    told = figures(register)
    if not told.counts:
        return
    soon = about_to_lapse(register, _SOON_DAYS)
    rate = NONE if told.hit_rate is None else percent(told.hit_rate, 0)
    cells = [("Hit rate", rate, "won of those decided")]
    cells += [
        (
            "Open",
            money_text(minor / 10.0**digits, currency),
            _OPEN,
        )
        for currency, (minor, digits) in told.open_minor.items()
    ]
    cells.append(("About to lapse", str(len(soon)), f"within {_SOON_DAYS} days"))
    st.html(figure_row(cells))
    for one in soon:
        st.html(aside(f"{one.number} for {one.sender or 'nobody named'} holds until "
                      f"{one.until}.", "review"))  # fmt: skip
    rows = [(name, told.counts.get(name, 0)) for name in STATES]
    with st.expander("How many are in each state", icon=":material/bar_chart:",
                     key="quotation_states"):  # fmt: skip
        st.html(bars([Bar(name.capitalize(), count, str(count), "cost") for name, count in rows],
                     "Quotations"))  # fmt: skip
