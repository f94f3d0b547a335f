"""What a list says beside its lines: titles, sentences below it, headings of its sections."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from meshcore.arrays import IntArray
from meshcore.messages import Message, MessageLog
from meshcore.reading.columns import cell_texts
from meshcore.reading.tables.cells import FILE_ROW, column_under
from meshcore.reading.tables.headings import headings_of
from meshcore.reading.tables.remarks import trade_words
from meshcore.reading.tables.standing import line_standing
from meshcore.reading.tables.weighing import weighing_words
from meshcore.reading.texts import tidy
from meshcore.reading.unit_words import unit_of

#: As much of a text as a message shows [letters].
_SHOWN = 120
#: Remarks that are said whatever their words.
_ALWAYS = frozenset({"mark", "headings"})
#: How a text speaks of a line by its number, and how one begins that asks for something more
#: (common practice, no source).
_NUMBERED = (
    r"(?:line|pos|position|item|no|nr|zeile|posten|ligne|poste|art|línea|linea|partida)s?"
    r"\.?\s*(?:no\.?|nr\.?|n°|#)?\s*(?P<number>\d+[a-z]?)\b"
)
_LINE = re.compile(rf"\b{_NUMBERED}", re.IGNORECASE)
_ORDERS = re.compile(
    rf"{_NUMBERED}\s*[:;=–\-]|(?:plus|and|also|additionally|please also|zusätzlich|außerdem|sowie|"
    r"ferner|bitte auch|en plus|également|ainsi que|además|también|más)\b.*\d",
    re.IGNORECASE,
)


#: A number of days is a term of payment or of an offer, unless it says when cloth is wanted
#: (common practice, no source).
_DURATION = re.compile(
    r"\b\d{1,3}\s*(?:(?:working|calendar|net)\s+)?(?:days?|weeks?|wks?|months?|tagen?|tage|werktagen?"
    r"|wochen?|monaten?|monate|jours?|semaines?|mois|días?|dias?|semanas?|mes(?:es)?)\b",
    re.IGNORECASE,
)
_WANTED = re.compile(
    r"deliver|within|wanted|need|urgent|asap|lead|liefer|binnen|innerhalb|bis\b|livr|sous\b|délai"
    r"|entrega|plazo|antes",
    re.IGNORECASE,
)


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
    kind
        ``"section"`` over some lines, ``"title"`` over all, ``"below"`` them, ``"sheet"`` for its
        name; ``"mark"`` of one cell, which is always to be looked at; ``"headings"`` that are not
        known, under which nothing can be read.
    """

    where: str
    text: str
    lines: frozenset[object]
    kind: str = "title"


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
    names = _alloy_texts(table)
    numbers = _line_numbers(table)
    for remark in remarks:
        rows = np.array([n for n, label in enumerate(labels) if label in remark.lines], dtype=int)
        shown = remark.text if len(remark.text) <= _SHOWN else f"{remark.text[:_SHOWN]}…"
        if remark.kind in _ALWAYS:
            _say_always(remark, shown, rows, log)
            continue
        if remark.kind == "section":
            said = f"heads the section in which the line stands ({remark.where})."
            log.add(rows, Message("list", shown, said, "note", code="list.section"))
        if remark.kind == "below":
            rows = _spoken_of(remark.text, rows, numbers)
        _name_words(remark, shown, rows, alloys, alloy_of, names_alloy, names, log)


def _say_always(remark: ListRemark, shown: str, rows: IntArray, log: MessageLog) -> None:
    if remark.kind == "mark":
        said = f"stands {remark.where}: the line is priced as its cells say. Check it."
        log.add(rows, Message("list", shown, said, "review", code="list.marked_cell"))
        return
    said = (
        f"stands in {remark.where} like headings, and is not known: what stands below it cannot be "
        "read under the headings above. Say with a mapping what they mean, or write them as the "
        "first are written."
    )
    log.add(rows, Message("list", shown, said, code="list.headings_unknown"))


def _name_words(
    remark: ListRemark,
    shown: str,
    rows: IntArray,
    alloys: IntArray,
    alloy_of: Callable[[str], int | Message],
    names_alloy: Callable[[str], bool],
    names: Sequence[str],
    log: MessageLog,
) -> None:
    """Name what a text says of the trade, of amounts and of how lines stand."""
    found = _found(remark, names_alloy)
    meant = {word: alloy_of(word) for word in found if names_alloy(word)}
    is_order = remark.kind == "below" and _ORDERS.match(remark.text)
    is_unit = remark.kind == "sheet" and unit_of(remark.text, "length") is not None
    for alloy in np.unique(alloys[rows]).tolist():
        name = names[int(rows[alloys[rows] == alloy][0])]
        named = [
            word for word in found
            if word not in meant or (meant[word] != alloy and alloy_of(f"{word} {name}") != alloy)
        ]  # fmt: skip
        if not named and not is_order:
            continue
        words_named = ", ".join(f'"{word}"' for word in dict.fromkeys(named))
        said = (
            f"stands in {remark.where} and names {words_named}, which is not in the price "
            "beyond what the columns say. Write it in the columns of the lines it is for."
        )
        message = Message("list", shown, said, "review", code="list.remark_not_read")
        if is_unit:
            told = (
                f"stands in {remark.where}: bare numbers are read in the units of their headings, "
                "not in this."
            )
            message = Message("list", shown, told, "note", code="list.sheet_named_as_unit")
        if is_order:
            more = (
                f"stands in {remark.where} and asks for something more, as a line of the order "
                "would: it was not read and is not in the price. Write it as a line of the list."
            )
            message = Message("list", shown, more, "review", code="list.line_not_read")
        log.add(rows[alloys[rows] == alloy], message)


def _found(remark: ListRemark, names_alloy: Callable[[str], bool]) -> tuple[str, ...]:
    of_trade = trade_words(remark.text, names_alloy)
    if remark.kind == "sheet" and line_standing(remark.text)[0]:
        return (*of_trade, remark.text)
    in_a_title = remark.kind in ("title", "sheet")
    numbers = remark.kind in ("section", "below")
    text = remark.text
    if not _WANTED.search(text):
        text = _DURATION.sub(lambda m: " " * len(m[0]), text)
    every = dict.fromkeys((*of_trade, *weighing_words(text, numbers, remark.kind != "section")))
    if in_a_title and not every:
        return ()
    if not every and line_standing(remark.text)[0]:
        return (remark.text,)
    kept = [w for w in every if not any(w != other and w in other for other in every)]
    return tuple(sorted(kept, key=remark.text.find))


def _alloy_texts(table: pd.DataFrame) -> list[str]:
    """Return what each line names as its alloy; blank where no column does."""
    heading = headings_of(table).column.get("alloy")
    if heading is None:
        return [""] * len(table)
    return [tidy(text) for text in cell_texts(column_under(table, heading)).tolist()]


def _line_numbers(table: pd.DataFrame) -> list[str]:
    """Return what each line is numbered in its own column; blank where there is none."""
    heading = headings_of(table).column.get("line")
    if heading is None:
        return [""] * len(table)
    return [tidy(text) for text in cell_texts(column_under(table, heading)).tolist()]


def _spoken_of(text: str, rows: IntArray, numbers: Sequence[str]) -> IntArray:
    """Lines that a text below the list speaks of by number; all of them where it names none."""
    named = {m["number"] for m in _LINE.finditer(text)}
    own = np.array([row for row in rows.tolist() if numbers[row] in named], dtype=int)
    return own if len(own) and not _ORDERS.match(text) else rows
