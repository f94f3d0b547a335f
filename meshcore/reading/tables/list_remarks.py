"""What a list says beside its lines: titles, sentences below it, headings of its sections."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from meshcore.arrays import IntArray
from meshcore.messages import Message, MessageLog
from meshcore.reading.tables.cells import FILE_ROW
from meshcore.reading.tables.remarks import trade_words

#: As much of a text as a message shows [letters].
_SHOWN = 120


@dataclass(frozen=True, slots=True)
class ListRemark:
    """A text of a list that is no line of it.

    Parameters
    ----------
    where
        Where it stands, in words.
    text
        What it says.
    lines
        Labels of the lines that it may concern, as in the table's index.
    is_section
        Whether it stands over the lines as the heading of a section.
    """

    where: str
    text: str
    lines: frozenset[object]
    is_section: bool = False


def note_list_remarks(
    table: pd.DataFrame,
    alloys: IntArray,
    alloy_of: Callable[[str], int | Message],
    names_alloy: Callable[[str], bool],
    log: MessageLog,
) -> None:
    """Name, on each line that it may concern, what a list says beside its lines.

    Parameters
    ----------
    table
        The list; one that was read from a file has its ``remarks``.
    alloys
        Alloy of each line, -1 where unknown: a title that names it says nothing more.
    alloy_of
        Alloy text to its index, or the refusal.
    names_alloy
        Whether a few words are the name of an alloy.
    log
        Receives what is said.
    """
    remarks: Sequence[ListRemark] = getattr(table, "remarks", None) or ()
    if not remarks or table.index.name != FILE_ROW:
        return
    labels = table.index.tolist()
    for remark in remarks:
        rows = np.array([n for n, label in enumerate(labels) if label in remark.lines], dtype=int)
        shown = remark.text if len(remark.text) <= _SHOWN else f"{remark.text[:_SHOWN]}…"
        if remark.is_section:
            said = f"heads the section in which the line stands ({remark.where})."
            log.add(rows, Message("list", shown, said, "note", code="list.section"))
        found = trade_words(remark.text, names_alloy)
        meant = {word: alloy_of(word) for word in found if names_alloy(word)}
        for alloy in np.unique(alloys[rows]).tolist():
            named = [word for word in found if word not in meant or meant[word] != alloy]
            if named:
                words_named = ", ".join(f'"{word}"' for word in dict.fromkeys(named))
                said = (
                    f"stands in {remark.where} and names {words_named}, which is not in the price "
                    "beyond what the columns say. Write it in the columns of the lines it is for."
                )
                message = Message("list", shown, said, "review", code="list.remark_not_read")
                log.add(rows[alloys[rows] == alloy], message)
