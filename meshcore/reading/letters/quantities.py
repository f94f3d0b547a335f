"""Which bare whole numbers of a passage are quantities."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: Words that may stand between a number and what it counts: "3 further stainless steel discs".
_BETWEEN = 4
_JOINS = frozenset({",", "/", "&"})
#: A price break has fewer quantities than this.
_MOST_PRICES = 12
#: Words that end the search for what a number counts.
_HALT = frozenset({"size", "process", "or", "unlike", "history", "item", "range", "unit", "count"})


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
        found = _leading(items, dropped) or _trailing(items, dropped)
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
    while k < len(items) and len(run) < _MOST_PRICES:
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
        noun = _noun(items, last, dropped)
        return Counted(tuple(items[r] for r in run), n, noun or last, noun or last)
    noun = _noun(items, run[-1], dropped)
    if noun is not None and _is_second_size(items, n, noun):
        return None
    alone = noun is None and len(run) == 1
    if alone and (_one_more(items, n) or _times_sizes(items, n) or _named_piece(items, n, dropped)):
        return Counted((items[n],), n, n, n)
    if noun is None:
        return None
    weak = items[n].spelled and fold(items[n].text) in _ARTICLES and len(run) == 1
    return Counted(tuple(items[r] for r in run), n, noun, noun, weak)


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
    united = a.unit in _LENGTHS and b.unit in _LENGTHS
    large = min(*a.values, *b.values) >= _LEAST_SIZE and not a.unit
    return first.values[0] <= _MOST_TIMES and (united or large)


#: Words between what is counted and its two sizes: "three bits at 1100 x 750".
_AT = frozenset({"at", "measuring", "sized"})


def _named_piece(items: Sequence[Item], n: int, dropped: set[int]) -> bool:
    """Whether a number counts things that have sizes: "40 bottoms, 580 mm square"."""
    k = n + 1
    while k < len(items) and k - n <= 3 and items[k].kind == "word" and k not in dropped:  # noqa: PLR2004
        if fold(items[k].text) in _AT:
            break
        tags = items[k].tags
        if tags.keys() - {"edge", "wide", "narrow", "also", "size"} or tags.get("size") in _SIZED:
            return False
        k += 1
    after = items[k : k + 4]
    placed = bool(after) and fold(after[0].text) in _AT
    if (k == n + 1 and not placed) or len(after) < 3:  # noqa: PLR2004
        return False
    if not placed and after[0].text not in (",", ":"):
        return False
    if after[1].kind != "num" or after[1].unit not in ("", "mm", "cm", "in", "m", "ft"):
        return False
    crossed = fold(after[2].text) in ("x", "by", "*")
    return crossed or after[2].tags.get("shape") == "square" or fold(after[2].text) == "square"


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


def _noun(items: Sequence[Item], n: int, dropped: set[int]) -> int | None:  # noqa: PLR0911
    """Index of the word that says what is counted."""
    k, steps = n + 1, 0
    if (
        k < len(items)
        and fold(items[k].text) in ("x", "*")
        and k + 1 < len(items)
        and {"form", "shape", "roll_length"} & items[k + 1].tags.keys()
    ):
        return k + 1
    long = items[k : k + 3]
    if (
        len(long) == 3  # noqa: PLR2004
        and fold(long[0].text) in ("x", "*")
        and long[1].unit in _LENGTHS
        and "form" in long[2].tags
    ):
        return k + 2
    if (past := _past_sizes(items, k)) and {"form", "shape"} & items[past].tags.keys():
        return past
    hyphen = False
    while k < len(items) and steps <= _BETWEEN:
        item = items[k]
        if item.text == "(" and (past := _past_brackets(items, k, dropped)):
            k = past
            continue
        if k in dropped and "but" not in item.tags:
            return None
        tags = item.tags
        if {"form", "shape", "roll_length"} & tags.keys():
            return k
        if tags.get("quantity") == "after":
            return _past_after(items, k)
        if item.kind == "mark":
            if item.text == "-" and item.glued and not hyphen:
                hyphen = True
                k += 1
                continue
            return None
        if item.kind == "num" and item.unit in _LENGTHS and not steps and _form_after(items, k):
            return k + 1
        if item.kind != "word" or _HALT & tags.keys() or fold(item.text) in ("x", "by"):
            return None
        k, steps = k + 1, steps + 1
    return None


#: Units of a length that stands between a number and its rolls: "two 100 ft rolls".
_LENGTHS = frozenset({"mm", "cm", "m", "in", "ft", "yd"})


def _past_sizes(items: Sequence[Item], k: int) -> int:
    """Index after crossed sizes between a number and what it counts: "one 48" x 100' roll"; or 0."""  # noqa: E501
    n = k
    while n < len(items) - 1 and (
        items[n].unit in _LENGTHS or (n > k and fold(items[n].text) in ("x", "by"))
    ):
        n += 1
    return n if n > k and items[n - 1].kind == "num" else 0


def _form_after(items: Sequence[Item], k: int) -> bool:
    return k + 1 < len(items) and bool({"form", "shape"} & items[k + 1].tags.keys())


def _past_brackets(items: Sequence[Item], k: int, dropped: set[int]) -> int:
    """Index after brackets in which something is denied: "4 (not 6) discs"; 0 for other brackets."""  # noqa: E501
    for end in range(k + 1, min(k + 8, len(items))):
        if items[end].text == ")":
            return end + 1 if k + 1 in dropped else 0
    return 0


def _past_after(items: Sequence[Item], k: int) -> int | None:
    """Read "5 off rings": take the noun after the "off" too; a bare "no" must end its clause."""
    if "not" in items[k].tags:
        after = items[k + 1] if k + 1 < len(items) else None
        return k if after is None or after.kind in ("mark", "nl") else None
    for j in range(k + 1, min(k + 3, len(items))):
        if {"form", "shape"} & items[j].tags.keys():
            return j
        if items[j].kind != "word" or _HALT & items[j].tags.keys():
            break
    return k


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


def _trailing(items: Sequence[Item], dropped: set[int]) -> Counted | None:
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
    return Counted((items[last],), last, last, last) if dashed or crossed else None
