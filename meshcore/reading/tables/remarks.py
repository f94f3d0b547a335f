"""What a remark or a column that is not read says of the order: named, never passed by."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import lru_cache

import pandas as pd

from meshcore.messages import Message
from meshcore.reading.columns import cell_texts
from meshcore.reading.tables.cells import Cells
from meshcore.reading.tables.headings import priced_from
from meshcore.reading.tables.service_words import service_of
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
_TOPICS = ("service", "weave", "other_goods", "form", "form_unclear", "weave_unclear")


def note_unread(
    cells: Cells, services: Mapping[str, str], names_alloy: Callable[[str], bool]
) -> None:
    """Name, line by line, the words of the trade and the amounts that were not used."""
    note = cells.headings.column.get("note", "")
    unread = {h for h in cells.headings.unknown if not service_of(h, services)} | {note}
    names = [str(c) for c in cells.table.columns]
    for place, heading in enumerate(names[: priced_from(names)]):
        if heading not in unread and place not in cells.headings.doubled:
            continue
        series = cells.table.iloc[:, place]
        if series.dtype.kind in "fiubM":
            continue
        positions, unique = pd.factorize(cell_texts(series))
        for number, cell in enumerate(unique):
            text = tidy(str(cell))
            found = () if is_blank(text) else trade_words(text, names_alloy)
            if found:
                shown = ", ".join(f'"{word}"' for word in found)
                said = (
                    f"names {shown}, which is not read here and not in the price beyond what the "
                    "other columns say. Write it in its own column."
                )
                field = "note" if heading == note else heading
                message = Message(field, text, said, "review", code="remark.not_read")
                cells.log.add(positions == number, message)


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
        return ()
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
    return tuple(dict.fromkeys(part for _, part in sorted(found)))


@lru_cache(maxsize=65536)
def _is_trade(part: str) -> bool:
    word = fold(part)
    if word in _EVERYDAY or word.isdecimal():
        return False
    return any(word in words(topic) for topic in _TOPICS)


def _is_alloy(part: str, names_alloy: Callable[[str], bool]) -> bool:
    """Whether a text is the name of an alloy, and not an everyday word that also is one."""
    return fold(part) not in _EVERYDAY and any(c.isalnum() for c in part) and names_alloy(part)
