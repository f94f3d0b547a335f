"""Where a letter or a number stands for a line: "as a) but", "A's mesh", "the (i) cloth"."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.item import Item, last_word
from meshcore.reading.vocabulary import fold


def bracketed(items: Sequence[Item], n: int, known: set[str]) -> bool:
    """Whether a bracket holds the label of a line: "the (i) cloth", "price (iv) also"."""
    three = items[n : n + 3]
    if len(three) < 3 or three[0].text != "(" or three[2].text != ")":  # noqa: PLR2004
        return False
    if fold(three[1].text) not in known:
        return False
    before = items[n - 1] if n else None
    told = before is None or bool(
        {"as", "same", "the", "quote", "for", "cloth", "item", "and"} & before.tags.keys()
    )
    return told or not three[1].whole or (before is not None and fold(before.text) in OF)


def drawn_from(items: Sequence[Item], n: int, known: set[str]) -> bool:
    """Whether a number with a bracket is a label that something is taken from: "from 1)"."""
    if not n:
        return False
    dotted = "." in items[n].text and items[n].kind == "num" and not items[n].unit
    if dotted and fold(items[n].text) in known:
        return last_word(items[n - 1]) in OF
    if n + 1 >= len(items) or items[n + 1].text != ")" or not items[n].whole:
        return False
    return fold(items[n].text) in known and last_word(items[n - 1]) in OF


def as_number(items: Sequence[Item], n: int, known: set[str]) -> bool:
    """Whether an "as 4" names a line: a number that is one's label, with no more to it."""
    if not {"as", "same"} & items[n].tags.keys() or n + 1 >= len(items):
        return False
    number, after = items[n + 1], items[n + 2] if n + 2 < len(items) else None
    alone = after is None or after.kind in ("mark", "nl") or "but" in after.tags
    alone = alone or (after is not None and fold(after.text) in _CHANGES)
    told = number.kind == "num" and not number.unit and label_of(number) in known
    return told and alone and not number.tags


#: What a line is to have otherwise than the one it is like: "same as 2 in 316".
_CHANGES = frozenset({"in", "with", "mit", "aus", "en", "avec", "con", "only", "except"})


def label_of(item: Item) -> str:
    """Return a number as the label that it may be: "02" is 2, "4.2" stands."""
    return fold(item.text).lstrip("0") or fold(item.text)


def stands_for_line(  # noqa: PLR0911
    items: Sequence[Item], n: int, stop: int
) -> bool:
    """Whether a single letter names a line: "C hemmed", "as a) but"; an "A" may be an article."""
    after = items[n + 1] if n + 1 < len(items) else None
    if n and {"as", "same"} & items[n - 1].tags.keys():
        if items[stop - 1].text == ")" or (after is not None and after.text == ")"):
            return True
        return after is None or after.kind in ("mark", "nl") or "but" in after.tags
    if n and fold(items[n - 1].text) in OF[:6] and items[n].text.isupper():
        return after is None or after.kind in ("mark", "nl") or "and" in after.tags
    if n and fold(items[n - 1].text) in GIVEN and items[n].text.isupper():
        return after is None or after.kind in ("mark", "nl")
    if items[n].text.isupper() and owns_cloth(items, stop):
        return True
    if n and "the" in items[n - 1].tags and after is not None and stop == n + 1:
        clothed = "cloth" in after.tags or fold(after.text) in _STUFF
        if clothed:
            return True
    if n and "cloth" in items[n - 1].tags:
        return after is None or after.kind in ("mark", "nl")
    told = after
    if after is not None and fold(after.text) in ("in", "aus", "en") and n + 2 < len(items):
        told = items[n + 2]  # "D in 304 please"
    return (
        n == 0
        and items[n].text.isupper()
        and told is not None
        and bool({"service", "alloy", "weave"} & told.tags.keys())
    )


def of_stuff(items: Sequence[Item], n: int) -> bool:
    """Whether the label of a line with its bracket stands after a word for cloth: "la malla a)"."""
    bracketed = n + 1 < len(items) and items[n + 1].text == ")"
    return bracketed and n > 0 and fold(items[n - 1].text) in _STUFF


def owns_cloth(items: Sequence[Item], stop: int) -> bool:
    """Whether what stands before has a cloth: "A's mesh in strips"."""
    three = items[stop : stop + 3]
    if len(three) < 3 or three[0].text != "'" or fold(three[1].text) != "s":  # noqa: PLR2004
        return False
    return "cloth" in three[2].tags or fold(three[2].text) in _STUFF


#: Words for the cloth of a line: "the a mesh".
_STUFF = frozenset({"mesh", "material", "one", "gewebe", "toile", "tela", "malla", "stuff"})


#: Words before a label that is counted or cut from: "two of A", "each of B".
OF = ("of", "von", "de", "from", "aus", "ex", "than", "like", "as", "zu", "wie", "comme", "como")


#: Words between what is given and whom it is given to.
GIVEN = frozenset({"for", "fur", "pour", "para", "on", "bei", "auf", "sur", "en"})
