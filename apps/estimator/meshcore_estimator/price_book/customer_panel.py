"""Terms of a customer, on whose file the estimates are made."""

from __future__ import annotations

import streamlit as st

from meshcore_estimator.shared import settings
from meshcore_estimator.shared.parts import aside

_UPLOAD, _PROBLEM = "customer_upload", "customer_problem"


def draw() -> None:
    """Draw whose terms are in use, and the way to others."""
    st.header("Customer terms", anchor=False)
    name = settings.customer_name()
    if name:
        st.html(aside(f"All is priced on the terms of {name}, beside the price book above.",
                      "review"))  # fmt: skip
        st.button("Price for anybody again", icon=":material/person_off:", key="customer_leave",
                  on_click=settings.leave_customer)  # fmt: skip
    else:
        st.html(aside("None: all is priced for anybody."))
    st.file_uploader(
        "Customer's terms, TOML", ["toml"], key=_UPLOAD, on_change=_read_upload,
        help="Discount, net prices, zone, destination, index: as for --customer. Used at once.",
    )  # fmt: skip
    problem: str | None = st.session_state.get(_PROBLEM) or settings.customer_problem()
    if problem:
        st.html(aside(f"Not used: {problem}", "refused"))


def _read_upload() -> None:
    given = st.session_state[_UPLOAD]
    st.session_state[_PROBLEM] = None
    if given is None:
        return
    try:
        settings.use_customer(given.getvalue().decode("utf-8-sig"), given.name)
    except (ValueError, UnicodeDecodeError) as error:
        st.session_state[_PROBLEM] = str(error)
