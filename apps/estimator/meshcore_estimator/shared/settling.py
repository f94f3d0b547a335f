"""What a person does and what the app has done with it, kept in step.

``settling.js`` numbers what it sends; the page says twice how far it is: when the fields' values
are taken, and when all that rests on them is drawn. A link waits for the first, a file for the
second.

The other way round, what the app writes into a field is sent once, and a run that the next one
breaks off may never reach the page: its fields would then stand empty there and be sent back
empty. So what is written is written again, until the page has said that it shows it.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from html import escape
from pathlib import Path
from urllib.parse import urlencode

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

#: What the page runs: the parts that it is made of, one after the other.
_SCRIPTS = ("standing.js", "under_hand.js", "settling.js")
_KEY, _PLACES, _KEEP = "settling", "settling_places", "settling_keep"
_SHOWN, _WRITTEN, _OPEN = "settling_shown", "settling_written", "settling_open"
_HANDS = "settling_hands"
#: What the page puts before the key of a field.
_MARK = "st-key-"
#: What a field sends that has only just been drawn: nothing, or an unticked box.
_FRESH: tuple[object, ...] = (None, "", [], False)
#: Letters of the longest text that is looked for in its field, rather than the field alone.
_MOST_SOUGHT = 20_000
#: Bytes of a token: enough that no two of a session are alike.
_TOKEN_BYTES = 6


@dataclass(frozen=True, slots=True)
class _Written:
    """A value put into a field, what stood there before, and the token of the writing."""

    value: object
    before: object
    token: str


def begin(keep: Callable[[bool], None]) -> None:
    """Make the places of the two marks; to be called first, at the head of the page.

    Parameters
    ----------
    keep
        Called before each mark with whether it is the last one, so that what is said to be taken
        is also kept.
    """
    with st.container(key="settling_marks"):
        component = st.components.v2.component(_KEY, js=_script())
        component(key=_KEY, on_asked_change=_nothing, on_typed_change=_take_typed)
        # The page writes here what it shows. A run of its own for that, as of a fragment, could
        # begin while the messages of the run before are under way: Streamlit drops them then.
        st.text_input("shown", key=_SHOWN, on_change="ignore")
        # And here how often a hand has changed a field, and which it has since the last answer.
        st.text_input("hands", key=_HANDS, on_change="ignore")
        # Boxes that stay, and marks put into them when they are due: a message that takes the
        # place of an earlier one is sent in its stead, ahead of all that was drawn meanwhile.
        st.session_state[_PLACES] = (st.container(), st.container())
    st.session_state[_KEEP] = keep
    _write_again()


def _script() -> str:
    parts = (Path(__file__).with_name(name) for name in _SCRIPTS)
    return "\n".join(part.read_text(encoding="utf-8") for part in parts)


def _hands() -> tuple[int, frozenset[str]]:
    """Return the number of the last change by a hand, and the keys that wait for an answer."""
    number, *names = (st.session_state.get(_HANDS) or "0").split()
    return int(number), frozenset(name.removeprefix(_MARK) for name in names)


def _nothing() -> None:
    """Take a change whose only use is the run that it brings about."""


def takes_new(key: str) -> str:
    """Return the key of a list to choose from that takes new entries; to be called as it is drawn.

    What is typed into such a list and left before its choices are there is dropped by it. The page
    then tells what was typed, and it is put into the field here.
    """
    st.session_state.setdefault(_OPEN, set()).add(key)
    return key


def _take_typed() -> None:
    told: Mapping[str, str] = st.session_state[_KEY]["typed"]
    key = told["key"].removeprefix(_MARK)
    if key in st.session_state.get(_OPEN, ()):
        write({key: told["text"]})


def write(values: Mapping[str, object]) -> None:
    """Put values into fields, and again in each run until the page shows them.

    To be called before the fields are drawn, or in a callback.

    Parameters
    ----------
    values
        Key of a field → what to write there.
    """
    token = secrets.token_hex(_TOKEN_BYTES)
    written: dict[str, _Written] = st.session_state.setdefault(_WRITTEN, {})
    for key, value in values.items():
        # Taken out, so that the order of the keys is the order of the writings.
        earlier = written.pop(key, None)
        before = earlier.before if earlier else st.session_state.get(key)
        written[key] = _Written(value, before, token)
        st.session_state[key] = value


def follow(values: Mapping[str, object]) -> None:
    """Put into fields what follows from elsewhere, where they hold something else.

    To be called right before the fields are drawn, in every run.

    Parameters
    ----------
    values
        Key of a field → what it is to hold.
    """
    held = st.session_state
    if other := {k: v for k, v in values.items() if k not in held or held[k] != v}:
        write(other)


def is_meant(key: str, drawn_as: object = None) -> bool:
    """Whether a change of a field is a person's, and not of a field that was only just drawn.

    To be asked by the field's callback before it changes anything. A box that was just drawn is
    sent as unticked, and a choice as blank or the first one, where something else is sent before
    the page has come to show what was written there; the next run writes that again.

    Parameters
    ----------
    key
        Of the field.
    drawn_as
        What it holds at first, if it is not blank or unticked.
    """
    _forget_shown()
    is_shown = key not in st.session_state[_WRITTEN]
    return is_shown or st.session_state.get(key) not in (*_FRESH, drawn_as)


def _forget_shown() -> None:
    written: dict[str, _Written] = st.session_state.setdefault(_WRITTEN, {})
    shown = st.session_state.get(_SHOWN)
    tokens = [one.token for one in written.values()]
    if shown in tokens:
        last = len(tokens) - 1 - tokens[::-1].index(shown)
        for key in list(written)[: last + 1]:
            del written[key]


def _write_again() -> None:
    """Write what the page does not show yet; what was typed over it stands."""
    _forget_shown()
    written: dict[str, _Written] = st.session_state[_WRITTEN]
    _, under_hand = _hands()
    for key, one in list(written.items()):
        stands = st.session_state.get(key)
        if key not in under_hand and stands in (one.value, one.before, *_FRESH):
            st.session_state[key] = one.value
        else:
            del written[key]


def taken() -> None:
    """Say that every field's value is kept: the page may be left."""
    _mark(0, "taken")


def done() -> None:
    """Say that all that rests on the fields is drawn."""
    _mark(1, "done")


def _mark(place: int, name: str) -> None:
    places: tuple[DeltaGenerator, DeltaGenerator] | None = st.session_state.get(_PLACES)
    if places is not None:
        st.session_state[_KEEP](name == "done")
        written: dict[str, _Written] = st.session_state[_WRITTEN]
        token = f' data-written="{list(written.values())[-1].token}"' if written else ""
        token += f' data-shows="{escape(_to_show(written))}"' if written else ""
        token += f' data-address="{escape(address)}"' if (address := _address()) else ""
        hands, _ = _hands()
        places[place].html(
            f'<div class="mc-{name}" data-asked="{_asked()}" data-hands="{hands}"{token}></div>'
        )


def _to_show(written: Mapping[str, _Written]) -> str:
    """Return what the page is to look for in its fields: each one's text, or null for a choice."""
    texts = {
        key: one.value if isinstance(one.value, str) and len(one.value) <= _MOST_SOUGHT else None
        for key, one in written.items()
    }
    return json.dumps(texts)


def _address() -> str:
    """Return what the address is to bear; the page sees to it that it does."""
    return urlencode(st.query_params.to_dict())


def _asked() -> int:
    """Return the number of the latest message from the page."""
    state = st.session_state.get(_KEY)
    return int(state["asked"] or 0) if state else 0
