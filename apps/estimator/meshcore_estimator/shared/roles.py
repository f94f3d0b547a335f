"""What the person at the page may see and do; asked on the server, each time."""

from __future__ import annotations

import streamlit as st

from meshcore.register.errors import RecordsError
from meshcore_estimator.access import KEEPER, VIEWER, Deed, Role
from meshcore_estimator.shared import signing_in

__all__ = ["Deed", "NotAllowedError", "begin_anew_where_changed", "may", "need", "role"]

_LAST = "role_of_last_run"


class NotAllowedError(RecordsError):
    """Something that the person at the page may not do."""


def role() -> Role | None:
    """Return the role of the person here; None where the person may not come in.

    Where nobody has to sign in, whoever reaches the server is trusted with all of it.
    """
    if not signing_in.is_due():
        return KEEPER
    if not signing_in.is_signed_in():
        return None
    access = signing_in.access()
    # Without a file of roles, to know a person is no reason to trust them with costs.
    return access.role_of(signing_in.claims()) if access is not None else VIEWER


def begin_anew_where_changed(now: Role) -> None:
    """Forget all that a page holds where the person's role is another one: it may hold costs.

    What was typed comes back from the draft.
    """
    if st.session_state.get(_LAST, now.name) != now.name:
        st.session_state.clear()
    st.session_state[_LAST] = now.name


def may(deed: Deed) -> bool:
    """Whether the person here may do something."""
    held = role()
    return held is not None and deed in held.may


def need(deed: Deed) -> None:
    """Stop what the person here may not do, whatever the page offered.

    Raises
    ------
    NotAllowedError
        If they may not.
    """
    if not may(deed):
        who = signing_in.signed_in_name() or "whoever is here"
        raise NotAllowedError(f"{who} may not {deed.value}. Ask whoever runs the estimator.")
