"""The counts of a passage as facts, and why some are to be asked about."""

from __future__ import annotations

import re
from collections.abc import Sequence

from meshcore.reading.letters.counted import Counted
from meshcore.reading.letters.doubts import only_about, or_more
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.per_set import holder, is_of_set
from meshcore.reading.letters.totals import for_each, with_total
from meshcore.reading.vocabulary import fold


def _per(said: Said, counted: Counted) -> str:  # noqa: PLR0911
    """Why a count is no quantity: it counts for each of something, "4 panels per screen"."""
    if counted.summed or counted.why:
        return counted.why
    if because := _under_an_if(said.items, counted):
        return because
    if shared := for_each(said.items, counted.first):
        return f'"{shared} … {counted.numbers[0].text}": how many in all?'
    held = holder(said.items, counted.first)
    if held:
        return f'"{held}": {counted.numbers[0].text} for each: how many in all?'
    before = said.items[max(counted.first - 3, 0) : counted.first]
    if any("each" in i.tags for i in before) and fold(before[-1].text) in _TAKES:
        return f'"each {before[-1].text} {counted.numbers[0].text}": how many in all?'
    behind = " ".join(fold(i.text) for i in said.items[counted.noun : counted.noun + 30])
    if parted := _PARTED.search(behind):
        return f'"{counted.numbers[0].text} … {parted[0]}": how many of each?'
    if shown := _each_takes(said.items, counted.first):
        return f'"{shown} {counted.numbers[0].text}": how many in all?'
    if every := _for_every(said.items, counted.noun):
        return f'"{counted.numbers[0].text} … {every}": how many in all?'
    after = said.items[counted.noun + 1 : counted.noun + 3]
    if len(after) < 2 or fold(after[0].text) not in _PER or after[1].kind != "word":  # noqa: PLR2004
        return ""
    if {"size", "unit", "count", "form", "shape", "item"} & after[1].tags.keys():
        return ""
    shown = f"{counted.numbers[0].text} {after[0].text} {after[1].text}"
    return f'"{shown}": how many in all?'


def _each_takes(items: Sequence[Item], first: int) -> str:
    """Return what holds a number of each: "each machine takes" a panel and two more."""
    for n in range(first - 1, 1, -1):
        if items[n].kind in ("nl", "mark") and items[n].text in ".;:!?\n":
            return ""
        if fold(items[n].text) in _TAKES and any(
            "each" in i.tags or fold(i.text) in _EVERY for i in items[max(n - _OWNER, 0) : n]
        ):
            return f"each {items[n - 1].text} {items[n].text} …"
    return ""


#: So many words may name what takes something: "each of our four washers".
_OWNER = 6
_EVERY = frozenset({"each of", "every", "each of our", "jede", "jeder", "jedes", "chaque", "cada"})
#: Before what a count is for each of, and words from the count's noun to it.
_INTO = frozenset({"with", "into", "for", "in", "on", "to", "at", "fur", "zu", "an", "dans",
                   "pour", "sur", "en", "para", "con"})  # fmt: skip
_MOST_TO = 6


def _for_every(items: Sequence[Item], noun: int) -> str:
    """Return what a count is told to be for each of: "two sleeves go into every drum"."""
    for n in range(noun + 1, min(noun + _MOST_TO, len(items) - 1)):
        if items[n].kind != "word":
            return ""
        every = fold(items[n].text) in _EVERY or "each" in items[n].tags
        thing = items[n + 1]
        named = thing.kind == "word" and not thing.tags.keys() - {"process", "stop", "mill"}
        if every and named and fold(items[n - 1].text) in _INTO and thing.text.isalpha():
            return f"{items[n].text} {thing.text}"
    return ""


#: What parts a count among lines.
_PARTED = re.compile(
    r"\b\w+ with (?:a |an )?\w+.{0,40}, \w+ without\b"
    r"|\bone of the (?:two|three|four|five|six|\d+)\b"
    r"|, \w+ of which\b|\bhalf of (?:them|each)\b|\bhalf in\b|\bhalf and half\b|\bthe other half\b"
)


#: What says that a count is for each of something.
_PER = frozenset({"per", "je", "pro", "par", "por"})


_TAKES = frozenset(
    {"take", "takes", "need", "needs", "has", "have", "gets", "get", "with", "wants"}
)


def _under_an_if(items: Sequence[Item], counted: Counted) -> str:
    """Why a count is to be asked about: it is wanted under an if, "two rolls if one is short"."""
    after = items[counted.noun + 1] if counted.noun + 1 < len(items) else None
    if after is None or fold(after.text) not in ("if", "unless", "wenn", "falls", "si"):
        return ""
    return f'"{counted.numbers[0].text} … {after.text}": how many in the end?'


def take_counts(said: Said, counted: Sequence[Counted]) -> None:
    """Add a fact for each count of a passage, with why it is to be asked about."""
    counted = with_total(said.items, counted, said.dropped)
    per = {c.first: _per(said, c) for c in counted}
    if any(not why for n, why in per.items()):
        counted = [c for c in counted if not per[c.first]]
    for c in counted:
        if c.pieces:
            one = c.numbers[0]
            said.facts.append(Fact("counted", "pieces", one.text, one.start, one.end))
        for item in c.numbers:
            whole = [v for v in item.values if v == int(v)]
            said.facts.append(
                Fact(
                    "quantity",
                    max(whole, default=0.0),
                    item.text,
                    item.start,
                    item.end,
                    item,
                    "set" if is_of_set(said, c.first) else "",
                    group=c.first + 1,
                    weak=c.weak,
                    why=per[c.first] or only_about(said, item) or or_more(said.items, c.first),
                )
            )
