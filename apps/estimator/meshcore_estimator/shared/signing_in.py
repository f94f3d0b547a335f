"""Signing in, where the server is set up for it: who is there, and whether they may come in."""

from __future__ import annotations

import streamlit as st
from streamlit.errors import StreamlitSecretNotFoundError

from meshcore_estimator.access import EMAIL, Access, AccessError, Claims, access_in_use, claims_of
from meshcore_estimator.shared.parts import aside, verbatim

#: Claims by which a person is called, the first that is told.
_CALLED = (EMAIL, "preferred_username", "name", "sub")


def is_due() -> bool:
    """Whether people sign in here: at a provider, or at a proxy before this server."""
    return by_provider() or bool(_proxy())


def by_provider() -> bool:
    """Whether people sign in by OpenID Connect: whether the server's secrets have ``[auth]``."""
    try:
        return "auth" in st.secrets
    except StreamlitSecretNotFoundError:
        return False


def access() -> Access | None:
    """Return the file of roles; one that admits nobody where it cannot be used."""
    try:
        return access_in_use()
    except AccessError:
        # What is wrong is told to whoever runs the server, by --check and as it starts.
        return Access(None, {}, {})


def _proxy() -> dict[str, str]:
    found = access()
    return dict(found.proxy) if found is not None else {}


def claims() -> Claims:
    """Return what the sign-in says of the person here; nothing where nobody has signed in."""
    if by_provider():
        return claims_of(st.user.to_dict()) if st.user.is_logged_in else {}
    # Only a program on this machine reaches a server behind a proxy; see `set_up`.
    if (proxy := _proxy()) and st.context.ip_address is None:
        told = {claim: st.context.headers.get(header, "") for claim, header in proxy.items()}
        return claims_of({
            claim: text if claim == EMAIL else [one.strip() for one in text.split(",")]
            for claim, text in told.items() if text
        })  # fmt: skip
    return {}


def is_signed_in() -> bool:
    """Whether it is known who is there."""
    return bool(claims())


def is_passed(is_admitted: bool) -> bool:
    """Whether the page may be shown; where it may not, say what to do.

    Parameters
    ----------
    is_admitted
        Whether the person has a role here.
    """
    if is_admitted:
        return True
    st.title("Estimator")
    if not is_signed_in():
        if by_provider():
            st.button("Sign in", on_click=st.login, type="primary", key="sign_in")
        else:
            st.html(aside("Nobody is signed in. Come by the address of the office's server.",
                          "refused"))  # fmt: skip
        return False
    st.html(aside(f"{signed_in_name()} may not use this estimator. Ask whoever runs it to name you "
                  "in its file of roles.", "refused"))  # fmt: skip
    sign_out_button()
    return False


def sign_out_button(role: str = "") -> None:
    """Say who is signed in, and draw the button that signs out; a proxy has its own."""
    if not is_due():
        return
    with st.container(horizontal=True, vertical_alignment="center", key="signed_in"):
        st.caption(f"Signed in: {verbatim(signed_in_name())}{f', {role}' if role else ''}")
        if by_provider():
            st.button("Sign out", on_click=st.logout, key="sign_out", icon=":material/logout:")


def signed_in_name() -> str:
    """Return who signed in; empty where nobody has to."""
    told = claims() if is_due() else {}
    return next((told[name][0] for name in _CALLED if told.get(name)), "")
