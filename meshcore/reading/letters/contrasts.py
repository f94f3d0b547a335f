"""Changes told by contrast: "5 not 3", "in 316L not 316"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.item import Item


def with_contrasts(items: Sequence[Item]) -> list[Item]:
    """Take the "not" between two numbers or two alloys for "instead of"."""
    out = list(items)
    for n in range(1, len(out) - 1):
        before = out[n - 2] if out[n - 1].text == "," and n > 1 else out[n - 1]
        if "not" in out[n].tags and _alike(before, out[n + 1]):
            out[n] = replace(out[n], tags={**out[n].tags, "unlike": "instead of"})
    return out


def _alike(one: Item, other: Item) -> bool:
    if "alloy" in one.tags or "alloy" in other.tags:
        return "alloy" in one.tags and "alloy" in other.tags
    return one.kind == other.kind == "num" and one.unit == other.unit
