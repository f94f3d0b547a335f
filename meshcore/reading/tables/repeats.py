"""Lines that say just what an earlier line says."""

from __future__ import annotations

import pandas as pd

from meshcore.messages import Message, MessageLog
from meshcore.reading.columns import cell_texts
from meshcore.reading.tables.cells import row_name
from meshcore.reading.tables.field_names import ORDER
from meshcore.reading.tables.headings import Headings, priced_from
from meshcore.reading.texts import tidy

#: Longer lists are not searched for repeated lines: they come from programs, not from people.
_SEARCHED_FOR_REPEATS = 20_000
#: Columns in which repeated lines may differ.
_LABELS = ("line", ORDER)


def note_repeats(table: pd.DataFrame, headings: Headings, log: MessageLog) -> None:
    """Say of a line that says just what an earlier line says, in every column, that it does."""
    if len(table) < 2:  # noqa: PLR2004 - one line repeats none
        return
    labels = {place for place, name in headings.doubled.items() if name in _LABELS}
    apart = {headings.column.get(name, "") for name in _LABELS}
    names = [str(c) for c in table.columns]
    own = [n for n, h in enumerate(names[: priced_from(names)]) if h not in apart]
    own = [n for n in own if n not in labels]
    if len(table) > _SEARCHED_FOR_REPEATS or not headings.column.keys() - {*_LABELS, "note"}:
        return
    first: dict[tuple[str, ...], int] = {}
    columns = []
    # What each line has of its own is most often the alloy.
    for place in sorted(own, key=lambda place: names[place] != headings.column.get("alloy")):
        texts = cell_texts(table.iloc[:, place])
        if _all_differ(texts.tolist()):
            return
        columns.append(texts)
    plain = {text: tidy(text).casefold() for column in columns for text in set(column.tolist())}
    for row, cells in enumerate(zip(*columns, strict=True)):
        key = tuple([plain[cell] for cell in cells])
        earlier = first.setdefault(key, row)
        if earlier != row and any(key):
            first_row, own_row = row_name(table, earlier), row_name(table, row)
            text = f"asks for the same as row {first_row}. Leave one out if it came twice."
            said = Message("line", own_row, text, "note", code="line.repeated")
            log.add([row], said)


def _all_differ(texts: list[str]) -> bool:
    """Whether no cell of a column says what another does, so that no line repeats one."""
    count = len(texts)
    return len(set(texts)) == count == len({tidy(text).casefold() for text in texts})
