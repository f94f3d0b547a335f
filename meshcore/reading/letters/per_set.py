"""Counts for each of something: "one set is: 2 discs and 1 ring", "each lining is one strip"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: Between what is described and what it holds.
_HOLDS = frozenset({"is", "contains", "comprises", "consists", "holds", "ist", "enthalt",
                    "besteht", "contient", "comprend", "es", "contiene", "has", "="})  # fmt: skip
#: What is ordered by the set.
_SETS = frozenset({"set", "kit", "pack", "satz", "satze", "jeu", "jeux", "juego", "lot"})


def holder(items: Sequence[Item], first: int) -> str:
    """Name of what holds a count that begins at `first`: "set" of "one set is: 2 discs"; or empty."""  # noqa: E501
    for n in range(first - 1, 1, -1):
        if fold(items[n].text) not in _HOLDS:
            continue
        named, one = items[n - 1], items[n - 2]
        single = one.kind == "num" and one.spelled and one.values == (1.0,)
        if named.kind == "word" and not {"form", "shape", "size"} & named.tags.keys():
            return fold(named.text) if single or "each" in one.tags else ""
        return ""
    return ""


def sets_ordered(items: Sequence[Item]) -> list[float]:
    """Numbers of sets that a passage asks for: "we want 4 sets"."""
    return [
        max(item.values)
        for item, after in pairwise(items)
        if item.whole and fold(after.text).removesuffix("s") in _SETS
    ]


def times_sets(said: Said, ordered: Sequence[float]) -> None:
    """Multiply what one set holds by the sets that the letter asks for, where it says one number."""  # noqa: E501
    if len(ordered) != 1:
        return
    for n, fact in enumerate(said.facts):
        at = next((k for k, item in enumerate(said.items) if item is fact.item), None)
        if fact.name != "quantity" or at is None:
            continue
        if holder(said.items, at).removesuffix("s") in _SETS:
            value = float(fact.value) * ordered[0]
            said.facts[n] = replace(fact, value=value, why="", origin=f"{ordered[0]:g} sets")
