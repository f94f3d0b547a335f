"""Which bare whole numbers of a passage are quantities."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from meshcore.reading.letters.item import Item
from meshcore.reading.letters.nouns import LENGTHS, find_noun
from meshcore.reading.vocabulary import fold

_JOINS = frozenset({",", "/", "&"})
#: A price break has fewer quantities than this.
_MOST_PRICES = 12


@dataclass(frozen=True, slots=True)
class Counted:
    """Numbers that count one thing: more than one is a price break."""

    numbers: tuple[Item, ...]
    first: int
    last: int
    noun: int
    weak: bool = False


def find_quantities(items: Sequence[Item], dropped: set[int], listed: bool) -> list[Counted]:
    """Find the quantities of a passage, in order.

    Parameters
    ----------
    items, dropped
        The passage, and which of its items are denied or told of the past.
    listed
        Whether it is an item of a list, whose first bare number counts even an unknown thing.
    """
    out: list[Counted] = []
    n = 0
    while n < len(items):
        item = items[n]
        if n in dropped or (item.kind != "num" and "roll_length" not in item.tags):
            n += 1
            continue
        found = _counted(items, n, dropped)
        if found is None and item.kind != "num":
            found = Counted((_one(item),), n, n, n, weak=True)
        if found is not None:
            out.append(found)
            n = found.last + 1
        else:
            n += 1
    strong = [c for c in out if not c.weak]
    if not strong and (each := _each_at_end(items, dropped)) is not None:
        out = [*out, each]
        strong = [each]
    found = None if strong or listed else _trailing(items, dropped)
    if found is not None and "size" in items[found.first - 2].tags:
        out = [*out, found]
        strong = [found]
    if not strong and listed:
        found = _leading(items, dropped) or _trailing(items, dropped, listed=True)
        if found is not None:
            return [found, *(c for c in out if c.first > found.last and not c.weak)]
    return out


def _one(item: Item) -> Item:
    return Item("num", item.text, item.start, item.end, values=(1.0,), spelled=True)


def _counted(  # noqa: PLR0911, PLR0912
    items: Sequence[Item], n: int, dropped: set[int]
) -> Counted | None:
    if not items[n].whole or _names(items, n):
        return None
    run = [n]
    k = n + 1
    crossed = n > 1 and fold(items[n - 1].text) in ("x", "by", "*") and items[n - 2].kind == "num"
    while not crossed and k < len(items) and len(run) < _MOST_PRICES:
        step = k
        while step < len(items) and (
            items[step].text in _JOINS
            or "and" in items[step].tags
            or ("or" in items[step].tags and len(run) > 1)
        ):
            step += 1
        if step == k or step >= len(items) or not items[step].whole or step in dropped:
            break
        if items[step].spelled and fold(items[step].text) in _ARTICLES:
            break
        run.append(step)
        k = step + 1
    before = items[n - 1] if n else None
    if len(run) > 1 and before is not None and fold(before.text) in ("x", "*", "by") and n > 1:
        return None
    if before is not None and before.text in ":=" and n > 1:
        before = items[n - 2]
    sized = before is not None and "size" in before.tags and before.tags.get("leans") != "after"
    if len(run) > 1 and sized and before is not None and "quantity" not in before.tags:
        return None
    if before is not None and n > 1 and fold(before.text) in ("of", "von", "de"):
        before = items[n - 2] if items[n - 2].tags.get("quantity") == "before" else before
    if before is not None and fold(before.text) == "number" and items[n].spelled:
        return None
    if before is not None and before.tags.get("quantity") == "before":
        last = run[-1] if len(run) > 1 else n
        noun = find_noun(items, last, dropped)
        return Counted(tuple(items[r] for r in run), n, noun or last, noun or last)
    noun = find_noun(items, run[-1], dropped)
    if noun is not None and (_is_second_size(items, n, noun) or (crossed and noun > n + 1)):
        return None
    alone = noun is None and len(run) == 1
    if alone and _ends_clause(items, n):
        return Counted((items[n],), n, n, n)
    if alone and (_one_more(items, n) or _times_sizes(items, n) or _named_piece(items, n, dropped)):
        return Counted((items[n],), n, n, n)
    if noun is None:
        return None
    weak = items[n].spelled and fold(items[n].text) in _ARTICLES and len(run) == 1
    return Counted(tuple(items[r] for r in run), n, noun, noun, weak)


def _ends_clause(items: Sequence[Item], n: int) -> bool:
    """Whether a bare number counts at the end of its clause: "…, also six.", "One only."."""
    after = items[n + 1] if n + 1 < len(items) else None
    only = after is not None and fold(after.text) == "only"
    if only:
        after = items[n + 2] if n + 2 < len(items) else None
    ended = after is None or after.kind == "nl" or after.text in ".;"
    before = items[n - 1] if n else None
    told = before is not None and "also" in before.tags and fold(before.text) not in ("and", "&")
    head = before is None or (before.kind == "mark" and before.text in ",;.-")
    return ended and (told or (only and head))


def _is_second_size(items: Sequence[Item], n: int, noun: int) -> bool:
    """Whether a number is crossed with another bare one, and says how long the roll is: "3 x 100 roll"."""  # noqa: E501
    if n < 2 or items[noun].tags.get("form") != "roll" or fold(items[n - 1].text) != "x":  # noqa: PLR2004
        return False
    return noun == n + 1 and items[n - 2].whole and not items[n - 2].unit


#: A first number of three crossed ones counts where it is no more than this, and the others are
#: sizes: "2 x 1m x 30m" (our choice).
_MOST_TIMES, _LEAST_SIZE = 60.0, 100.0


def _times_sizes(items: Sequence[Item], n: int) -> bool:
    """Whether a number counts the sizes that it is crossed with: "2 x 1m x 30m"."""
    five = items[n : n + 5]
    if len(five) < 5 or {fold(five[1].text), fold(five[3].text)} - {"x", "*"}:  # noqa: PLR2004
        return False
    first, a, b = five[0], five[2], five[4]
    if a.kind != "num" or b.kind != "num" or (n and fold(items[n - 1].text) in ("x", "*")):
        return False
    if len(items) > n + 5 and fold(items[n + 5].text) in ("x", "*"):
        return False
    united = a.unit in LENGTHS and b.unit in LENGTHS
    large = min(*a.values, *b.values) >= _LEAST_SIZE and not a.unit
    return first.values[0] <= _MOST_TIMES and (united or large)


#: Words between what is counted and its two sizes: "three bits at 1100 x 750".
_AT = frozenset({"at", "measuring", "sized"})


#: Kinds of word that may stand between a number and the sizes of what it counts.
_PLAIN = frozenset({"edge", "wide", "narrow", "also", "size", "place", "process"})


def _named_piece(  # noqa: PLR0911
    items: Sequence[Item], n: int, dropped: set[int]
) -> bool:
    """Whether a number counts things that have sizes: "40 bottoms, 580 mm square"."""
    k = n + 1
    while k < len(items) and k - n <= 3 and items[k].kind == "word" and k not in dropped:  # noqa: PLR2004
        if fold(items[k].text) in _AT:
            break
        if fold(items[k].text) in ("x", "by"):
            return False
        tags = items[k].tags
        if tags.keys() - _PLAIN or tags.get("size") in _SIZED:
            return False
        k += 1
    after = items[k : k + 4]
    placed = bool(after) and fold(after[0].text) in _AT
    if (k == n + 1 and not placed) or len(after) < 3:  # noqa: PLR2004
        return False
    if k == n + 2 and len(after) > 2 and fold(after[1].text) in ("x", "*"):  # noqa: PLR2004
        return _is_large(after[0]) and _is_large(after[2])
    if not placed and after[0].text not in (",", ":"):
        return False
    if after[1].kind != "num" or after[1].unit not in ("", "mm", "cm", "in", "m", "ft"):
        return False
    crossed = fold(after[2].text) in ("x", "by", "*")
    return crossed or after[2].tags.get("shape") == "square" or fold(after[2].text) == "square"


#: A size of a piece is no less than this, in whatever unit it is written in (our choice).
_LEAST_SIDE = {"": 50.0, "mm": 50.0, "cm": 5.0, "m": 0.05, "in": 2.0, "ft": 0.2}


def _is_large(item: Item) -> bool:
    """Whether an amount may be the side of a piece."""
    least = _LEAST_SIDE.get(item.unit)
    return item.kind == "num" and least is not None and max(item.values, default=0.0) >= least


#: Words that say which size an amount is: what stands before them is no count.
_SIZED = frozenset(
    {"aperture", "wire", "pitch", "width", "length", "height", "diameter", "od", "id"}
)


def _one_more(items: Sequence[Item], n: int) -> bool:
    """Whether a bare number counts more of the same: "und noch 1 in Masche 16", "plus 2 in 316"."""
    lead, after = items[max(n - 2, 0) : n], items[n + 1 : n + 3]
    return (
        any("also" in i.tags for i in lead)
        and len(after) == 2  # noqa: PLR2004
        and fold(after[0].text) in ("in", "en", "aus", "mit", "with", "avec", "con")
        and bool({"size", "alloy", "count"} & after[1].tags.keys() or after[1].kind == "num")
    )


#: A number word that is an article too.
_ARTICLES = frozenset({"a", "an", "ein", "eine", "einen", "einer", "einem", "un", "une", "una"})


def _names(items: Sequence[Item], n: int) -> bool:
    """Whether a number is the name of something: "item 3", "no. 5", or an alloy's."""
    single = n and items[n].spelled and items[n].values == (1.0,)
    if single and fold(items[n - 1].text) in ("from", "aus", "d", "en"):
        return True
    if items[n].tags.get("alloy"):
        after = items[n + 1] if n + 1 < len(items) else None
        return after is None or after.tags.get("quantity") != "after"
    before = items[n - 1] if n else None
    if before is None:
        return False
    if before.text == "." and n > 1:
        before = items[n - 2]
    if (
        before.text == "-"
        and n > 1
        and items[n - 2].kind == "num"
        and before.glued
        and items[n].glued
    ):
        return True
    return "item" in before.tags and before.tags.get("quantity") is None


def _leading(items: Sequence[Item], dropped: set[int]) -> Counted | None:
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
        )
        if item.whole and n not in dropped and not item.tags.get("alloy") and named:
            return Counted((item,), n, n, n)
        return None
    return None


def _each_at_end(items: Sequence[Item], dropped: set[int]) -> Counted | None:
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


def _trailing(items: Sequence[Item], dropped: set[int], listed: bool = False) -> Counted | None:
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
    crossed = fold(before.text) == "x" and (
        {"form", "shape"} & two.tags.keys() or gap or (two.kind == "word" and "size" in two.tags)
    )
    apart = (
        listed
        and (before.kind != "mark" or before.text == ")")
        and items[last].start - before.end > 1
    )
    found = dashed or crossed or apart
    return Counted((items[last],), last, last, last) if found else None
