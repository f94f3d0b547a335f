"""What a letter tells of earlier orders and of the mill's own papers, or puts off to later ones."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.item import Item, first_word, last_word
from meshcore.reading.letters.scope import clause_end
from meshcore.reading.vocabulary import fold


def of_the_past(items: Sequence[Item], gone: set[int]) -> set[int]:
    """Return indices of clauses told of earlier orders, or put off to later ones; `gone` are denied."""  # noqa: E501
    out = (_had_before(items) | _mill_says(items) | _was_for(items)) - gone
    start = 0
    for n in range(len(items) + 1):
        at_end = n == len(items) or (items[n].kind == "mark" and items[n].text in ".;()!?")
        at_end = at_end or _begins_anew(items, n)
        if at_end:
            told = [
                k
                for k in range(start, n)
                if {"history", "later"} & items[k].tags.keys() and k not in gone
            ]
            if told and not _good_enough(items, start, n):
                part = _told(items, start, n, told)
                out.update(part)
                if n < len(items) and items[n].text == "(" and part.stop == n:
                    out.update(range(n, _closing(items, n)))
            start = n + 1
    return out


#: What says that an alloy of earlier orders is wanted again.
_GOOD = ("was good enough", "was fine", "was enough", "was sufficient", "did well", "served well",
         "war gut genug", "hat gereicht", "reichte", "suffisait", "etait suffisant", "bastaba",
         "era suficiente", "held up well", "was all right", "was quite good enough")  # fmt: skip


def _good_enough(items: Sequence[Item], start: int, end: int) -> bool:
    """Whether a sentence wants what was good enough: "except the lids, where 304 was fine"."""
    excepts = any("except" in i.tags for i in items[start:end])
    text = " ".join(fold(i.text) for i in items[start:end])
    return excepts and any(one in text for one in _GOOD)


def _begins_anew(items: Sequence[Item], n: int) -> bool:
    """Whether a line ends before one that begins with the past: "we had 5 rolls last year"."""
    after = items[n + 1] if n + 1 < len(items) else None
    return items[n].kind == "nl" and after is not None and "history" in after.tags


#: What is called old, and what is said of it: "the last supply was 20 mesh".
_FORMER = frozenset({"last", "previous", "old", "earlier", "original", "former", "letzte",

                     "letzter", "letzten", "letztes", "alte", "alten", "alter", "altes", "vorige",
                     "vorigen",
                     "bisherige", "bisherigen", "dernier", "derniere", "ancien", "ancienne",
                     "anciens", "anciennes", "precedent", "precedente", "ultimo", "ultima",
                     "anterior", "anteriores", "viejo", "vieja", "antiguo", "antigua"})  # fmt: skip


_WERE = frozenset({"was", "were", "had", "came", "lasted", "measured", "broke", "failed", "tore",
                   "war", "waren", "hatte", "hatten", "hielt", "hielten", "kam", "kamen", "riss",
                   "etait", "etaient", "avait", "avaient", "faisait", "mesurait", "era", "eran",
                   "tenia", "tenian", "fue", "fueron", "media", "duro"})  # fmt: skip


_WAS = frozenset({"was", "were", "war", "waren", "etait", "etaient", "era", "eran"})
_FOR = frozenset({"for", "fur", "pour", "para"})


def _was_for(items: Sequence[Item]) -> set[int]:
    """Return places of what is said to have been for other goods: "galv was for the gate job"."""
    out: set[int] = set()
    for n in range(1, len(items) - 1):
        if fold(items[n].text) not in _WAS or fold(items[n + 1].text) not in _FOR:
            continue
        if (
            "alloy" in items[n - 1].tags
            or items[n - 1].kind == "num"
            or items[n - 1].tags.get("weave")
        ):
            low = max((k + 1 for k in range(n) if items[k].kind in ("mark", "nl")), default=0)
            out.update(range(low, clause_end(items, n)))
    return out


#: What leads from what was to what is wanted now.
_NOW = frozenset({"so", "now", "but", "this time", "jetzt", "nun", "diesmal", "daher", "deshalb",
                  "also", "aber", "donc", "maintenant", "mais", "ahora", "pero", "asi", "esta vez",
                  "cette fois", "therefore", "hence", "please", "bitte"})  # fmt: skip


#: Words between what is old and what is said of it.
_MOST_CALLED = 4


def _had_before(items: Sequence[Item]) -> set[int]:
    """Return places of what is told of former goods, up to what is wanted now."""
    out: set[int] = set()
    for n, item in enumerate(items):
        if item.kind != "word" or last_word(item) not in _FORMER:
            continue
        near = range(n + 1, min(n + 1 + _MOST_CALLED, len(items)))
        stops = [k for k in near if items[k].kind == "nl" or items[k].text in ".;!?:"]
        near = range(n + 1, stops[0]) if stops else near
        verb = next((k for k in near if last_word(items[k]) in _WERE), None)
        if verb is not None:
            out.update(range(n, _past_end(items, verb)))
    return out


def _past_end(items: Sequence[Item], verb: int) -> int:
    """Index of the first item after a verb of the past that is of it no more."""
    for k in range(verb + 1, len(items)):
        if items[k].kind == "nl" or items[k].text in ".;!?":
            return k
        after = items[k + 1] if k + 1 < len(items) else None
        if items[k].text == "," and after is not None and fold(after.text) in _NOW:
            return k
        if fold(items[k].text) in ("but", "aber", "mais", "pero", "so", "now", "jetzt"):
            return k
    return len(items)


#: What is the mill's, and how its papers say something.
_YOURS = frozenset({"your", "ihr", "ihre", "ihrer", "votre", "vos", "su", "sus"})


_SAYS = frozenset({"says", "say", "reads", "read", "states", "shows", "gives", "lists", "sagt",
                   "steht", "lautet", "nennt", "zeigt", "dit", "indique", "mentionne", "affiche",
                   "dice", "indica", "pone", "muestra"})  # fmt: skip


#: Between the mill's paper and what it says.
_MOST_PAPER = 6


def _mill_says(items: Sequence[Item]) -> set[int]:
    """Return places of what the mill's own offer is said to say: "your item 1 says 316"."""
    out: set[int] = set()
    for n, item in enumerate(items):
        if first_word(item) not in _YOURS:
            continue
        near = range(n + 1, min(n + 1 + _MOST_PAPER, len(items)))
        verb = next((k for k in near if last_word(items[k]) in _SAYS), None)
        if verb is not None and not any(items[k].kind == "mark" for k in range(n, verb)):
            out.update(range(n, clause_end(items, verb, frozenset(",;.:!?()\n"))))
    return out


_SENT = ("deliver", "sen", "ship", "liefer", "schick", "livr", "envo", "exped", "entreg", "envi",
         "follow", "folg", "suiv")  # fmt: skip


def _is_sent(item: Item) -> bool:
    """Whether a word speaks of sending goods."""
    return item.kind == "word" and last_word(item).startswith(_SENT)


def _is_late(item: Item) -> bool:
    return fold(item.text) in ("spater", "later", "plus tard", "mas tarde")


def _counts(items: Sequence[Item], start: int, end: int) -> bool:
    """Whether a clause counts goods, and no more are counted after it."""
    return any(
        items[n].whole and {"form", "shape"} & items[n + 1].tags.keys()
        for n in range(start, end - 1)
    )


def _is_dash(items: Sequence[Item], n: int) -> bool:
    """Whether a dash with room on both sides parts two clauses."""
    after = items[n + 1] if n + 1 < len(items) else None
    return (
        items[n].text in ("-", "\u2013")
        and not items[n].glued
        and after is not None
        and not after.glued
    )


_LIKE = frozenset({"as", "same", "the"})
#: What counts further goods of a kind that was had before: "4 more of the covers we had".
_MORE = frozenset({"more", "further", "weitere", "autres", "otros", "otras"})


def _counted_before(items: Sequence[Item], start: int, first: int) -> int:
    """Where what is told of the past begins, if goods are counted before it; 0 where none are.

    "One roll of the 20 mesh we had" asks for a roll.
    """
    counts = [
        n
        for n in range(start, first)
        if (items[n].whole or items[n].spelled)
        and n + 1 < first
        and (
            {"form", "shape", "roll_length"} & items[n + 1].tags.keys()
            or fold(items[n + 1].text) in _MORE
        )
    ]
    article = [n for n in range(counts[0], first) if _LIKE & items[n].tags.keys()] if counts else []
    whole = (
        any(i.kind == "mark" and i.text in ",:" for i in items[counts[0] : first])
        if counts
        else True
    )
    return first if article and not whole else 0


def in_brackets(items: Sequence[Item], n: int, past: set[int]) -> bool:
    """Whether an item stands in brackets that tell of the past."""
    for k in range(n - 1, -1, -1):
        if items[k].text == ")":
            return False
        if items[k].text == "(":
            return any(m in past for m in range(k, _closing(items, k)))
    return False


def _relative_end(items: Sequence[Item], last: int, end: int) -> int:
    for n in range(last + 1, end):
        if items[n].kind in ("mark", "nl") and items[n].text in ",;(\n":
            return n
    return end


def _closing(items: Sequence[Item], n: int) -> int:
    """Index after the bracket that closes the one at `n`; that of the end of its line without."""
    for k in range(n, len(items)):
        if items[k].text == ")" or items[k].kind == "nl":
            return k
    return len(items)


def _told(  # noqa: PLR0911
    items: Sequence[Item], start: int, end: int, marks: Sequence[int]
) -> range:
    """Return the part of a sentence that is told: all, or what follows a "but" or precedes it."""
    first = marks[0]
    clause = max(
        (n + 1 for n in range(start, first) if items[n].text in ",(;" and items[n].kind == "mark"),
        default=start,
    )
    dashes = [n for n in range(start, first) if _is_dash(items, n)]
    if dashes and not any(items[n].kind == "num" for n in range(dashes[-1], first)):
        return range(dashes[-1], end)
    if clause > start and any(
        {"because", "but"} & items[n].tags.keys() for n in range(clause, min(clause + 3, first + 1))
    ):
        return range(clause, end)
    put_off = all("later" in items[n].tags for n in marks)
    if clause > start and put_off and _counts(items, start, clause):
        return range(clause, end)  # "only one roll, the second is for next year"
    later = all("later" in items[n].tags or _is_late(items[n]) for n in marks)
    if clause > start and later and any(_is_sent(items[n]) for n in range(clause, end)):
        return range(clause, end)  # part of the goods may follow later
    counted = _counted_before(items, start, first)
    if counted:
        return range(counted, _relative_end(items, marks[-1], end))
    buts = [
        n
        for n in range(start, end)
        if n not in marks
        and ("but" in items[n].tags or (items[n - 1].text == "," and fold(items[n].text) in _NOW))
    ]
    for but in buts:
        if marks[-1] < but:
            return range(start, end if _goes_on(items, but, end) else but)
    return range(start, end)


def _goes_on(items: Sequence[Item], but: int, end: int) -> bool:
    """Whether each amount after a "but" is told of the past too: "but that was 6 mesh"."""
    told = was = amount = False
    for item in items[but:end]:
        if item.kind == "mark" and item.text in ",;":
            was = False
        was = was or last_word(item) in _WERE
        if item.kind == "num" or "alloy" in item.tags:
            amount, told = True, told or not was
    return amount and not told
