"""What a part denies of the line that it refers to, or says to have been had before."""

from __future__ import annotations

from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.placing import SIZES
from meshcore.reading.vocabulary import fold


def denied_work(part: Said) -> set[str | float]:
    """Work that a part denies: what a reference carries over of it is taken off."""
    return {i.tags["service"] for i in part.items if "service" in i.tags and i.start in part.silent}


def had_before(part: Said) -> Item | None:
    """Return the word that says that goods were had before: "4 more of the covers we had last year"."""  # noqa: E501
    for n, item in enumerate(part.items):
        if "history" in item.tags and item.start in part.silent:
            more = [fold(i.text) for i in part.items[:n]]
            return item if {"more", "further", "weitere"} & set(more) else None
    return None


def denied_sizes(part: Said) -> set[str]:
    """Sizes that a part denies by name: "as item 2 but … and no mesh number given"."""
    out: set[str] = set()
    for n, item in enumerate(part.items):
        bare = n == 0 or part.items[n - 1].kind != "num"
        if item.start in part.silent and bare and item.kind == "word":
            out |= {"mesh_count"} if "count" in item.tags else set()
            out |= {SIZES[item.tags["size"]]} if item.tags.get("size") in SIZES else set()
    return out
