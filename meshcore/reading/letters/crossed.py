"""Numbers that are crossed with another, and count nothing: "600 x 400 pcs", "3 x 100 roll"."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from meshcore.reading.letters.item import Item
from meshcore.reading.letters.sized_pieces import times_sizes
from meshcore.reading.vocabulary import fold


def sized_pair(items: Sequence[Item], n: int) -> bool:
    """Whether a number after an "only" is the first of two sizes: "only 1340 by 500 mm"."""
    two = items[n + 1 : n + 3]
    if len(two) < 2 or fold(two[0].text) not in ("x", "by", "par", "por", "mal", "*"):  # noqa: PLR2004
        return False
    return two[1].kind == "num" and items[n].values[0] >= LEAST_SIDE and not times_sizes(items, n)


#: A bare number crossed with another is a side from here on (our choice).
LEAST_SIDE = 50.0


def _counted_later(items: Sequence[Item], noun: int) -> bool:
    """Whether a later number says how many: "24x36 panels 10 ea"."""
    return any(
        a.whole and (b.tags.get("quantity") == "after" or "counts_pieces" in b.tags)
        for a, b in pairwise(items[noun + 1 :])
    )


def is_second_size(items: Sequence[Item], n: int, noun: int) -> bool:
    """Whether a number is crossed with another bare one, and says how long the roll is: "3 x 100 roll"."""  # noqa: E501
    if n < 2 or fold(items[n - 1].text) != "x":  # noqa: PLR2004
        return False
    sides = items[n - 2].whole and min(*items[n].values, *items[n - 2].values) >= LEAST_SIDE
    if sides and {"counts_pieces", "shape"} & items[noun].tags.keys():
        return noun == n + 1
    if "counts_pieces" in items[noun].tags:
        return False
    if "shape" in items[noun].tags:
        return noun == n + 1 and items[n - 2].whole and _counted_later(items, noun)
    if items[noun].tags.get("form") != "roll":
        return False
    return noun == n + 1 and items[n - 2].whole and not items[n - 2].unit
