"""Sizes that the letter also names under an if: "if you have no 0.28 then 0.25"."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Set
from dataclasses import replace

from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item

#: An if within so many words speaks of the size before it; a size within this ratio of another
#: may stand for it (our choice).
_NEAR, _RATIO = 8, 1.6


def _alike(one: Item, other: Item) -> bool:
    """Whether one amount may stand for another."""
    if one.spelled or one.unit not in ("", other.unit) or not one.values or not min(other.values):
        return False
    ratio = max(one.values) / max(other.values)
    return 1 / _RATIO <= ratio <= _RATIO


def asked_under_an_if(said: Said) -> list[Fact]:
    """Ask about sizes that the letter also names under an if: "if you have no 0.28 then 0.25"."""
    if not said.has_any("because"):
        return said.facts
    loose = {item.start for item in said.loose}
    return [_asked(said, fact, loose) for fact in said.facts]


def _asked(said: Said, fact: Fact, loose: Set[int]) -> Fact:
    if fact.item is None or fact.why:
        return fact
    at = bisect_left(said.items, fact.start, key=lambda one: one.start)
    after = [n for n in said.dropped if at < n <= at + _NEAR and said.items[n].kind == "num"]
    ifs = [n for n in range(at + 1, min(at + _NEAR, len(said.items)))
           if "because" in said.items[n].tags]  # fmt: skip
    after += [n for n in range(ifs[0], min(at + _NEAR, len(said.items)))
              if said.items[n].start in loose] if ifs else []  # fmt: skip
    again = any(_alike(said.items[n], fact.item) for n in after)
    if not again or fact.name == "quantity":
        return fact
    return replace(fact, why=f'"{fact.text}": another is named under an if')
