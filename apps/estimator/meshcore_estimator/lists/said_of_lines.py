"""What is said of the lines of a list, written out; what many of them share is said once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import pandas as pd
import streamlit as st

from meshcore.estimates.results import EstimateSet
from meshcore.messages import Message
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import Cell, Markup, message_list, table, whole

#: Lines whose messages are written out on the screen.
_MOST_SPOKEN = 100
#: Lines from which a note that they share is told once for all of them.
_OFTEN = 4


def draw(
    estimates: EstimateSet,
    priced: pd.DataFrame,
    said: Mapping[int, Sequence[Message]],
    shown: Sequence[int],
) -> None:
    """Draw in full what is said of the lines shown.

    Parameters
    ----------
    estimates, priced
        The list, and its priced table.
    said
        Place of a line in the table → what is said of it, the gravest first.
    shown
        Places of the lines on the screen.
    """
    spoken = [number for number in shown if number in said]
    if not spoken:
        return
    st.header("What is said of these lines", anchor=False)
    common = shared_notes(said[number] for number in spoken)
    rows: list[tuple[Cell, ...]] = [
        (whole(f"{count} lines"), Markup(message_list([message])))
        for message, count in common.values()
    ]
    own = {
        number: messages
        for number in spoken
        if (messages := [m for m in said[number] if (m.field, m.text) not in common])
    }
    for number, messages in list(own.items())[:_MOST_SPOKEN]:
        rows.append((Line(estimates, priced, number).name, Markup(message_list(messages))))
    st.html(table(("Line", ""), rows))
    if len(own) > _MOST_SPOKEN:
        st.caption(f"The first {_MOST_SPOKEN} of {len(own)} lines; the workbook has all.")


def shared_notes(
    said: Iterable[Sequence[Message]],
) -> dict[tuple[str, str], tuple[Message, int]]:
    """Return the notes that many lines share, such as of a column that no price rests on.

    Returns
    -------
    Field and text → the note, without what was read on one line or another, and how many have it.
    What is refused or put to review stands with its line always.

    Examples
    --------
    >>> late = [[Message("due", f"week {n}", "not in the price.", "note")] for n in range(4)]
    >>> [(str(note), count) for note, count in shared_notes(late).values()]
    [('due: blank — not in the price.', 4)]
    >>> shared_notes(late[:3])
    {}
    """
    notes = [m for messages in said for m in messages if m.severity == "note"]
    counts = Counter((m.field, m.text) for m in notes)
    last = {(m.field, m.text): m for m in notes}
    return {
        key: (replace(note, read=""), counts[key])
        for key, note in last.items()
        if counts[key] >= _OFTEN
    }
