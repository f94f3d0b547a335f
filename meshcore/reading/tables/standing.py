"""Lines that do not stand as the others do: cancelled, an option, or one of a choice."""

from __future__ import annotations

import re
from functools import lru_cache

import numpy as np

from meshcore.arrays import BoolArray
from meshcore.messages import Message
from meshcore.reading.columns import different_texts
from meshcore.reading.tables.cells import Cells
from meshcore.reading.tables.field_names import ORDER
from meshcore.reading.tables.headings import priced_from
from meshcore.reading.texts import is_blank, tidy
from meshcore.reading.vocabulary import fold, follows_words, phrases, words

#: A remark of as many words as this that names a cancelled line is about its own line [-].
_SHORT = 3
_CANCELLED, _OPTIONAL = "cancelled", "optional"
#: Code of what is said of an option.
_OPTION_CODE = "line.optional"


#: A column that has no heading of its own: what it says is of the line.
_UNNAMED = re.compile(r"column \d+")


def note_standing(cells: Cells) -> BoolArray:
    """Refuse lines that are said to be cancelled, and put options and alternatives to review.

    Returns
    -------
    Lines that are an option or an alternative.
    """
    options = np.zeros(len(cells.table), dtype=np.bool_)
    line, note = (cells.headings.column.get(name, "") for name in ("line", "note"))
    names = [str(c) for c in cells.table.columns]
    unread = {line, note, *cells.headings.unknown}
    for place, heading in enumerate(names[: priced_from(names)]):
        if heading not in unread and cells.headings.doubled.get(place, "") not in ("line", "note"):
            continue
        series = cells.table.iloc[:, place]
        if series.dtype.kind in "fiM":
            continue
        is_label = heading == line or cells.headings.doubled.get(place) == "line"
        unnamed = _UNNAMED.fullmatch(heading) is not None
        field = "line" if is_label or unnamed else "note" if heading == note else heading
        positions, unique = different_texts(series)
        for number, text in enumerate(unique):
            said = _said_of(field, heading, tidy(text), is_label)
            if said is not None:
                cells.log.add(positions == number, said)
                options |= (positions == number) & (said.code == _OPTION_CODE)
    return options


#: An order that is one of a choice names the orders or lines of that choice.
_CHOICE = re.compile(r"\(one of (?P<names>[^()]+)\)")


def choice_of(order: str) -> str:
    """Return the names of the choice that an order is one of; empty where it is none.

    Examples
    --------
    >>> choice_of("2 (one of 1, 2, 3)"), choice_of("A 17")
    ('1, 2, 3', '')
    """
    found = _CHOICE.search(order)
    return found["names"].strip() if found else ""


def note_choices(cells: Cells) -> BoolArray:
    """Put lines to review whose order is one of a choice: each has its price, and no total."""
    chosen = np.zeros(len(cells.table), dtype=np.bool_)
    series, different = cells.series(ORDER), cells.different_texts(ORDER)
    if series is None or different is None or series.dtype.kind in "fiM":
        return chosen
    positions, unique = different
    for number, text in enumerate(unique):
        # There may be a million orders, and tidying a text takes longer than looking for a bracket.
        names = choice_of(tidy(text)) if "(" in text or "（" in text else ""
        if names:
            why = (
                f"is one of a choice ({names}). It is priced as an order of its own, and is in no "
                "total: give lines that are ordered together one name of an order."
            )
            lines = positions == number
            cells.log.add(lines, Message(ORDER, text, why, "review", code="line.one_of"))
            chosen |= lines
    return chosen


def _said_of(field: str, heading: str, text: str, is_label: bool) -> Message | None:
    """Return what a cell says of its line's standing; None where it says nothing."""
    standing, is_certain = line_standing(text, is_label)
    if fold(text) in words("yes"):
        standing, is_certain = words("line_standing").get(fold(heading), ""), True
    if fold(text) in words("no") and fold(heading.strip(" ?:")) in words("line_wanted"):
        why = (
            f'"{heading}" says no, and the line is priced as it stands. Check whether it is wanted.'
        )
        return Message(field, text, why, "review", code="line.perhaps_unwanted")
    if standing == _OPTIONAL:
        why = (
            "names an option or an alternative. The line is priced as an order of its own, and it "
            "is in no total: take the word out where it is ordered with the others."
        )
        return Message(field, text, why, "review", code="line.optional")
    if standing == _CANCELLED and is_certain:
        why = "the line is cancelled, so it is not priced. Leave it out, or the word if it stands."
        return Message(field, text, why, code="line.cancelled")
    if standing == _CANCELLED:
        why = "speaks of something cancelled, and the line is priced as it stands. Check which."
        return Message(field, text, why, "review", code="line.perhaps_cancelled")
    return None


def line_standing(text: str, is_label: bool = False) -> tuple[str, bool]:
    """Return how a text says that a line stands, and whether it surely is about that line.

    Parameters
    ----------
    text
        Cell of a line.
    is_label
        Whether it stands where lines are numbered: short words count there too.

    Examples
    --------
    >>> line_standing("1a (option)", True), line_standing("or", True), line_standing("or equal")
    (('optional', True), ('optional', True), ('', False))
    >>> line_standing("storniert"), line_standing("replaces the order cancelled in May")
    (('cancelled', True), ('cancelled', False))
    """
    word = fold(text)
    if is_blank(text) or not any(c.isalpha() for c in word):
        return "", False
    if is_label:
        short = words("line_standing_short").get(re.sub(r"^[\W\d]+|[\W\d]+$", "", word), "")
        if short and _is_short_label(word):
            return short, True
    found = _pattern().search(word)
    if not found:
        return "", False
    denied = any(word[: found.start()].rstrip().endswith(no) for no in phrases("denial"))
    is_certain = (is_label or len(word.split()) <= _SHORT) and not denied
    return words("line_standing").get(found[0], _OPTIONAL), is_certain


def _is_short_label(word: str) -> bool:
    """Whether a short word stands alone, or with a number: "or", "alt. 2", not "O-12"."""
    bare = re.sub(r"[\W\d]+", "", word)
    return bare == word or len(bare) > len("or")


@lru_cache(maxsize=1)
def _pattern() -> re.Pattern[str]:
    every = "|".join(re.escape(phrase) for phrase in phrases("line_standing"))
    return re.compile(rf"(?<!\w)(?:{every})(?!\w)")


follows_words(_pattern.cache_clear)
