"""A sentence of changes parted into its clauses."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.contrasts import goes_out
from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: An "all" within so many words speaks of all lines (our choice).
_NEAR_HEAD = 5
_CHANGES = frozenset({"withdraw", "correct", "unlike", "instead"})
#: Words that may stand before what a clause begins with.
_LEADS = frozenset({"please", "pls", "so", "then", "kindly", "for", "on", "with", "also", "bitte",
                    "und", "et", "y", "por", "favor", "pour", "fur", "bei", "a", "in",
                    "and"})  # fmt: skip
#: What a clause says something new with.
_TELLS = ("alloy", "service", "weave", "roll_length")


def cut_clauses(items: Sequence[Item], build: Build) -> list[list[Item]]:
    """Part a sentence of changes at commas and "and", each part with a change or a line of its own."""  # noqa: E501
    merged: list[list[Item]] = []
    for part in _fragments(goes_out(items)):
        tags = {tag for item in part for tag in item.tags}
        named = any("item" in i.tags for i in part) and len(part) > 1
        own = _CHANGES & tags or named or _begins(part, build) or _adds(part)
        own = own or any("all" in i.tags for i in part[:_NEAR_HEAD])
        own = own and not (merged and _takes_back(part))
        if (own and _tells(part, build)) or not merged:
            merged.append(list(part))
        else:
            merged[-1] += part
    kept = any({"quote", "proceed", "only"} & i.tags.keys() for i in merged[0])
    silent = not kept and not _tells(merged[0], build) and not _adds(merged[0])
    if len(merged) > 1 and (silent or not _stands_alone(merged[0], build)):
        merged[1] = merged[0] + merged[1]
        merged.pop(0)
    return [part for part in merged if part]


#: What only takes back a value has no more words than this (our choice).
_BACK = 4


def _takes_back(part: Sequence[Item]) -> bool:
    """Whether a part only says what was: ", not 20", "instead of 24 sheets"."""
    words = [i for i in part if i.kind not in ("mark", "nl")]
    led = bool(words) and bool({"unlike", "not"} & words[0].tags.keys())
    plain = not any("item" in i.tags or i.tags.get("correct") for i in words)
    return led and plain and len(words) <= _BACK and any(i.kind == "num" for i in words)


def _adds(part: Sequence[Item]) -> bool:
    """Whether a part asks for goods besides those that are changed: "add 20 discs dia 100"."""
    lead = [i for i in part if i.kind == "word"][:2]
    also = any("also" in i.tags and "and" not in i.tags for i in lead)
    counted = any(
        a.whole and {"form", "shape"} & b.tags.keys() for a, b in pairwise(part) if a.kind == "num"
    )
    return also and counted


def _fragments(items: Sequence[Item]) -> list[list[Item]]:
    parts: list[list[Item]] = [[]]
    inside = False
    for n, item in enumerate(items):
        inside = item.text == "(" or (inside and item.text != ")")
        if inside and any(one.text == ")" for one in items[n:]):
            parts[-1].append(item)
            continue
        stop = item.text in ",;!:" or (
            item.text == "." and not (n + 1 < len(items) and items[n + 1].kind == "num")
        )
        if item.text == ":" and n > 1 and "item" in items[n - 2].tags:
            stop = False
        cut = (item.kind == "mark" and stop) or ("and" in item.tags and item.kind == "word")
        between_labels = (
            n
            and n + 1 < len(items)
            and items[n - 1].kind == "num"
            and items[n + 1].kind == "num"
            and not items[n - 1].unit
            and not items[n + 1].unit
        )
        if cut and not between_labels:
            parts.append([])
        else:
            parts[-1].append(item)
    return parts


def _begins(part: Sequence[Item], build: Build) -> bool:
    """Whether a part begins with what a change begins with: "put the rolls …", "only 150 of …"."""
    n = 0
    while n < len(part) and fold(part[n].text) in _LEADS:
        n += 1
    if n >= len(part):
        return False
    first, after = part[n], part[n + 1] if n + 1 < len(part) else None
    if "put" in first.tags:
        return True
    if "only" in first.tags and after is not None and after.kind == "num":
        return True
    aim = aim_of(Said(items=list(part)), build.present, build.lines)
    starts = [k for k, item in enumerate(part) if item.start in aim.used]
    return bool(aim.lines) and bool(starts) and starts[0] <= n + 1


def _tells(part: Sequence[Item], build: Build) -> bool:
    """Whether a part says anything besides which lines it points at."""
    aim = aim_of(Said(items=list(part)), build.present, build.lines)
    free = [i for i in part if i.start not in aim.used]
    if any({"withdraw", "restore", *_TELLS} & i.tags.keys() for i in free):
        return True
    if any(_CHANGES & i.tags.keys() for i in part) and not aim.used:
        return True
    return any(i.kind == "num" and i.start not in aim.used for i in part)


def _stands_alone(part: Sequence[Item], build: Build) -> bool:
    """Whether the first part is a change by itself, and no opening of the next."""
    if any({"withdraw", "correct", "unlike"} & i.tags.keys() for i in part):
        return True
    if any("item" in i.tags for i in part):
        return True
    if any("all" in i.tags for i in part) and _tells(part, build):
        return True
    first = next((i for i in part if i.kind != "mark"), None)
    if first is not None and "also" in first.tags and any(i.whole for i in part):
        return any({"form", "shape"} & i.tags.keys() for i in part)
    return _begins(part, build) and _tells(part, build)
