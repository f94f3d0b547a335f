"""Bare numbers that count by where they stand alone: "just the one", "14 as well", "a dozen"."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: Before a number alone: only so many are wanted.
_ONLY = frozenset({"only", "just", "nur", "bloss", "lediglich", "seulement", "solo", "solamente",
                   "again", "abermals", "wieder", "encore", "otra vez", "likewise", "ebenfalls",
                   "merely"})  # fmt: skip
#: After a number alone: as many as of what was named before.
_TOO = frozenset({"aswell", "as well", "too", "also", "likewise", "again", "auch", "ebenfalls",
                  "gleichfalls", "aussi", "egalement", "tambien", "igualmente", "only", "nur",
                  "seulement", "solo", "solamente", "please", "pls", "bitte", "altogether",
                  "each"})  # fmt: skip
#: Words that count by the dozen: no size is written with them.
_DOZENS = ("dozen", "doz", "dutzend", "douzaine", "docena", "dtzd", "doz", "score of")
#: Before a number of others that are the same: "otras 6 iguales".
_MORE = frozenset({"another", "other", "further", "more", "weitere", "andere", "noch", "encore",
                   "autres", "otras", "otros", "mas"})  # fmt: skip
_ARTICLES = frozenset({"a", "an", "ein", "eine", "un", "une", "una"})


def counts_alone(  # noqa: PLR0911
    items: Sequence[Item], n: int
) -> bool:
    """Whether a number without a noun counts: "but 304, just the one", "600 x 450, 14 aswell"."""
    item = items[n]
    if item.spelled and fold(item.text) in _ARTICLES:
        return False
    before = items[n - 1] if n else None
    after = items[n + 1] if n + 1 < len(items) else None
    ended = after is None or after.kind == "nl" or after.text in ",.;!)-"
    headed = before is None or before.kind == "nl" or before.text in ",;:(-."
    if _is_dozen(item) and (ended or headed):
        return True
    if after is not None and before is not None:
        of_same = "same" in before.tags and fold(after.text) in ("in", "en", "aus")
        more = fold(before.text) in _MORE or ("also" in before.tags and "and" not in before.tags)
        if of_same or (more and "same" in after.tags):
            return True
    if _in_brackets(items, n) or _others(items, n) or _times(items, n):
        return True
    led = before is not None and {"and", "also"} & before.tags.keys()
    if led and item.spelled and after is not None and after.unit.startswith("/"):
        return True  # "and one 20 mesh"
    if before is not None and "the" in before.tags and n > 1 and item.values[0] == 1.0:
        return ended and fold(items[n - 2].text) in _ONLY
    if before is not None and ended and fold(before.text) in _ONLY and (item.spelled or n > 1):
        return True
    if headed and after is not None and fold(after.text) in _TOO and before is not None:
        last = items[n + 2] if n + 2 < len(items) else None
        return last is None or last.kind == "nl" or last.text in ",.;!)"
    if (headed or before is None) and _of_those(items, n):
        crossed = any(fold(i.text) in ("x", "by", "par", "por", "mal") for i in items[:n])
        told = any({"form", "shape"} & i.tags.keys() for i in items[:n])
        return told or crossed or len(items) <= _ALONE
    also = before is not None and "also" in before.tags and "and" not in before.tags and n == 1
    return also and after is not None and after.text in ",;"


#: A number behind an "x" counts where it is no more than this (our choice).
_MOST_TIMES = 99.0


def _behind_times(items: Sequence[Item], n: int) -> bool:
    """Whether a number with an "x" joined to it ends an item: "as 2 but 3 ft wide, 1x"."""
    after = items[n + 1] if n + 1 < len(items) else None
    if (
        after is None
        or fold(after.text) != "x"
        or not after.glued
        or items[n - 1].text not in ",;-"
    ):
        return False
    last = items[n + 2] if n + 2 < len(items) else None
    return last is None or last.kind == "nl" or last.text in ".;("


def _times(items: Sequence[Item], n: int) -> bool:
    """Whether an "x" that is joined to its number counts what stands before: "10 mesh/0.6 x3"."""
    if n and _behind_times(items, n):
        return True
    if n < 2 or fold(items[n - 1].text) != "x" or items[n - 1].glued or not items[n].glued:  # noqa: PLR2004
        return False
    before, after = items[n - 2], items[n + 1] if n + 1 < len(items) else None
    ended = after is None or after.kind == "nl" or after.text in "(.,;"
    ended = ended or (after is not None and fold(after.text) in ("in", "aus", "en"))
    sided = before.kind == "num" and not before.unit and before.whole
    return ended and not sided and max(items[n].values) <= _MOST_TIMES


#: Between a number of others and what says that they are the same.
_FAR = 4


def _others(items: Sequence[Item], n: int) -> bool:
    """Whether a number counts others of a kind: "y otros dos del mismo tipo"."""
    before = fold(items[n - 1].text) if n else ""
    after = fold(items[n + 1].text) if n + 1 < len(items) else ""
    if before not in _MORE and after not in _MORE:
        return False
    for item in items[n + 1 : n + 1 + _FAR]:
        if item.kind in ("mark", "nl", "num"):
            return False
        if {"same", "ditto", "same size"} & item.tags.keys() or fold(item.text) in _THOSE:
            return True
    return False


_THOSE = frozenset({"of those", "of these", "of them", "davon", "von denen", "d'entre eux",
                    "de ellos", "de estos", "de estas", "de esos", "de ceux-ci"})  # fmt: skip


def _in_brackets(items: Sequence[Item], n: int) -> bool:
    """Whether a number in brackets heads what it counts: "for (4) screens 3' x 6'"."""
    if not n or n + 2 >= len(items) or items[n - 1].text != "(" or items[n + 1].text != ")":
        return False
    before = items[n - 2] if n > 1 else None
    heads = before is None or before.kind in ("mark", "nl") or "quote" in before.tags
    heads = heads or (before is not None and fold(before.text) in ("for", "of", "and"))
    sized = sum(i.unit in _LENGTHS for i in items[n + 2 :])
    return heads and (sized > 1 or any("same" in i.tags for i in items[n + 2 : n + 5]))


#: Units of sizes.
_LENGTHS = frozenset({"mm", "cm", "m", "in", "ft"})


def _of_those(items: Sequence[Item], n: int) -> bool:
    """Whether a number counts what was named before it: "nine of those"."""
    two = [fold(i.text) for i in items[n + 1 : n + 3]]
    return bool(two) and (two[0] in _THOSE or " ".join(two) in _THOSE)


#: A passage of no more words than this is nothing but a count: "30 of those".
_ALONE = 4


def _is_dozen(item: Item) -> bool:
    return fold(item.text).removesuffix("s").removesuffix("en").endswith(_DOZENS)


def settled_count(items: Sequence[Item], dropped: set[int]) -> int:
    """Place of the number that an item of a list corrects its count to; -1 where there is none.

    "pcs 900x600, a dozen -> she rang again, make it 14".
    """
    for n in range(len(items) - 1, 0, -1):
        item = items[n]
        if item.kind in ("mark", "nl"):
            continue
        told = item.whole and n not in dropped and not item.tags.get("alloy")
        lead = items[n - 2] if items[n - 1].text in ",:" and n > 1 else items[n - 1]
        return n if told and "correct" in lead.tags else -1
    return -1
