"""The use as it is typed: in words, or by its name and figures."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

import streamlit as st

from meshcore.alloys.records.registry import installed_registry
from meshcore.messages import Message
from meshcore.reading.uses import USES
from meshcore.uses.catalogue import STATEMENTS, read_use
from meshcore.uses.figures import Figure
from meshcore.uses.sentences.reading import read_sentence
from meshcore.uses.statement import Statement
from meshcore_estimator.shared import fields, settling
from meshcore_estimator.shared.parts import LABELS, NOTHING, aside, field_notes, lines, soft

#: Every field of the form is kept in the session under its own name after this.
_KEY = "by_use_"
_KEPT, _UNREAD, _TOLD = "by_use_kept", "use_words_unread", "use_words_told"
#: Pause in typing after which a field is read.
_PAUSE = "500ms"
_FIRST = {_KEY + "use": USES[0], _KEY + "alloy": None, _KEY + "words": ""}


def restore() -> None:
    """Bring back what was typed before the user looked at another page."""
    fields.restore(_KEY, st.session_state.setdefault(_KEPT, dict(_FIRST)))


def keep() -> None:
    """Remember what is typed; the session forgets fields that are not on the screen."""
    st.session_state[_KEPT].update(fields.shown(_KEY))


def to_text() -> str:
    """Return what is typed as text, to be kept over a reload."""
    kept = st.session_state.get(_KEPT)
    return json.dumps(kept) if kept else ""


def from_text(text: str) -> None:
    """Put back what `to_text` returned, into a session that has nothing yet."""
    st.session_state[_KEPT] = json.loads(text)


def statement() -> Statement:
    """Use that is chosen."""
    return STATEMENTS.get(typed("use"), STATEMENTS[USES[0]])


def texts() -> dict[str, str]:
    """Return the figures of the use as typed."""
    chosen = statement()
    return {one.name: typed(_named(chosen, one)) for one in chosen.figures}


def typed(name: str) -> str:
    """Text of a field; of a choice, its name."""
    value = st.session_state.get(_KEY + name)
    return "" if value is None else str(value).strip()


def say(words: str) -> None:
    """Fill the form from a sentence; to be called before the form is drawn, or in a callback."""
    one = read_use(words) if words else None
    st.session_state[_TOLD] = ()
    st.session_state[_UNREAD] = one.text if isinstance(one, Message) else ""
    if not isinstance(one, Statement):
        return
    said = read_sentence(one, words)
    st.session_state[_TOLD] = tuple(f'"{told.read}": {told.text}' for told in said.told)
    values: dict[str, object] = {"words": words, "use": one.use, "alloy": said.alloy or None}
    values |= {_named(one, figure): said.figures.get(figure.name, "") or
               (None if figure.kind == "choice" else "") for figure in one.figures}  # fmt: skip
    written = {_KEY + name: value for name, value in values.items()}
    st.session_state.setdefault(_KEPT, dict(_FIRST)).update(written)
    fields.write(_KEY, written)


def draw(notes: Mapping[str, Sequence[Message]]) -> None:
    """Draw the form, and below each field what is said of it."""
    st.header("What is the cloth for?", anchor=False)
    st.text_area(
        "In the buyer's words", key=fields.show(_KEY, _KEY + "words"), persist_state="session",
        placeholder="e.g. for a vibrating screen, cutting at 6 mm", height=80,
    )  # fmt: skip
    st.button("Read these words", key="by_use_read", on_click=_read_words,
              icon=":material/short_text:")  # fmt: skip
    with st.container(key="said_use_words"):
        unread, told = st.session_state.get(_UNREAD), st.session_state.get(_TOLD, ())
        read = f"<div>{lines(*(soft(one) for one in told)).html}</div>" if told else NOTHING
        st.html(aside(unread, "review") if unread else read)
    st.selectbox(
        "Use", USES, key=fields.show(_KEY, _KEY + "use"), persist_state="session",
        format_func=lambda use: STATEMENTS[use].title,
    )  # fmt: skip
    chosen = statement()
    for one in chosen.figures:
        _figure(chosen, one)
        with st.container(key=f"said_{_named(chosen, one)}"):
            st.html(field_notes(notes.get(one.name, ()), {one.name: one.label}))
    st.selectbox(
        "Alloy", [alloy.designation for alloy in installed_registry().alloys],
        key=settling.takes_new(fields.show(_KEY, _KEY + "alloy")), persist_state="session",
        index=None, placeholder="the usual one for these figures", accept_new_options=True,
    )  # fmt: skip
    with st.container(key="said_alloy_of_use"):
        st.html(field_notes(notes.get("alloy", ()), {"alloy": "Alloy"}))


def fields_shown() -> frozenset[str]:
    """Return the fields that notes stand below: the figures of the chosen use, and the alloy."""
    return frozenset({"alloy", *(one.name for one in statement().figures)})


def label(name: str) -> str:
    """How a figure of the chosen use, or a column of an enquiry, is called on the page."""
    return {one.name: one.label for one in statement().figures}.get(name, LABELS.get(name, name))


def _read_words() -> None:
    say(typed("words"))


def _named(chosen: Statement, one: Figure) -> str:
    """Name of a figure's field: of each use its own, since examples and choices differ."""
    return f"{chosen.use}_{one.name}".replace(" ", "_")


def _figure(chosen: Statement, one: Figure) -> None:
    name = _named(chosen, one)
    label = one.label if one.needed else f"{one.label} (may be left out)"
    if one.kind == "choice":
        st.selectbox(
            label if not one.default else one.label, one.choices,
            key=fields.show(_KEY, _KEY + name), persist_state="session", index=None,
            placeholder=one.default or "Choose", help=one.note or None,
        )  # fmt: skip
        return
    st.text_input(
        label if not one.default else one.label, key=fields.show(_KEY, _KEY + name),
        persist_state="session", placeholder=one.default or f"e.g. {one.example}",
        help=one.note or None, live=_PAUSE, autocomplete="off",
    )  # fmt: skip
