"""The word that says what a number counts."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.item import Item, first_word
from meshcore.reading.letters.scope import counts_pieces
from meshcore.reading.vocabulary import fold

#: Words that may stand between a number and what it counts: "3 further stainless steel discs".
_BETWEEN = 4
#: Words that end the search for what a number counts.
_HALT = frozenset({"size", "process", "or", "unlike", "history", "item", "range", "unit", "count"})
#: Who does something: what follows is another clause, "for a filter we use discs".
_SUBJECTS = frozenset({"we", "i", "you", "they", "wir", "ich", "sie", "nous", "vous", "on",
                       "nosotros"})  # fmt: skip
#: Units of a length that stands between a number and its rolls: "two 100 ft rolls".
LENGTHS = frozenset({"mm", "cm", "m", "in", "ft", "yd"})


def find_noun(items: Sequence[Item], n: int, dropped: set[int]) -> int | None:  # noqa: PLR0911, PLR0912
    """Index of the word that says what a number counts; None where none does."""
    k, steps = n + 1, 0
    if n and items[n - 1].text == "(" and k < len(items) and items[k].text == ")":
        k += 1  # "(12) pcs"
    if n and of_them(items, n) and {"form", "shape"} & items[n - 1].tags.keys():
        return n - 1
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
        and long[1].unit in LENGTHS
        and "form" in long[2].tags
    ):
        return k + 2
    if (past := _past_sizes(items, k)) and {"form", "shape"} & items[past].tags.keys():
        return past
    if (part := _of_the(items, k)) and k not in dropped:
        return part
    if (said := _that_is(items, k)) and said not in dropped:
        return said
    hyphen = False
    while k < len(items) and steps <= _BETWEEN:
        item = items[k]
        if item.text == "(" and (past := _past_brackets(items, k, dropped)):
            k = past
            continue
        if k in dropped and "but" not in item.tags:
            return None
        tags = item.tags
        if fold(item.text) in _SUBJECTS:
            return None
        if {"form", "shape", "roll_length", "own"} & tags.keys():
            return k
        if tags.get("quantity") == "after":
            return _past_after(items, k)
        if item.kind == "nl" and k == n + 1 and items[n].spelled and _is_goods(items, k + 1):
            k += 1  # "three", on the next line "rolls"
            continue
        if item.kind == "mark":
            if item.text == "-" and item.glued and not hyphen:
                hyphen = True
                k += 1
                continue
            return None
        if item.kind == "num" and item.unit in LENGTHS and _near_count(items, k, steps):
            return k + 1
        if item.kind != "word" or _HALT & tags.keys() or fold(item.text) in ("x", "by"):
            return None
        k, steps = k + 1, steps + 1
    return None


#: Between an article and the length of what it counts: "a full 100 ft roll".
_FULL = frozenset({"full", "whole", "complete", "standard", "single", "ganze", "volle"})


def _near_count(items: Sequence[Item], k: int, steps: int) -> bool:
    """Whether a length right behind its number stands before what is counted."""
    near = not steps or (steps == 1 and fold(items[k - 1].text) in _FULL)
    return near and _form_after(items, k)


def _is_goods(items: Sequence[Item], k: int) -> bool:
    return k < len(items) and bool({"form", "shape", "roll_length"} & items[k].tags.keys())


#: What leads from a thing's own name to what it is for the mill.
_THAT_IS = ("es decir", "o sea", "that is", "i . e .", "ie", "namely", "das heisst", "d . h .",
            "d h", "also", "namlich", "sprich", "c'est-a-dire", "c ' est - a - dire", "soit",
            "a saber")  # fmt: skip
#: Words of a thing's own name, and those from "that is" to its shape.
_NAMED, _SHAPED = 4, 3


def _that_is(items: Sequence[Item], k: int) -> int:
    """Index of the shape after "six trays, that is rectangular pieces"; 0 where there is none."""
    comma = next(
        (n for n in range(k, min(k + _NAMED, len(items))) if items[n].text in (",", "(")), 0
    )
    if not comma or comma == k or any(i.kind != "word" for i in items[k:comma]):
        return 0
    text = " ".join(fold(i.text) for i in items[comma + 1 : comma + 10])
    led = next((one for one in _THAT_IS if text.startswith(one + " ")), "")
    if not led:
        return 0
    start = comma + 1 + _length_of(items[comma + 1 :], led)
    for n in range(start, min(start + _SHAPED, len(items))):
        if {"form", "shape", "counts_pieces"} & items[n].tags.keys():
            return n
    return 0


def _length_of(items: Sequence[Item], led: str) -> int:
    """Return how many items a phrase takes."""
    text = ""
    for n, item in enumerate(items):
        text = f"{text} {fold(item.text)}".strip()
        if len(text) >= len(led):
            return n + 1
    return len(items)


def of_them(items: Sequence[Item], n: int) -> bool:
    """Whether a number counts what is named before it: "circles two hundred of them"."""
    after = items[n + 1] if n + 1 < len(items) else None
    return after is not None and fold(after.text) in _OF_THEM


_OF_THEM = frozenset({"of them", "of these", "of 'em", "of em", "davon"})


def _past_sizes(items: Sequence[Item], k: int) -> int:
    """Index after crossed sizes between a number and what it counts: "one 48" x 100' roll"; or 0."""  # noqa: E501
    n = k
    while n < len(items) - 1 and (
        items[n].unit in LENGTHS or (n > k and fold(items[n].text) in ("x", "by"))
    ):
        n += 1
    return n if n > k and items[n - 1].kind == "num" else 0


_OF = frozenset({"of", "von", "de", "des", "der", "del", "vom"})


def _of_the(  # noqa: PLR0911
    items: Sequence[Item], k: int
) -> int:
    """Index of the cloth that a number counts: "3 of the 20 mesh", "5 of the same"; or 0."""
    if k < len(items) and "cloth" in items[k].tags and first_word(items[k]) in _OF:
        return k
    if k + 1 < len(items) and fold(items[k].text) in _OF:
        for same in range(k + 1, min(k + 3, len(items))):
            if {"same", "cloth"} & items[same].tags.keys():
                return same
            if "the" not in items[same].tags:
                break
    if k + 2 >= len(items) or fold(items[k].text) not in _OF:
        return 0
    at = k + 1 + ("the" in items[k + 1].tags)
    told = fold(items[k].text) == "of" and not any("each" in i.tags for i in items[:k])
    if told and items[k + 1].unit.startswith("/"):
        return k + 1  # "three of 16 mesh"
    if at >= len(items) or (at == k + 1 and fold(items[k].text) not in ("des", "der", "del")):
        return 0
    one = items[at]
    if at > k + 1 and fold(one.text) in ("following", "below", "above"):
        return at
    counted = one.kind == "num" and (one.unit.startswith("/") or one.unit == "M")
    return at if counted or "alloy" in one.tags else 0


def _form_after(items: Sequence[Item], k: int) -> bool:
    if k + 1 >= len(items):
        return False
    tags = items[k + 1].tags
    one = items[k].unit in ("m", "ft", "yd") and tags.get("size") == "length"
    return bool({"form", "shape"} & tags.keys()) or one


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
        ended = after is None or after.kind in ("mark", "nl")
        if counts_pieces(items, k):
            return k + 1 if {"form", "shape"} & items[k + 1].tags.keys() else k
        return k if ended or (after is not None and after.unit in LENGTHS) else None
    for j in range(k + 1, min(k + 3, len(items))):
        if {"form", "shape"} & items[j].tags.keys():
            return j
        if items[j].kind != "word" or _HALT & items[j].tags.keys():
            break
    return k
