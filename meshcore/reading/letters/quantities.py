"""Which bare whole numbers of a passage are quantities."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.alone import counts_alone, settled_count
from meshcore.reading.letters.counted import Counted
from meshcore.reading.letters.counts_at_ends import (
    also_for,
    each_at_end,
    leading_count,
    trailing_count,
)
from meshcore.reading.letters.crossed import is_second_size, sized_pair
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.many_sizes import counts_of_sizes, counts_one_size
from meshcore.reading.letters.named_sizes import (
    as_large,
    counts_sizes,
    of_named,
    recounted,
    sizes_named,
    told_again,
)
from meshcore.reading.letters.names_not_counts import is_letter, names_one
from meshcore.reading.letters.nouns import find_noun
from meshcore.reading.letters.priced_for import LEADS_PRICES, named_in_brackets, priced_for
from meshcore.reading.letters.sized_pieces import asked_things, named_piece, times_sizes
from meshcore.reading.vocabulary import fold

_JOINS = frozenset({",", "/", "&"})
#: A price break has fewer quantities than this.
_MOST_PRICES = 12


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
    sized = counts_of_sizes(items, dropped)
    n = 0
    while n < len(items):
        item = items[n]
        if n in sized:
            out.append(Counted((item,), n, n, n))
            n += 1
            continue
        if n in dropped or (item.kind != "num" and "roll_length" not in item.tags):
            n += 1
            continue
        found = _counted(items, n, dropped)
        if found is None and item.kind != "num":
            found = Counted((_one(item),), n, n, n, weak=True)
        if found is not None:
            out.append(found)
            n = max(found.last, n) + 1
        else:
            n += 1
    strong = [c for c in out if not c.weak]
    if len(strong) == 1 and (more := also_for(items, dropped)):
        numbers = (*strong[0].numbers, *(items[n] for n in more))
        out = [replace(c, numbers=numbers) if c is strong[0] else c for c in out]
        return out
    if not strong and (each := each_at_end(items, dropped)) is not None:
        out = [*out, each]
        strong = [each]
    found = None if strong or listed else trailing_count(items, dropped)
    if (
        found is not None
        and {"size", "form", "shape", "alloy"} & items[found.first - 2].tags.keys()
    ):
        out = [*out, found]
        strong = [found]
    late = settled_count(items, dropped) if listed and len(strong) < 2 else -1  # noqa: PLR2004
    if late >= 0 and all(c.last < late and _counts_pieces(items, c) for c in strong):
        out = [*(c for c in out if c not in strong), Counted((items[late],), late, late, late)]
        strong = out[-1:]
    if not strong and listed:
        found = leading_count(items, dropped) or trailing_count(items, dropped, listed=True)
        if found is not None:
            return [found, *(c for c in out if c.first > found.last and not c.weak)]
    return out


def _counts_pieces(items: Sequence[Item], one: Counted) -> bool:
    """Whether a count stands alone, or counts what is told of no further."""
    return one.noun == one.first or bool({"form", "shape"} & items[one.noun].tags.keys())


def _one(item: Item) -> Item:
    return Item("num", item.text, item.start, item.end, values=(1.0,), spelled=True)


def _counted(  # noqa: PLR0911, PLR0912
    items: Sequence[Item], n: int, dropped: set[int]
) -> Counted | None:
    if not items[n].whole or _names(items, n) or is_total(items, n) or sizes_named(items, n):
        return None
    if is_letter(items, n):
        return None
    if _made(items, n):
        return Counted((items[n],), n, n, n)
    if (named := of_named(items, n)) and named not in dropped:
        return Counted((items[n],), n, named, named)
    run = [n]
    k = n + 1
    crossed = n > 1 and fold(items[n - 1].text) in ("x", "by", "*") and items[n - 2].kind == "num"
    while not crossed and k < len(items) and len(run) < _MOST_PRICES:
        step = k
        while step < len(items) and (
            items[step].text in _JOINS
            or "and" in items[step].tags
            or ("or" in items[step].tags and len(run) > 1)
            or (step > k and fold(items[step].text) in LEADS_PRICES)
            or named_in_brackets(items, step)
        ):
            step += 3 if items[step].text == "(" else 1
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
    if before is not None and fold(before.text) == "number" and _is_numbered(items, n):
        return None
    if before is not None and before.tags.get("quantity") == "before" and not sized_pair(items, n):
        last = run[-1] if len(run) > 1 else n
        noun = find_noun(items, last, dropped)
        if noun is None and items[n].spelled and fold(items[n].text) in _ARTICLES:
            return None  # "just a rough price"
        return Counted(tuple(items[r] for r in run), n, noun or last, noun or last)
    if fold(items[n].text) in _ARTICLES and n + 1 < len(items) and "quote" in items[n + 1].tags:
        return None  # "an offer for rings"
    noun = find_noun(items, run[-1], dropped)
    if noun is not None and (is_second_size(items, n, noun) or (crossed and noun > n + 1)):
        return None
    if noun is None and len(run) > 1 and priced_for(items, n, run):
        return Counted(tuple(items[r] for r in run), n, run[-1], run[-1])
    alone = noun is None and len(run) == 1
    if alone and (_ends_clause(items, n) or counts_alone(items, n)):
        return Counted((items[n],), n, n, n)
    if alone and (_one_more(items, n) or times_sizes(items, n) or counts_one_size(items, n)):
        return Counted((items[n],), n, n, n)
    if alone and told_again(items, n):
        return Counted((items[n],), n, n, n)
    if alone and asked_things(items, n, dropped):
        return Counted((items[n],), n, n, n, pieces=True)
    if alone and (named_piece(items, n, dropped) or as_large(items, n) or counts_sizes(items, n)):
        return Counted((items[n],), n, n, n, pieces=True)
    if noun is None and len(run) == 1 and (noun := recounted(items, n)) is None:
        return None
    if noun is not None and len(run) == 1 and names_one(items, n, noun):
        return None
    if noun is None:
        return None
    weak = items[n].spelled and fold(items[n].text) in _ARTICLES and len(run) == 1
    own = items[noun].tags.get("own") == "piece"
    if weak and "own" in items[noun].tags:
        return None  # "we want a guard of …": how many is told later, or asked
    return Counted(tuple(items[r] for r in run), n, noun, noun, weak, pieces=own)


def _made(items: Sequence[Item], n: int) -> bool:
    """Whether a number counts what a change names before it: "make the rings 12"."""
    after = items[n + 1] if n + 1 < len(items) else None
    ended = after is None or after.kind == "nl" or after.text in ",.;!)"
    ended = ended or (after is not None and fold(after.text) in ("please", "pls", "bitte", "then"))
    named = n > 1 and bool({"form", "shape"} & items[n - 1].tags.keys())
    lead = items[max(n - 3, 0) : n - 1]
    return named and ended and any("correct" in i.tags or "put" in i.tags for i in lead)


def _is_numbered(items: Sequence[Item], n: int) -> bool:
    """Whether a number after "number" is a thing's name: "extruder number 6"."""
    two = items[n - 2] if n > 1 else None
    return items[n].spelled or (two is not None and two.kind == "word" and not two.tags)


#: What parts a total: "16, of which 10 …".
_PARTS = ("of which", "of them", "davon", "dont", "de los cuales", "whereof")


def is_total(items: Sequence[Item], n: int) -> bool:
    """Whether a number is only the sum of those that follow: "16 panels, of which 10 are …"."""
    k = next((k for k in range(n + 1, min(n + 4, len(items))) if items[k].text == ","), n)
    text = " ".join(fold(i.text) for i in items[k + 1 : k + 4])
    return k > n and text.startswith(_PARTS) and any(i.whole for i in items[k + 2 : k + 5])


def _ends_clause(items: Sequence[Item], n: int) -> bool:
    """Whether a bare number counts at the end of its clause: "…, also six.", "One only."."""
    after = items[n + 1] if n + 1 < len(items) else None
    only = after is not None and fold(after.text) in ("only", "of")
    if only:
        after = items[n + 2] if n + 2 < len(items) else None
    ended = after is None or after.kind == "nl" or after.text in ".;"
    before = items[n - 1] if n else None
    told = before is not None and "also" in before.tags and fold(before.text) not in ("and", "&")
    head = before is None or (before.kind == "mark" and before.text in ",;.-")
    return ended and (told or (only and head))


def _one_more(items: Sequence[Item], n: int) -> bool:
    """Whether a bare number counts more of the same: "und noch 1 in Masche 16", "plus 2 in 316"."""
    lead, after = items[max(n - 2, 0) : n], items[n + 1 : n + 3]
    if lead and "the" in lead[-1].tags:
        return False
    return (
        any("also" in i.tags for i in lead)
        and len(after) == 2  # noqa: PLR2004
        and fold(after[0].text) in ("in", "en", "aus", "mit", "with", "avec", "con")
        and bool({"size", "alloy", "count"} & after[1].tags.keys() or after[1].kind == "num")
    )


#: A number word that is an article too.
_ARTICLES = frozenset({"a", "an", "ein", "eine", "einen", "einer", "einem", "un", "une", "una"})


#: After these a "one" counts nothing: "from one", "every one of them".
_NO_COUNT_AFTER = frozenset({"from", "aus", "d", "en", "every", "each", "off"})


def _names(  # noqa: PLR0911
    items: Sequence[Item], n: int
) -> bool:
    """Whether a number is the name of something: "item 3", "no. 5", or an alloy's."""
    single = n and items[n].spelled and items[n].values == (1.0,)
    if single and fold(items[n - 1].text) in _NO_COUNT_AFTER:
        return True
    if items[n].spelled and n > 1 and "each" in items[n - 2].tags:
        return False  # "each item one roll"
    if items[n].tags.get("alloy"):
        after = items[n + 1] if n + 1 < len(items) else None
        return after is None or after.tags.get("quantity") != "after"
    before = items[n - 1] if n else None
    if before is None:
        return False
    if before.text == "." and n > 1:
        before = items[n - 2]
        if fold(before.text) in ("no", "nr") and not (n > 2 and items[n - 3].whole):  # noqa: PLR2004
            return True  # "extruder no. 2 and no. 5"
    if (
        before.text == "-"
        and n > 1
        and items[n - 2].kind == "num"
        and before.glued
        and items[n].glued
    ):
        return True
    return "item" in before.tags and before.tags.get("quantity") is None
