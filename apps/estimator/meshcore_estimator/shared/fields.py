"""Fields that are kept while they are not on the screen, and shown as kept when they are again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import streamlit as st

from meshcore_estimator.shared import navigation, settling

_GROUPS = "fields_groups"


@dataclass(slots=True)
class _Group:
    """Fields of one form, as a visit to a page has drawn them."""

    visit: int
    kept: Mapping[str, object]
    #: Those that the page has, and those that this run has drawn so far.
    drawn: set[str] = field(default_factory=set)
    now: set[str] = field(default_factory=set)


def restore(form: str, kept: Mapping[str, object]) -> None:
    """Bring back what is kept; to be called before any field of the form is drawn or read.

    Parameters
    ----------
    form
        Name of the form.
    kept
        Key of a field → its value when it was last on the screen.
    """
    groups: dict[str, _Group] = st.session_state.setdefault(_GROUPS, {})
    visit = navigation.visit()
    if form not in groups or groups[form].visit != visit:
        groups[form] = _Group(visit, kept)
    group = groups[form]
    group.kept, group.now = kept, set()
    for key, value in kept.items():
        if key not in group.drawn:
            # What is not on the screen has no other value than the one kept.
            st.session_state[key] = value
        elif key not in st.session_state:
            settling.write({key: value})


def write(form: str, values: Mapping[str, object]) -> None:
    """Put values into fields of a form, whether they are on the screen or not.

    To be called before the form is drawn, or in a callback; the caller keeps them as well.
    """
    groups: dict[str, _Group] = st.session_state.get(_GROUPS, {})
    drawn = groups[form].drawn if form in groups else set()
    if on_screen := {key: value for key, value in values.items() if key in drawn}:
        settling.write(on_screen)
    for key in values.keys() - drawn:
        st.session_state[key] = values[key]


def show(form: str, key: str) -> str:
    """Return the key of a field that is about to be drawn, with what is kept put into it.

    The field is to be drawn with ``persist_state="session"``. The page may show where a field is
    to stand before it has loaded what draws it; what is put into such a field is then sent with
    each run until the field has answered.
    """
    group: _Group = st.session_state[_GROUPS][form]
    group.now.add(key)
    if key not in group.drawn:
        group.drawn.add(key)
        if key in group.kept:
            settling.write({key: group.kept[key]})
    return key


def shown(form: str) -> dict[str, object]:
    """Return what the fields hold that this run has drawn; to be called after the last of them."""
    group: _Group = st.session_state[_GROUPS][form]
    group.drawn = set(group.now)
    return {key: st.session_state[key] for key in group.now if key in st.session_state}
