"""Numbers that prices are asked for: "for 10 (trial) and 50", "for 5, 20 and 100 guards"."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold


def named_in_brackets(items: Sequence[Item], n: int) -> bool:
    """Whether one word in brackets names a number of several: "10 (trial) and 50 (series)"."""
    three = items[n : n + 3]
    if len(three) < 3 or three[0].text != "(" or three[2].text != ")":  # noqa: PLR2004
        return False
    return three[1].kind == "word" and not three[1].tags.keys() - {"process", "stop"}


#: One of the numbers that prices are asked for is no less, else they may be labels (our choice).
_MOST_LABELS = 10.0


#: Between a word that asks for prices and the numbers they are asked for.
LEADS_PRICES = frozenset({"for", "fur", "pour", "para", "at", "bei", "per", "je", "pro", "par",
                           "por"})  # fmt: skip


def priced_for(items: Sequence[Item], n: int, run: Sequence[int]) -> bool:
    """Whether numbers are those that prices are asked for: "please quote for 10 (trial) and 50"."""
    led = n > 1 and fold(items[n - 1].text) in LEADS_PRICES
    if not led or not any("quote" in i.tags for i in items[max(n - 3, 0) : n - 1]):
        return False
    last = run[-1] + (3 if named_in_brackets(items, run[-1] + 1) else 0)
    last = _past_name(items, last)
    after = items[last + 1] if last + 1 < len(items) else None
    ended = after is None or after.kind == "nl" or after.text in ".;?!:"
    return ended and max(items[r].values[0] for r in run) >= _MOST_LABELS


#: The name of a thing has no more words than this (our choice).
_MOST_NAME = 3


def _past_name(items: Sequence[Item], last: int) -> int:
    """Index of the last word of a name that nothing is known of: "50, 200 and 1000 lamp guards"."""
    k = last
    while k + 1 < len(items) and k - last < _MOST_NAME:
        word = items[k + 1]
        if word.kind != "word" or word.tags.keys() - {"process", "stop", "own"} or word.glued:
            break
        k += 1
    return k
