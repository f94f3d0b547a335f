"""What the page is at: the quotation chosen, what was last said, and the mill's terms."""

from __future__ import annotations

import os
from collections.abc import Callable

import streamlit as st

from meshcore.demo import demo_data, is_demo
from meshcore.documents.terms import Terms, TermsError, default_terms, read_terms
from meshcore.register.errors import RecordsError
from meshcore_estimator.set_up import TERMS_VARIABLE
from meshcore_estimator.shared import watching
from meshcore_estimator.shared.parts import NOTHING, aside
from meshcore_estimator.shared.roles import Deed, need

CHOSEN, _SAID = "quotation_chosen", "quotation_said"


def terms() -> Terms:
    """Return the mill's terms in use.

    Raises
    ------
    TermsError
        If the file that ``MESHCORE_TERMS`` names cannot be read.
    """
    if named := os.environ.get(TERMS_VARIABLE):
        return read_terms(named)
    return read_terms(demo_data() / "terms.toml") if is_demo() else default_terms()


def chosen() -> str:
    """Return the number of the quotation that is looked at; empty where there is none."""
    return str(st.session_state.get(CHOSEN, ""))


def choose(number: str) -> None:
    """Look at a quotation from now on."""
    st.session_state[CHOSEN] = number


def do(deed: Callable[[], str]) -> None:
    """Do something with the register, and say what came of it when the page is drawn."""
    try:
        need(Deed.REGISTER)
        said = deed()
        watching.note("register", said=said)
        st.session_state[_SAID] = (said, "ok")
    except (RecordsError, TermsError) as error:
        st.session_state[_SAID] = (str(error), "refused")


def say() -> None:
    """Say what came of the last deed."""
    said = st.session_state.get(_SAID)
    st.html(aside(*said) if said else NOTHING)
