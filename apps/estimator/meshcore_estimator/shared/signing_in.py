"""Signing in, where the server is set up for it."""

from __future__ import annotations

import streamlit as st
from streamlit.errors import StreamlitSecretNotFoundError


def is_due() -> bool:
    """Whether people sign in here: whether the secrets of the server have ``[auth]``."""
    try:
        return "auth" in st.secrets
    except StreamlitSecretNotFoundError:
        return False


def is_passed() -> bool:
    """Whether the page may be shown; where it may not yet, offer to sign in."""
    if not is_due() or st.user.is_logged_in:
        return True
    st.title("Estimator")
    st.button("Sign in", on_click=st.login, type="primary")
    return False


def signed_in_name() -> str:
    """Return who signed in; empty where nobody has to."""
    if not is_due() or not st.user.is_logged_in:
        return ""
    return str(st.user.get("email") or st.user.get("name") or "")
