"""Colours of pictures on the page."""

from __future__ import annotations

import streamlit as st

from meshcore.weave.drawing.svg import Theme

#: Colours that stand on the light and on the dark page; ``style.css`` has them for the key.
COST, ADDED = "#3f8aa3", "#b98a3e"
#: Ink of words in a picture on a light and on a dark page; ``.streamlit/config.toml`` has them too.
_INK = {"light": "#18242a", "dark": "#e2eaed"}
_THEMES: dict[str | None, Theme] = {"light": "light", "dark": "dark"}


def ink() -> str:
    """Colour of words in a picture on the page as it is now."""
    return _INK[st.context.theme.type or "light"]


def theme(unknown: Theme = "system") -> Theme:
    """Theme of a drawing on the page as it is now; ``unknown`` before the browser has told it."""
    return _THEMES.get(st.context.theme.type, unknown)
