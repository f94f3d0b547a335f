"""Numbers that name a thing and count none: "panels as A", "the 450 circle"."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: Before the letter of a line: "panels as A", "see A".
_LEADS_LETTER = frozenset({"as", "see", "like", "wie", "siehe", "comme", "voir", "como", "ver"})


def is_letter(items: Sequence[Item], n: int) -> bool:
    """Whether an "A" is the letter of a line and no article: "panels as A, 5 off"."""
    if items[n].text == "A" and _lists_letters(items, n):
        return True
    if items[n].text != "A" or not n or fold(items[n - 1].text) not in _LEADS_LETTER:
        return False
    after = items[n + 1] if n + 1 < len(items) else None
    return after is None or after.kind in ("mark", "nl") or "but" in after.tags


def _lists_letters(items: Sequence[Item], n: int) -> bool:
    """Whether an "A" is the first of several letters of lines: "A and B once more", "A, C"."""
    two = items[n + 1 : n + 3]
    if len(two) < 2 or not (two[0].text in ",&+/" or "and" in two[0].tags):  # noqa: PLR2004
        return False
    return len(two[1].text) == 1 and two[1].text.isupper()


#: English words for one thing: a number before one of them names it by its size.
_SINGULAR = frozenset({"disc", "disk", "circle", "ring", "panel", "sheet", "roll", "strip",
                       "square", "rectangle", "triangle", "piece"})  # fmt: skip


def names_one(items: Sequence[Item], n: int, noun: int) -> bool:
    """Whether a number names one thing by its size: "the 450 circle" counts none."""
    article = n > 0 and "the" in items[n - 1].tags
    return (
        article
        and noun == n + 1
        and max(items[n].values) > 1
        and fold(items[noun].text) in _SINGULAR
    )
