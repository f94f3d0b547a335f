"""Counts that brackets tell otherwise: "8 panels (four sets of three)"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: Between how many sets there are and how many each holds.
_OF = frozenset({"of", "zu", "à", "a", "je", "de", "x", "times", "mal", "fois", "por", "with"})
#: Words that count by the dozen.
_DOZEN = ("dozen", "doz", "dutzend", "douzaine", "docena", "gross", "pairs", "paar", "paires",
          "pares")  # fmt: skip
#: Brackets that count hold no more than this, and stand so near to their count (our choice).
_MOST_INSIDE, _NEAR = 6, 12


def counted_otherwise(said: Said) -> None:
    """Ask about a count that brackets after it tell otherwise; drop what they say where they agree."""  # noqa: E501
    for low, item in enumerate(said.items):
        high = next((k for k in range(low, min(low + _MOST_INSIDE + 2, len(said.items)))
                     if said.items[k].text == ")"), 0)  # fmt: skip
        if item.text != "(" or high <= low + 1:
            continue
        inside = said.items[low + 1 : high]
        total = _total(inside)
        start, end = item.start, said.items[high].end
        near = said.items[max(low - _NEAR, 0) : low]
        counts = [f for f in said.of("quantity") if f.end <= start]
        if total is None or not counts or (near and counts[-1].start < near[0].start):
            continue
        told = counts[-1]
        shown = " ".join(i.text for i in inside)
        why = told.why if told.value == total else f'"{told.text}" or "{shown}"?'
        inner = [f for f in said.facts if start <= f.start < end and f.name == "quantity"]
        said.facts = [replace(f, why=why) if f is told else f for f in said.facts if f not in inner]
        if told.value == total:
            said.loose = [i for i in said.loose if not start <= i.start < end]


def _total(inside: Sequence[Item]) -> float | None:
    """Return how many brackets count in all; None where they say anything else."""
    if any(i.unit or "alloy" in i.tags or "size" in i.tags for i in inside):
        return None
    numbers = [n for n, i in enumerate(inside) if i.whole]
    if len(numbers) == 2 and any(fold(i.text) in _OF for i in inside[numbers[0] : numbers[1]]):  # noqa: PLR2004
        return max(inside[numbers[0]].values) * max(inside[numbers[1]].values)
    if len(numbers) == 1 and any(one in fold(inside[numbers[0]].text) for one in _DOZEN):
        return max(inside[numbers[0]].values)
    return None
