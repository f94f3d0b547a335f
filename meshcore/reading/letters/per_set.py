"""Counts for each of something: "one set is: 2 discs and 1 ring", "each lining is one strip"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: Between what is described and what it holds.
_HOLDS = frozenset({"takes", "take", "needs", "requires", "nimmt", "braucht", "prend", "lleva",
                    "necesita", "is",
                    "contains", "comprises", "consists", "holds", "ist", "enthalt",
                    "besteht", "contient", "comprend", "es", "contiene", "has", "="})  # fmt: skip
#: What is ordered by the set.
_SETS = frozenset({"set", "kit", "pack", "satz", "satze", "jeu", "jeux", "juego", "lot"})


def holder(items: Sequence[Item], first: int) -> str:
    """Name of what holds a count that begins at `first`: "set" of "one set is: 2 discs"; or empty."""  # noqa: E501
    if held := _set_holding(items, first):
        return held
    for n in range(first - 1, 1, -1):
        if fold(items[n].text) not in _HOLDS:
            continue
        named, one = items[n - 1], items[n - 2]
        single = one.kind == "num" and one.spelled and one.values == (1.0,)
        if named.kind == "word" and not {"form", "shape", "size"} & named.tags.keys():
            return fold(named.text) if single or "each" in one.tags else ""
        return ""
    return ""


#: Words before a set that say that one is described.
_ONE_SET = frozenset({"a", "one", "each", "every", "per", "the", "ein", "eine", "jeder", "je",
                      "jedes", "pro", "un", "une", "chaque", "par", "una", "cada", "por",
                      "complete", "full", "der", "das", "le", "el"})  # fmt: skip
#: A set is described within so many words of what it holds (our choice).
_SET_WITHIN = 14


def _set_holding(items: Sequence[Item], first: int) -> str:
    """Return the set that a count is part of: "one set for a fluid bed consists of four plates"."""
    low = max(first - _SET_WITHIN, 0)
    stops = [k for k in range(low, first) if items[k].kind == "nl" or items[k].text in ".;!?"]
    low = stops[-1] + 1 if stops else low
    for n in range(low + 1, first):
        word = fold(items[n].text)
        if word.removesuffix("s") not in _SETS and word not in _SETS:
            continue
        holds = any(fold(i.text).split()[:1] in [[one] for one in _HOLDS] for i in items[n:first])
        if holds and fold(items[n - 1].text) in _ONE_SET:
            return word
    return ""


def is_of_set(said: Said, first: int) -> bool:
    """Whether a count that begins at a place is what one set holds."""
    return holder(said.items, first).removesuffix("s") in _SETS


def times_lines(lines: Sequence[Draft], ordered: Sequence[float]) -> None:
    """Multiply what one set holds by the sets that the letter asks for later."""
    if len(ordered) != 1:
        return
    for line in lines:
        for n, fact in enumerate(line.facts):
            if fact.name == "quantity" and fact.role == "set" and fact.why:
                value = float(fact.value) * ordered[0]
                line.facts[n] = replace(
                    fact, value=value, why="", role="", origin=f"{ordered[0]:g} sets"
                )


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
