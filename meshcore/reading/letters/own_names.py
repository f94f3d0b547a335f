"""What a letter itself calls the goods: "a round guard, 96 mm", "trays: 48 sheets"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: Units of sizes and counts: goods are told by them right after their name.
_TELLS = frozenset({"mm", "cm", "m", "µm", "in", "ft", "/in", "/cm"})
#: A name has no more words than this, is no shorter, and is told within so many items (our choice).
_MOST_WORDS, _LEAST_SIGNS, _TOLD_WITHIN = 3, 4, 8
#: What a name may be followed by.
_AFTER = frozenset({",", ":", "(", "of", "in", "made", "from", "with", "aus", "von", "mit", "en",
                    "de", "avec", "con", "measuring", "each", "is", "are", "for", "fur", "pour",
                    "para"})  # fmt: skip
#: Before a number or an article: what follows is no goods, "for a mill, 3 rolls".
_NOT_GOODS = frozenset({"for", "on", "in", "at", "to", "fur", "auf", "bei", "pour", "sur", "dans",
                        "para", "from", "der", "per", "of"})  # fmt: skip
#: What leads to goods besides a word that asks: "each drum takes one outer wrapper".
_HOLDS = frozenset({"takes", "take", "gets", "get", "needs", "wants", "nimmt",
                    "braucht", "bekommt", "erhalt", "prend", "recoit", "lleva", "recibe",
                    "necesita"})  # fmt: skip
#: Words that call no goods though nothing is known of them.
_NO_NAMES = frozenset({"price", "prices", "quotation", "offer", "line", "lines", "order", "hole",
                       "week", "weeks", "time", "times", "side", "sides", "thing", "kind", "sort",
                       "sorts", "size", "sizes", "each", "other", "others", "more", "than", "them",
                       "these", "those", "year", "width", "length", "this", "that", "with", "gauge",
                       "sets", "pairs", "packs", "boxes", "lots", "batches", "items", "item",
                       "mesh", "cloth", "wire", "gewebe", "draht", "toile",
                       "maille", "malla", "tela", "hilo", "alambre", "material", "please", "grade",
                       "type", "types", "stainless", "inch", "long", "wide", "high"})  # fmt: skip


def own_names(passages: Sequence[Sequence[Item]]) -> dict[str, str]:
    """Names of goods of the letter's own, each with the form it is told of.

    Parameters
    ----------
    passages
        Items of each passage.
    """
    names: dict[str, str] = {}
    for items in passages:
        if keyed := _keyed(items):
            names[keyed[0]] = keyed[1]
        for n in range(len(items)):
            if (name := _called(items, n)) is not None:
                names.setdefault(name, "piece")
    return names


def _is_plain(item: Item) -> bool:
    """Whether a word may be a name or stand in one."""
    plain = not item.tags.keys() - _BESIDE
    named = item.kind == "word" and " " not in item.text and fold(item.text) not in _AFTER
    return named and (plain or _stands_beside(item))


#: Kinds of word that may stand in a name.
_BESIDE = frozenset({"process", "stop", "wide", "narrow", "place", "former", "latter"})


def _stands_beside(item: Item) -> bool:
    """Whether a word tells how something lies: "outer", "inner"."""
    return item.tags.get("size") in ("od", "id")


def _is_name(item: Item) -> bool:
    word = fold(item.text)
    told = item.tags.keys() - {"stop"}
    return item.kind == "word" and not told and len(word) >= _LEAST_SIGNS and word not in _NO_NAMES


def _keyed(items: Sequence[Item]) -> tuple[str, str] | None:
    """Name before a colon and the form of what is counted behind it: "trays: 48 sheets"."""
    colon = next((n for n, i in enumerate(items[: _MOST_WORDS + 1]) if i.text == ":"), 0)
    if not colon or not all(i.kind == "word" for i in items[:colon]):
        return None
    name, after = items[colon - 1], items[colon + 1 : colon + 4]
    if len(after) < 2 or not after[0].whole or len(fold(name.text)) < _LEAST_SIGNS:  # noqa: PLR2004
        return None
    known = name.tags.keys() - {"stop", "service", "process"}
    form = next((i.tags for i in after[1:] if {"form", "shape"} & i.tags.keys()), None)
    if form is None or known or fold(name.text) in _NO_NAMES:
        return None
    return fold(name.text), form.get("form", "piece")


def _called(items: Sequence[Item], n: int) -> str | None:
    """Name that stands at a number or an article, where what follows tells of goods."""
    one = items[n]
    if one.kind != "num" or not one.whole or one.tags.get("alloy"):
        return None
    lead = items[max(n - 4, 0) : n]
    if lead and fold(lead[-1].text) in _NOT_GOODS:
        return None
    asked = any("quote" in i.tags or fold(i.text) in _HOLDS for i in lead) or (
        max(one.values) > 1 and (not lead or lead[-1].kind in ("mark", "nl"))
    )
    if not asked:
        return None
    k = n + 1
    while k < len(items) and k - n <= _MOST_WORDS and (_is_plain(items[k]) or _shaped(items, k)):
        k += 1
    name, told = items[k - 1], items[k : k + _TOLD_WITHIN]
    if k == n + 1 or not _is_name(name) or not told or _shaped(items, k):
        return None
    follows = fold(told[0].text) in _AFTER or told[0].kind == "num" or "go" in fold(told[0].text)
    follows = follows or "shape" in told[0].tags
    sized = [i for i in told if i.kind == "num" and i.unit in _TELLS]
    return fold(name.text) if follows and sized else None


def _shaped(items: Sequence[Item], k: int) -> bool:
    """Whether a word tells of the shape before a name: "a round guard", not "four discs"."""
    after = items[k + 1] if k + 1 < len(items) else None
    return "shape" in items[k].tags and after is not None and _is_name(after)


def alike(word: str, name: str) -> bool:
    """Whether a word is a name in another number: "Siebeinsätze", "guards"."""
    if word == name:
        return True
    short, long = sorted((word, name), key=len)
    if len(short) < _LEAST_SIGNS or len(long) - len(short) > _MOST_ENDING:
        return False
    begun = long.startswith(short[:-1]) and len(short) > _LEAST_SIGNS + 1
    return long.startswith(short) or begun


#: A word has no longer ending more in one number than in the other.
_MOST_ENDING = 2


def named_goods(items: Sequence[Item], names: Mapping[str, str]) -> list[Item]:
    """Mark the words that are names of goods with the form that they are told of."""
    out: list[Item] = []
    for n, item in enumerate(items):
        word = fold(item.text) if item.kind == "word" else ""
        keyed = n + 1 < len(items) and items[n + 1].text == ":" and n < _MOST_WORDS
        known = bool(word) and not item.tags.keys() - {"stop"} and not keyed
        form = (
            next((form for name, form in names.items() if alike(word, name)), "") if known else ""
        )
        out.append(replace(item, tags={**item.tags, "own": form}) if form else item)
    return out
