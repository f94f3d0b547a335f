"""Amounts that are only roughly stated."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.item import Item


def only_about(said: Said, item: Item) -> str:
    """Why an amount is to be asked about: it is only roughly stated."""
    if "vague" in item.tags:
        return f'only "{item.text}" is stated'
    at = bisect_left(said.items, item.start, key=lambda one: one.start)
    before = said.items[max(at - 3, 0) : at]
    for k, one in enumerate(before):
        if "about" in one.tags and not any(
            x.kind == "mark" or (x.kind == "num" and not x.spelled) for x in before[k + 1 :]
        ):
            return f'only "{one.text} {item.text}" is stated'
    behind = said.items[at + 1 : at + 4]
    for k, one in enumerate(behind[:2]):
        if one.kind in ("mark", "nl", "num"):
            break
        if "about" in one.tags and not (k + 1 < len(behind) and behind[k + 1].kind == "num"):
            return f'only "{item.text} {one.text}" is stated'
    return ""


def or_more(items: Sequence[Item], n: int) -> str:
    """Why a count is to be asked about: another stands before it with an "or": "four or five"."""
    if n < 2 or "or" not in items[n - 1].tags or not items[n - 2].whole:  # noqa: PLR2004
        return ""
    return f'"{items[n - 2].text} {items[n - 1].text} {items[n].text}": how many in the end?'
