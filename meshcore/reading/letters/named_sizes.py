"""Numbers that count, or name, goods by their size: "4 more of the 600 discs"."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold


def told_again(items: Sequence[Item], n: int) -> bool:
    """Whether a number counts after a reference: "me too but 25, and dia 90"."""
    after = items[n + 1] if n + 1 < len(items) else None
    led = n > 1 and "but" in items[n - 1].tags and "same" in items[n - 2].tags
    return led and (after is None or (after.kind == "mark" and after.text in ",;."))


def counts_sizes(items: Sequence[Item], n: int) -> bool:
    """Whether a number counts the sizes after it: "a dozen 1m x 1m of the same"."""
    five = items[n + 1 : n + 6]
    if len(five) < 5 or fold(five[1].text) not in ("x", "by") or fold(five[3].text) not in _OF:  # noqa: PLR2004
        return False
    sizes = five[0].kind == five[2].kind == "num" and bool(five[2].unit)
    return sizes and any({"same", "cloth"} & i.tags.keys() for i in items[n + 5 : n + 7])


def as_large(items: Sequence[Item], n: int) -> bool:
    """Whether a number counts things as large as those before: "2 Siebe gleich groß"."""
    two = items[n + 1 : n + 3]
    named = len(two) == 2 and two[0].kind == "word" and not two[0].tags.keys() - {"process"}  # noqa: PLR2004
    return named and "same size" in two[1].tags


_OF = frozenset({"of", "von", "de", "des"})


def of_named(items: Sequence[Item], n: int) -> int:
    """Index of the noun of what is counted of a size named before: "4 more of the 600 discs"; or 0."""  # noqa: E501
    k = n + 1
    while k < len(items) and k < n + 3 and {"quantity", "also"} & items[k].tags.keys():
        k += 1
    four = items[k : k + 4]
    if len(four) < 4 or fold(four[0].text) not in _OF or "the" not in four[1].tags:  # noqa: PLR2004
        return 0
    sized = four[2].kind == "num" and "alloy" not in four[2].tags
    return k + 3 if sized and {"form", "shape"} & four[3].tags.keys() else 0


def sizes_named(items: Sequence[Item], n: int) -> bool:
    """Whether a number names by its size what others count: the 600 of "4 more of the 600 discs"."""  # noqa: E501
    return any(of_named(items, k) == n + 1 for k in range(max(n - 5, 0), n) if items[k].whole)


def recounted(items: Sequence[Item], n: int) -> int | None:
    """Index of what is counted after "ten, let's say twelve, sheets"."""
    led = n > 1 and "correct" in items[n - 1].tags and items[n + 1 : n + 2]
    if not led or items[n + 1].text != "," or items[n - 1].kind != "word":
        return None
    noun = items[n + 2] if n + 2 < len(items) else None
    return n + 2 if noun is not None and {"form", "shape"} & noun.tags.keys() else None
