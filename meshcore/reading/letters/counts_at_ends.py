"""Numbers that count by standing at the head or the end of an item."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.counted import Counted
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.names_not_counts import is_letter
from meshcore.reading.vocabulary import fold


def leading_count(items: Sequence[Item], dropped: set[int]) -> Counted | None:
    """Return the bare number at the head of an item counts what follows it: "4 snow cradles"."""
    for n, item in enumerate(items):
        if (item.kind == "mark" and item.text in "-*+") or "also" in item.tags:
            continue
        after = items[n + 1] if n + 1 < len(items) else None
        named = (
            after is not None
            and after.kind == "word"
            and not ({"size", "process", "alloy"} & after.tags.keys())
            and fold(after.text) not in ("x", "by")
            and "quantity" not in after.tags
        )
        counts = item.whole and n not in dropped and not item.tags.get("alloy")
        if counts and named and not is_letter(items, n):
            return Counted((item,), n, n, n)
        return None
    return None


def each_at_end(items: Sequence[Item], dropped: set[int]) -> Counted | None:
    """Return the bare number before an "each" that ends its clause: "hemmed, 2 each"."""
    for n in range(1, len(items) - 1):
        after = items[n + 2] if n + 2 < len(items) else None
        if (
            items[n].whole
            and n not in dropped
            and not items[n].tags.get("alloy")
            and "each" in items[n + 1].tags
            and (after is None or after.kind in ("mark", "nl"))
            and items[n - 1].text in ",;-:"
        ):
            return Counted((items[n],), n, n + 1, n + 1)
    return None


def trailing_count(
    items: Sequence[Item], dropped: set[int], listed: bool = False
) -> Counted | None:
    """Return the bare number at the end of an item after a dash or an x: "disc 90 mm - 250"."""
    last = len(items) - 1
    while last > 0 and items[last].kind in ("nl", "mark"):
        last -= 1
    if last < 2 or not items[last].whole or last in dropped or items[last].tags.get("alloy"):  # noqa: PLR2004
        return None
    before = items[last - 1]
    dashed = before.text == "-" and not before.glued
    two = items[last - 2]
    gap = before.start - two.end > 1
    same = any("same" in i.tags for i in items[:2])
    crossed = fold(before.text) == "x" and (
        same
        or {"form", "shape", "roll_length"} & two.tags.keys()
        or gap
        or (two.unit.startswith("/") and "the" in items[max(last - 3, 0)].tags)
        or (two.kind == "word" and "size" in two.tags)
    )
    apart = (
        listed
        and (before.kind != "mark" or before.text == ")")
        and items[last].start - before.end > 1
    )
    found = dashed or crossed or apart
    return Counted((items[last],), last, last, last) if found else None


_FOR = frozenset({"for", "at", "fur", "bei", "pour", "para"})


def also_for(items: Sequence[Item], dropped: set[int]) -> list[int]:
    """Places of the numbers that end a passage as further quantities: "also for 500 and 1000"."""
    out: list[int] = []
    n = len(items) - 1
    while n > 0 and items[n].kind == "mark":
        n -= 1
    while n > 1 and (items[n].whole or items[n].text in ",/&" or "and" in items[n].tags):
        if items[n].whole:
            if n in dropped or items[n].tags.get("alloy"):
                return []
            out.append(n)
        n -= 1
    led = n > 0 and fold(items[n].text) in _FOR and "also" in items[n - 1].tags
    return sorted(out) if led else []
