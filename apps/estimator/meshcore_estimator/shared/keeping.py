"""The session's work, kept as a draft whose id stands in the page's address."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import streamlit as st

from meshcore_estimator.access import Deed
from meshcore_estimator.shared import drafts, settling, signing_in
from meshcore_estimator.shared.drafts import DraftsError, Hold
from meshcore_estimator.shared.parts import NOTHING, aside

#: Name of the draft's id in the address.
PARAMETER = "draft"
_HOLD, _KEPT, _SAID, _RUNS = "keeping_hold", "keeping_kept", "keeping_said", "keeping_runs"
_GIVEN_UP = (
    "The draft that this address names is not kept here any more. What you type now is kept anew."
)


@dataclass(frozen=True, slots=True)
class Part:
    """One thing that a session must not lose.

    Parameters
    ----------
    name
        What it is kept under.
    write
        Gives it as text; empty where there is nothing.
    restore
        Puts it back into a session that has nothing yet.
    of
        What a person must be allowed to for whom it is kept; None where it is everybody's.
    """

    name: str
    write: Callable[[], str]
    restore: Callable[[str], None]
    of: Deed | None = None


def restore(parts: Iterable[Part]) -> None:
    """Bring back the draft that the address names, once in a session."""
    st.session_state[_RUNS] = st.session_state.get(_RUNS, 0) + 1
    if _KEPT in st.session_state:
        return
    st.session_state[_KEPT] = None
    named = st.query_params.get(PARAMETER)
    if named is None:
        return
    try:
        resumed = drafts.resume(named, owner=signing_in.signed_in_name())
    except DraftsError as error:
        _say(error)
        return
    if resumed is None:
        del st.query_params[PARAMETER]
        st.session_state[_SAID] = _GIVEN_UP
        return
    hold, texts = resumed
    st.session_state[_HOLD], st.session_state[_KEPT] = hold, texts
    for part in parts:
        if text := texts.get(part.name):
            part.restore(text)


def keep(parts: Sequence[Part], is_drawn: bool) -> None:
    """Write what has changed since the last time.

    Parameters
    ----------
    parts
        All that is kept.
    is_drawn
        Whether the page is drawn to its end: what the first page then holds is what every
        session begins with, and is not kept.
    """
    texts = {part.name: part.write() for part in parts}
    kept: dict[str, str] | None = st.session_state[_KEPT]
    if kept is None and st.session_state[_RUNS] == 1:
        # Nobody has done anything yet. In a later run somebody may have, and broken off the first.
        st.session_state[_KEPT] = texts if is_drawn else None
        return
    kept = kept or {}
    changed = {name: text for name, text in texts.items() if kept.get(name, "") != text}
    if changed:
        try:
            _write(changed, texts)
        except DraftsError as error:
            _say(error)
        else:
            st.session_state[_KEPT] = texts
    hold: Hold | None = st.session_state.get(_HOLD)
    if hold is not None and st.query_params.get(PARAMETER) != hold.draft:
        st.query_params[PARAMETER] = hold.draft


def _write(changed: dict[str, str], texts: dict[str, str]) -> None:
    hold: Hold | None = st.session_state.get(_HOLD)
    if hold is not None and drafts.save(hold, changed):
        return
    # None yet, or somebody else opened the address: this session goes on under one of its own.
    hold = drafts.begin(owner=signing_in.signed_in_name())
    drafts.save(hold, texts)
    st.session_state[_HOLD] = hold


def _say(error: DraftsError) -> None:
    st.session_state[_SAID] = f"What you type is not kept over a reload: {error}"


def say() -> None:
    """Say what is wrong with keeping, in a place that is always there."""
    said = st.session_state.get(_SAID)
    st.html(aside(said, "review") if said else NOTHING)


def choices(name: str, keys: Sequence[str]) -> Part:
    """Return the part of fields that are held in the session under their own keys."""

    def write() -> str:
        held = {key: st.session_state[key] for key in keys if key in st.session_state}
        return json.dumps(held) if held else ""

    def put_back(text: str) -> None:
        settling.write({k: v for k, v in json.loads(text).items() if k not in st.session_state})

    return Part(name, write, put_back)
