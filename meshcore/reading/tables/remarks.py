"""What a remark or a column that is not read says of the order: named, never passed by."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np
import pandas as pd

from meshcore.enquiry import READ_LATER
from meshcore.messages import Message, Severity
from meshcore.reading.columns import cell_texts, different_texts
from meshcore.reading.tables.cells import Cells
from meshcore.reading.tables.heading_units import split_unit
from meshcore.reading.tables.heading_words import folded, folded_words
from meshcore.reading.tables.headings import priced_from
from meshcore.reading.tables.service_words import service_of
from meshcore.reading.tables.standing import line_standing
from meshcore.reading.tables.weighing import asks_nothing, weighing_words
from meshcore.reading.texts import is_blank, tidy
from meshcore.reading.vocabulary import fold, words

#: Longest name of an alloy or of anything else in the word files, in words [-].
_LONGEST = 4
_WORD = re.compile(r"[\w./&\-]*\w")
_AMOUNT = re.compile(
    r"(?<![\w.,])\d[\d.,]*\s*(?:mm|cm|m|µm|um|in|inch(?:es)?|ft|\"|'|%|kg|lbs?|m²|m2|sq ?ft|swg|"
    r"awg|mesh|rolls?|pcs|pieces|strips?|off|stk|stück|rollen|rouleaux|rollos)(?![\w])",
    re.IGNORECASE,
)
#: Words of one meaning in the trade and another outside it: alone they tell nothing.
_EVERYDAY = frozenset(
    {"form", "cut", "clean", "press", "plain", "square", "tape", "band", "piece", "pieces", "item",
     "pc", "pcs", "sheet", "sheets", "panel", "panels", "screen", "screens", "double", "lock", "ft",
     "ic", "dc", "tw", "lc", "kb", "lb", "disc", "discs", "blank", "coupe", "strip", "roll",
     "rolls", "rolle", "rollen", "rouleau", "rouleaux", "rollo", "rollos", "corte", "hoja", "liso",
     "glatt", "weave", "toile", "slit", "coil", "draht", "wire", "steel", "stahl",
     "eisen", "a4", "hex", "knit", "tapes", "bande", "bandes", "metres"}
)  # fmt: skip
#: Everyday words that name a size where a number stands beside them.
_SIZE_NAMES = frozenset({"draht", "wire", "tapes"})
_TOPICS = ("service", "weave", "other_goods", "form", "form_unclear", "weave_unclear",
           "priced_by_hand")  # fmt: skip
#: As many words of a remark are named [-].
_MOST_QUOTED = 12
#: A column of more different cells than this is named without them: a program made it [-].
_MOST_SHOWN = 500
#: What a column under a heading that is not read may do to the price: as it stands in the word
#: files, nothing, or nothing that is known; of all others it may.
_NOTHING, _PERHAPS = "nothing", "note"
_LABEL_TOPICS = ("label", "count_noun")
_NUMBER = re.compile(r"\d+(?:[.,/]\d+)*")
_PLAIN_WORD = re.compile(r"\d+(?:[.,/]\d+)*(?!\w)|[\w\-]*[^\W\d][\w\-]*")


def note_unread(
    cells: Cells, services: Mapping[str, str], names_alloy: Callable[[str], bool]
) -> None:
    """Name, line by line, every cell that was not used and may have a say in the price.

    Of a remark those words are named that the trade knows, and amounts. A cell under a heading
    that is not read is named whatever it holds, unless the heading asks for nothing: a buyer's
    name, a price.
    """
    note = cells.headings.column.get("note", "")
    names = [str(c) for c in cells.table.columns]
    unread = {h for h in cells.headings.unknown if not service_of(h, services)} - READ_LATER
    asking = words("line_wanted")
    for place, heading in enumerate(names[: priced_from(names)]):
        doubled = cells.headings.doubled.get(place, "")
        if heading == note or doubled == "note":
            _name_remarks(cells, place, names_alloy)
        elif doubled in ("line", "order") and "quantity" in cells.headings.column:
            _name_words(cells, place, heading, names_alloy)
        elif heading in unread or doubled in ("line", "order"):
            weight = bystanders().get(_plain(heading), "")
            if fold(heading.strip(" ?:")) in asking:  # a yes says nothing more, a no is said
                yes_or_no = {*words("yes"), *words("no")}
                texts = different_texts(cells.table.iloc[:, place])[1]
                weight = _NOTHING if {fold(t) for t in texts} - {""} <= yes_or_no else weight
            _name_words(cells, place, heading, names_alloy)
            if weight != _NOTHING:
                severity: Severity = "note" if weight == _PERHAPS else "review"
                _name_cells(cells, place, heading, severity, names_alloy)


def bystanders() -> Mapping[str, str]:
    """Return each folded heading of a column that asks for nothing, and how it is named."""
    return folded_words("heading_bystander")


def _plain(heading: str) -> str:
    name, unit, inside = split_unit(heading)
    own = bystanders()
    return next((n for n in (folded(heading), f"{name} {unit}", name) if n in own), name) or inside


def _cancels(text: str) -> bool:
    """Whether a cell says of its line that it is cancelled, for which the line is refused."""
    return line_standing(text) == ("cancelled", True)


def _name_remarks(cells: Cells, place: int, names_alloy: Callable[[str], bool]) -> None:
    """Name every remark: to review where it may change the order or doubt it, else as a note."""
    positions, unique = different_texts(cells.table.iloc[:, place])
    plain = []
    for number, cell in enumerate(unique):
        text = tidy(cell)
        if is_blank(text) or asks_nothing(text) or _cancels(text):
            continue
        found = remark_words(text, names_alloy)
        if found:
            said = (
                f"names {_quoted(found)}, which is not read here and not in the price beyond what "
                "the other columns say. Write it in its own column."
            )
            message = Message("note", text, said, "review", code="remark.not_read")
            cells.log.add(positions == number, message)
        else:
            plain.append(number)
    said = "not read, and not in the price."
    if len(plain) > _MOST_SHOWN:
        message = Message("note", "filled", said, "note", code="remark.unread")
        cells.log.add(np.isin(positions, plain), message)
        return
    for number in plain:
        message = Message("note", tidy(unique[number]), said, "note", code="remark.unread")
        cells.log.add(positions == number, message)


def remark_words(text: str, names_alloy: Callable[[str], bool]) -> tuple[str, ...]:
    """Return what a remark names of the trade, and the words that may change or doubt the line.

    Examples
    --------
    >>> remark_words("twice, weld seam needed", lambda name: False)
    ('twice', 'weld seam needed')
    """
    every = dict.fromkeys((*trade_words(text, names_alloy), *weighing_words(text)))
    kept = [w for w in every if not any(w != other and w in other for other in every)]
    return tuple(sorted(kept, key=text.find))


def _quoted(found: Sequence[str]) -> str:
    more = f" and {len(found) - _MOST_QUOTED} more" if len(found) > _MOST_QUOTED else ""
    return ", ".join(f'"{word}"' for word in found[:_MOST_QUOTED]) + more


def _name_words(cells: Cells, place: int, field: str, names_alloy: Callable[[str], bool]) -> None:
    """Name the words of the trade and the amounts of a column that is not read for them."""
    series = cells.table.iloc[:, place]
    if series.dtype.kind in "fiubM":
        return
    positions, unique = pd.factorize(cell_texts(series))
    for number, cell in enumerate(unique):
        text = tidy(str(cell))
        found = () if is_blank(text) else trade_words(text, names_alloy)
        if found:
            said = (
                f"names {_quoted(found)}, which is not read here and not in the price beyond what "
                "the other columns say. Write it in its own column."
            )
            message = Message(field, text, said, "review", code="remark.not_read")
            cells.log.add(positions == number, message)


def _name_cells(
    cells: Cells,
    place: int,
    heading: str,
    severity: Severity,
    names_alloy: Callable[[str], bool],
) -> None:
    """Name the cells of a column that nothing is read from, but for those answered no."""
    positions, unique = different_texts(cells.table.iloc[:, place])
    said = (
        "no column of this heading is read, so it is not in the price. Write what it asks for in "
        "a column that is, or leave it out."
    )
    told = [
        n for n, text in enumerate(unique)
        if not is_blank(text) and fold(text) not in words("no") and not _cancels(tidy(text))
        and not trade_words(tidy(text), names_alloy)
    ]  # fmt: skip
    if len(told) > _MOST_SHOWN:
        message = Message(heading, "", said, severity, code="column.not_read")
        cells.log.add(np.isin(positions, told), message)
        return
    for number in told:
        message = Message(heading, tidy(unique[number]), said, severity, code="column.not_read")
        cells.log.add(positions == number, message)


#: A material number as EN 10027-2 forms it: a figure for the group, and four more (from memory).
_MATERIAL_NUMBER = re.compile(r"[1-3]\.\d{4}")


def trade_words(text: str, names_alloy: Callable[[str], bool]) -> tuple[str, ...]:
    """Return the words of the trade, alloys and amounts that a text names.

    Examples
    --------
    >>> trade_words("rush please, weld seam needed", lambda name: name == "316L")
    ('rush', 'weld seam needed')
    >>> trade_words("please price 316L as well", lambda name: name == "316L")
    ('316L',)
    >>> trade_words("as last year", lambda name: False), trade_words("316", lambda name: True)
    ((), ())
    """
    if not any(c.isalpha() or c in "%\"'" for c in text):  # a number or a date tells nothing
        return (text,) if _MATERIAL_NUMBER.fullmatch(text) and names_alloy(text) else ()
    tokens = list(_WORD.finditer(text))
    found: list[tuple[int, str]] = []
    place = 0
    while place < len(tokens):
        taken = 1
        for length in range(min(_LONGEST, len(tokens) - place), 0, -1):
            part = text[tokens[place].start() : tokens[place + length - 1].end()]
            if _is_trade(part) or _is_alloy(part, names_alloy):
                found.append((tokens[place].start(), part))
                taken = length
                break
        place += taken
    found += [(m.start(), m[0]) for m in _AMOUNT.finditer(text)]
    found += _labelled(text)
    return tuple(dict.fromkeys(part for _, part in sorted(found)))


def _labelled(text: str) -> list[tuple[int, str]]:
    """Numbers beside the name of a size: "mesh 12", "wire 0,5"."""
    found = []
    for before, after in pairwise(_PLAIN_WORD.finditer(text)):
        pair = (before[0], after[0])
        named = [fold(word) for word in pair if not word[0].isdigit()]
        if len(named) == 1 and any(_NUMBER.fullmatch(word) for word in pair):
            known = any(named[0] in words(topic) for topic in _LABEL_TOPICS)
            if known and named[0] not in _EVERYDAY - _SIZE_NAMES and len(named[0]) > 1:
                found.append((before.start(), text[before.start() : after.end()]))
    return found


@lru_cache(maxsize=65536)
def _is_trade(part: str) -> bool:
    word = fold(part)
    if word in _EVERYDAY or word.isdecimal():
        return False
    return any(word in words(topic) for topic in _TOPICS)


def _is_alloy(part: str, names_alloy: Callable[[str], bool]) -> bool:
    """Whether a text is the name of an alloy, and not an everyday word that also is one."""
    return fold(part) not in _EVERYDAY and any(c.isalnum() for c in part) and names_alloy(part)
