"""Numbers that count things by their sizes: "2 x 1m x 30m", "40 bottoms, 580 mm square"."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.item import Item
from meshcore.reading.letters.nouns import LENGTHS
from meshcore.reading.vocabulary import fold

#: A first number of three crossed ones counts where it is no more than this, and the others are
#: sizes: "2 x 1m x 30m" (our choice).
_MOST_TIMES, _LEAST_SIZE = 60.0, 100.0


def times_sizes(items: Sequence[Item], n: int) -> bool:
    """Whether a number counts the sizes that it is crossed with: "2 x 1m x 30m"."""
    five = items[n : n + 5]
    if len(five) < 5 or {fold(five[1].text), fold(five[3].text)} - {"x", "*"}:  # noqa: PLR2004
        return False
    first, a, b = five[0], five[2], five[4]
    if a.kind != "num" or b.kind != "num" or (n and fold(items[n - 1].text) in ("x", "*")):
        return False
    if len(items) > n + 5 and fold(items[n + 5].text) in ("x", "*"):
        return False
    united = a.unit in LENGTHS and b.unit in LENGTHS
    large = min(*a.values, *b.values) >= _LEAST_SIZE and not a.unit
    return first.values[0] <= _MOST_TIMES and (united or large)


#: Words between what is counted and its two sizes: "three bits at 1100 x 750".
_AT = frozenset({"at", "measuring", "sized"})


#: Kinds of word that may stand between a number and the sizes of what it counts.
_PLAIN = frozenset({"own", "edge", "wide", "narrow", "also", "size", "place", "process"})


def _may_name(item: Item) -> bool:
    """Whether a word may stand in the name of a thing: "half trays", "of the ordinary trays"."""
    return item.kind == "word" or (item.spelled and item.values == (0.5,))


def named_piece(  # noqa: PLR0911
    items: Sequence[Item], n: int, dropped: set[int]
) -> bool:
    """Whether a number counts things that have sizes: "40 bottoms, 580 mm square"."""
    k = n + 1
    far = 5 if k < len(items) and fold(items[k].text) in ("of", "de", "von") else 3
    while k < len(items) and k - n <= far and _may_name(items[k]) and k not in dropped:
        if fold(items[k].text) in _AT:
            break
        if fold(items[k].text) in ("x", "by"):
            return False
        tags = items[k].tags
        other = tags.keys() - _PLAIN - ({"the", "stop"} if far > 3 else set())  # noqa: PLR2004
        if items[k].kind == "word" and (other or tags.get("size") in _SIZED):
            return False
        k += 1
    after = items[k : k + 4]
    placed = bool(after) and fold(after[0].text) in _AT
    if (k == n + 1 and not placed) or len(after) < 3:  # noqa: PLR2004
        return False
    single = items[n].spelled and items[n].values == (1.0,)
    crosses = ("x", "*") if single else ("x", "*", "by")
    if k == n + 2 and len(after) > 2 and fold(after[1].text) in crosses:  # noqa: PLR2004
        return _is_large(after[0]) and _is_large(after[2])
    if not placed and after[0].text not in (",", ":"):
        return False
    if after[1].kind != "num" or after[1].unit not in ("", "mm", "cm", "in", "m", "ft"):
        return False
    crossed = fold(after[2].text) in ("x", "by", "*")
    return crossed or after[2].tags.get("shape") == "square" or fold(after[2].text) == "square"


#: A size of a piece is no less than this, in whatever unit it is written in (our choice).
_LEAST_SIDE = {"": 50.0, "mm": 50.0, "cm": 5.0, "m": 0.05, "in": 2.0, "ft": 0.2}


def _is_large(item: Item) -> bool:
    """Whether an amount may be the side of a piece."""
    least = _LEAST_SIDE.get(item.unit)
    return item.kind == "num" and least is not None and max(item.values, default=0.0) >= least


#: Between an asking word and the number that it asks for.
_FILL = frozenset({"for", "you", "us", "me", "please", "of", "on", "kindly", "fur", "uber", "pour",
                   "para", "de", "um", "bitte", "the", "a"})  # fmt: skip
#: What ends the name of a thing that is asked for.
_ENDS = frozenset({"in", "of", "made", "from", "cut", "out", "aus", "en", "de", "woven"})
#: A thing's name has no more words than this (our choice).
_NAME = 4
#: Words of a thing's name may be of these kinds.
_NAMING = frozenset({"own", "process", "stop", "edge", "narrow", "wide", "place", "mill"})
#: Words of a plant that may name goods, or stand before what does: "30 machine guard inserts".
SCREENS = frozenset({"screen", "screens", "machine", "deck", "tank", "drum", "kiln", "oven",
                     "rack"})  # fmt: skip


def asked_things(items: Sequence[Item], n: int, dropped: set[int]) -> bool:
    """Whether a number counts things that are asked for, by a name of their own: "price ten screens in".

    Sizes must be told of them after their name.
    """  # noqa: E501
    k = n - 1
    while k > 0 and n - k <= _NAME and fold(items[k].text) in _FILL:
        k -= 1
    asked = k >= 0 and ("quote" in items[k].tags or "also" in items[k].tags)
    if not asked or k in dropped or items[n].values == (1.0,) or items[n].tags.get("alloy"):
        return False
    m = n + 1
    while m < len(items) and m - n <= _NAME + 1 and fold(items[m].text) not in _ENDS:
        plain = items[m].kind == "word" and not items[m].tags.keys() - _NAMING
        if not plain or ("process" in items[m].tags and fold(items[m].text) not in SCREENS):
            break
        m += 1
    ended = m < len(items) and (fold(items[m].text) in _ENDS or items[m].text in ",:(")
    sized = [i for i in items[m:] if i.kind == "num" and i.unit in LENGTHS]
    return n + 1 < m <= n + _NAME + 1 and ended and len(sized) > 1


#: Words that say which size an amount is: what stands before them is no count.
_SIZED = frozenset(
    {"aperture", "wire", "pitch", "width", "length", "height", "diameter", "od", "id"}
)
