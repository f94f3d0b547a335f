"""How a sender's lists are read: remembered, offered for the next list, and taken away."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import streamlit as st

from meshcore.lists.grids import ListError
from meshcore.lists.mapping import ListMapping
from meshcore_estimator.lists import source as lists
from meshcore_estimator.lists.source import Source
from meshcore_estimator.shared import senders, settling
from meshcore_estimator.shared.drafts import DraftsError
from meshcore_estimator.shared.files import TOML, written
from meshcore_estimator.shared.parts import NOTHING, aside

_NAME, _KNOWN, _SAID = "list_sender", "list_known_sender", "list_sender_said"
#: Sender that was forgotten last, so that it can be undone.
_FORGOTTEN = "list_sender_forgotten"


def offer(source: Source | None) -> None:
    """Offer to read the list as those of a sender whose headings it has."""
    known = _remembered()
    if source is None:
        _choose(known)
        return
    in_use = source.changes.mapping
    fitting = [name for name, mapping in known.items() if _fits(mapping, source)]
    if not fitting or any(known[name] == in_use for name in fitting):
        return
    with st.container(horizontal=True, vertical_alignment="center"):
        st.html(aside(f"These are the headings of lists from {', '.join(fitting)}."))
        for name in fitting:
            st.button(f"Read as lists of {name}", key=f"use_sender_{name}", on_click=_use,
                      args=(known[name],), icon=":material/person:")  # fmt: skip


def draw(source: Source) -> None:
    """Draw the fields that remember how this list is read."""
    known = _remembered()
    with st.container(horizontal=True, vertical_alignment="bottom"):
        name: str = st.text_input("Sender", key=_NAME, placeholder="e.g. Example Screens",
                                  autocomplete="off", width=240,
                                  persist_state="session").strip()  # fmt: skip
        st.button("Remember for this sender", key="remember_sender", icon=":material/bookmark:",
                  on_click=_remember, args=(source,), disabled=not name)  # fmt: skip
        st.download_button(
            "Mapping", lambda: written(".toml", source.read.report.mapping.save),
            file_name=f"{Path(source.name).stem}_mapping.toml", mime=TOML, on_click="ignore",
            icon=":material/download:", key="download_mapping",
        )  # fmt: skip
        _choose(known)
        if name in known:
            with st.popover("Forget this sender", icon=":material/delete:", key="forget_box"):
                st.html(aside(f"Forget how lists of {name} are read? It can be undone."))
                st.button("Forget", key="forget_sender", on_click=_forget, args=(name,))
        if gone := st.session_state.get(_FORGOTTEN, ""):
            st.button(f"Remember {gone} again", key="recall_sender", icon=":material/undo:",
                      on_click=_recall, args=(gone,))  # fmt: skip
    said = st.session_state.pop(_SAID, "")
    with st.container(key="said_sender"):
        st.html(aside(said) if said else NOTHING)


def _choose(known: Mapping[str, ListMapping]) -> None:
    """Draw a choice of the senders that are remembered, where there are any."""
    if known:
        settling.follow({_KNOWN: None})
        st.selectbox("Read as lists of", list(known), key=_KNOWN, placeholder="Choose a sender",
                     on_change=_use_chosen, width=240)  # fmt: skip


def _fits(mapping: ListMapping, source: Source) -> bool:
    """Whether every heading of a mapping is one of the list's."""
    own = {str(c.heading) for t in source.read.report.tables for c in t.columns}
    return {column.heading for column in mapping.columns} <= own


def _remembered() -> dict[str, ListMapping]:
    try:
        return senders.remembered()
    except (DraftsError, ListError) as error:
        st.session_state[_SAID] = f"No sender is remembered: {error}"
        return {}


def _use_chosen() -> None:
    name: str | None = st.session_state[_KNOWN]
    known = _remembered()
    if name in known:
        _use(known[name])


def _use(mapping: ListMapping) -> None:
    source, _ = lists.current()
    if source is not None:
        # A sender's sheets may be called by the month: one that is not here is not asked for.
        report = source.read.report
        here = {t.sheet for t in report.tables} | {one.name for one in report.left_sheets}
        mapping = replace(mapping, sheets=tuple(s for s in mapping.sheets if s in here))
    lists.change(replace(lists.changes_now(), mapping=mapping))


def _remember(source: Source) -> None:
    name: str = st.session_state[_NAME].strip()
    try:
        senders.remember(name, source.read.report.mapping)
    except DraftsError as error:
        st.session_state[_SAID] = f"Not remembered: {error}"
    else:
        st.session_state[_SAID] = f"Remembered how lists of {name} are read."


def _forget(name: str) -> None:
    try:
        senders.forget(name)
    except DraftsError as error:
        st.session_state[_SAID] = f"Not forgotten: {error}"
    else:
        st.session_state[_SAID] = f"How lists of {name} are read is forgotten."
        st.session_state[_FORGOTTEN] = name


def _recall(name: str) -> None:
    try:
        senders.recall(name)
    except DraftsError as error:
        st.session_state[_SAID] = f"Not remembered: {error}"
    else:
        st.session_state[_SAID] = f"Remembered again how lists of {name} are read."
        st.session_state[_FORGOTTEN] = ""
