"""The letter in hand: its text, and what a person mended in the lines read from it."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

import pandas as pd
import streamlit as st

from meshcore.estimates.letters import mended
from meshcore.reading.letters.letter import Letter, read_text_of_letter
from meshcore.reading.letters.open import LetterError, open_letter
from meshcore_estimator.shared import settling

#: The field that the letter is typed or pasted into; what is there is kept over other pages.
FIELD = "letter_typed"
_TEXT, _READ, _MENDED, _PROBLEM = "letter_text", "letter_read", "letter_mended", "letter_problem"
Row = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Mended:
    """One line as it was read, and what was written over it.

    It holds only while the line is still read so: another text may have another line there.
    """

    was: Row
    cells: Row


@dataclass(frozen=True, slots=True)
class Changes:
    """All that a person changed: lines mended, added and taken out."""

    lines: Mapping[str, Mended] = field(default_factory=dict)
    added: tuple[Row, ...] = ()
    left_out: Mapping[str, Row] = field(default_factory=dict)


def text() -> str:
    """Return the letter's text."""
    return str(st.session_state.get(_TEXT, ""))


def give(words: str) -> None:
    """Take another letter in hand; to be called before the field is drawn, or in a callback."""
    st.session_state[_TEXT] = words
    settling.write({FIELD: words})
    st.session_state[_PROBLEM] = ""
    st.session_state.pop(_MENDED, None)


def offer_again() -> None:
    """Put the text into the field where that is new on the page; before the field is drawn."""
    if FIELD not in st.session_state:
        settling.write({FIELD: text()})


def keep_typed(typed: str) -> None:
    """Take what stands in the field; mended lines hold where they are still read as they were."""
    if typed != text():
        st.session_state[_TEXT] = typed
        st.session_state[_PROBLEM] = ""


def give_file(name: str, content: bytes) -> None:
    """Take the text of a file in hand; a file that cannot be read is said, and changes nothing."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"letter{Path(name).suffix}"
        path.write_bytes(content)
        try:
            words = open_letter(path)
        except LetterError as error:
            # Where the server laid the file is nobody's business.
            st.session_state[_PROBLEM] = str(error).replace(str(path), name)
            return
    give(words)


def problem() -> str:
    """Return what is wrong with the file given last; empty where nothing is."""
    return str(st.session_state.get(_PROBLEM, ""))


def read() -> Letter:
    """Return the letter as it was read."""
    last: Letter | None = st.session_state.get(_READ)
    if last is None or last.text != text():
        last = st.session_state[_READ] = read_text_of_letter(text())
    return last


def changes() -> Changes:
    """Return what was changed in the letter's lines."""
    made: Changes = st.session_state.setdefault(_MENDED, Changes())
    return made


def change(made: Changes) -> None:
    """Change the letter's lines."""
    st.session_state[_MENDED] = made


def rows(letter: Letter) -> dict[str, Row]:
    """Return the lines as they were read, each by its number."""
    table = letter.lines.to_dict("records")
    texts = [{str(name): str(cell) for name, cell in row.items()} for row in table]
    return {row["line"]: row for row in texts}


def holding(letter: Letter, made: Changes) -> Changes:
    """Leave out changes of lines that are not read as they were when they were changed."""
    own = rows(letter)
    return replace(
        made,
        lines={n: one for n, one in made.lines.items() if own.get(n) == one.was},
        left_out={n: was for n, was in made.left_out.items() if own.get(n) == was},
    )


def current(letter: Letter, made: Changes) -> Letter:
    """Return the letter with its lines as they are to be priced."""
    if made == Changes():
        return letter
    columns = list(letter.lines.columns)
    kept = [
        {**row, **(made.lines[n].cells if n in made.lines else {})}
        for n, row in rows(letter).items()
        if n not in made.left_out
    ]
    order = next((row["order"] for row in rows(letter).values()), "1")
    kept += [{"order": order, **row} for row in made.added]
    lines = pd.DataFrame(kept, columns=columns, dtype=object).fillna("")
    return mended(letter, lines)


def to_text() -> str:
    """Return letter and changes as text, to be kept over a reload."""
    made: Changes | None = st.session_state.get(_MENDED)
    if not text() and made in (None, Changes()):
        return ""
    made = made or Changes()
    lines = {n: {"was": dict(one.was), "cells": dict(one.cells)} for n, one in made.lines.items()}
    kept = {
        "text": text(), "lines": lines, "added": [dict(row) for row in made.added],
        "left_out": {n: dict(row) for n, row in made.left_out.items()},
    }  # fmt: skip
    return json.dumps(kept)


def restore(kept: str) -> None:
    """Put back what `to_text` returned, into a session that has nothing yet."""
    held = json.loads(kept)
    give(held["text"])
    lines = {n: Mended(one["was"], one["cells"]) for n, one in held["lines"].items()}
    change(Changes(lines, tuple(held["added"]), held["left_out"]))
