"""Counts for each of something, and the total that the letter states itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.counted import Counted
from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: Words that lead from counts for each to their total: "so that is twelve in all".
_MAKES = frozenset({"makes", "gives", "totals", "total", "macht", "ergibt", "gesamt", "fait",
                    "font", "hace", "hacen", "suma", "is"})  # fmt: skip
#: Words before what a count is for each of: "per drier two strips".
_PER = frozenset({"per", "pro", "je", "par", "por", "each", "every", "jeder", "jede", "jedes",
                  "jedem", "chaque", "cada", "each of", "jeweils", "for each", "each of the",
                  "pour chaque", "para cada", "fur jeden", "fur jede", "fur jedes", "de chaque",
                  "of each"})  # fmt: skip


#: Those that say so amid a clause too: "dazu pro Maschine zwei Streifen".
_PER_AMID = frozenset({"per", "pro"})
#: What stands after a "per" and is none of what is counted for.
_NO_THING = frozenset({"favor", "favour", "retour", "mail", "email", "fax", "post", "return",
                       "list",
                       "your", "our", "drawing", "offer", "order", "request",
                       "enquiry", "telefon",
                       "attached", "courier", "pick", "piece", "forma", "annum",
                       "cent"})  # fmt: skip


def is_told_total(items: Sequence[Item], n: int) -> bool:
    """Whether a number is said to be the total: "twelve in all", "12 insgesamt", "in total 12"."""
    if not items[n].whole or (n and "item" in items[n - 1].tags):
        return False
    for item in items[n + 1 : n + 4]:
        if "total" in item.tags:
            return True
        if item.kind in ("mark", "nl", "num") or {"size", "count"} & item.tags.keys():
            break
    return bool(n) and "total" in items[n - 1].tags


def with_total(
    items: Sequence[Item], counted: Sequence[Counted], dropped: set[int]
) -> list[Counted]:
    """Put the total that a passage states in the place of the counts that make it up.

    "Each of four driers takes three panels, so that is twelve in all" asks for twelve.
    """
    out = list(counted)
    totals = [n for n in range(len(items)) if n not in dropped and is_told_total(items, n)]
    if len(totals) != 1:
        return out
    n = totals[0]
    value = max(items[n].values)
    strong = [c for c in out if not c.weak and n not in range(c.first, c.last + 1)]
    own = next((c for c in out if n in range(c.first, c.last + 1)), None)
    if len(strong) == 1 and len(strong[0].numbers) == 1:
        each = max(strong[0].numbers[0].values)
        before = [i for i in items[: strong[0].first] if i.whole] or list(items[:0])
        fits = value > each and value % each == 0
        led = for_each(items, strong[0].first) or before or own is None
        if fits and led and strong[0].first < n:
            kept = [c for c in out if c is not strong[0] and c is not own]
            both = replace(strong[0], numbers=(items[n],), summed=True)
            return sorted([*kept, both], key=lambda c: c.first)
    if own is not None and any(value % max(c.numbers[0].values) == 0 for c in strong):
        return out
    if strong and sum(max(i.values) for c in strong for i in c.numbers) != value:
        why = f'"{items[n].text} {_total_word(items, n)}": how many of what?'
        return [replace(c, why=why) if c in strong else c for c in out if c is not own]
    return out


def _total_word(items: Sequence[Item], n: int) -> str:
    near = [*items[n + 1 : n + 4], *items[max(n - 1, 0) : n]]
    return next((i.text for i in near if "total" in i.tags), "")


def for_each(items: Sequence[Item], first: int) -> str:
    """Return what a count is for each of, by the words at the head of its clause; or nothing.

    "Per drier there are also two side strips" counts for each drier.
    """
    low = max((k + 1 for k in range(first) if items[k].kind in ("mark", "nl")), default=0)
    head = items[low:first]
    for n, item in enumerate(head[:-1]):
        if fold(item.text) not in (_PER if not n else _PER_AMID):
            continue
        noun = next((i for i in head[n + 1 : n + 4] if i.kind == "word" and _names_thing(i)), None)
        if noun is None or fold(noun.text) in _NO_THING:
            return ""
        if {"form", "shape", "size", "item", "roll_length"} & noun.tags.keys():
            return ""
        return f"{item.text} {noun.text}"
    return ""


def _names_thing(item: Item) -> bool:
    """Whether a word may be the name of what is counted for."""
    return not ({"the", "quote", "and", "alloy", "unit", "count"} & item.tags.keys()) and (
        len(item.text) > 2  # noqa: PLR2004 - an article
    )
