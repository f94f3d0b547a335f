"""Words that take back: what is denied, told of the past, or belongs to other goods."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.item import Item, first_word, last_word
from meshcore.reading.vocabulary import fold

#: "Was" compares only in brackets: "radius 40 (was 50)".
_WAS = frozenset({"was", "war", "previously", "vorher", "bisher", "formerly"})
#: Marks at which a clause ends.
STOPS = frozenset(",.;:!?()\n-")


def clause_end(items: Sequence[Item], at: int, stops: frozenset[str] = STOPS) -> int:
    """Index of the first item after `at` that ends its clause."""
    for n in range(at + 1, len(items)):
        if items[n].kind in ("mark", "nl") and items[n].text in stops:
            return n
    return len(items)


def denied(items: Sequence[Item]) -> set[int]:
    """Return indices of items under a "not", or compared with what was before ("instead of 3").

    A "no" before a number is a number sign or a correction, not a denial.
    """
    out: set[int] = set()
    for n, item in enumerate(items):
        if (
            "because" in item.tags
            and (n == 0 or (items[n - 1].kind in ("mark", "nl") and items[n - 1].text != "'"))
            and n + 1 < len(items)
            and not _compares(items, n)
        ):
            out.update(range(n, _reason_end(items, n)))
    alloys = [n for n, item in enumerate(items) if "alloy" in item.tags]
    for n, item in enumerate(items):
        if alloys and alloys[0] < n and first_word(item) in _FORGET:
            out.update(k for k in alloys if n < k < clause_end(items, n))
        if "rejects" in item.tags:
            out.update(range(_begins(items, n), n + 1))
        tags = item.tags
        following = items[n + 1] if n + 1 < len(items) else None
        if "unlike" in tags and (fold(item.text) not in _WAS or (n and items[n - 1].text == "(")):
            out.update(range(n, _compared_end(items, n)))
        elif "not" in tags and "size" not in tags and "quantity" not in tags:
            if following is None or following.kind == "mark" or "correct" in following.tags:
                continue
            out.update(range(n, _denied_end(items, n)))
        elif (
            "not" in tags
            and following is not None
            and "correct" not in following.tags
            and (following.kind != "num" or _is_refused(items, n))
            and not (following.kind == "mark" and following.text in ".,)")
        ):
            out.update(range(n, _denied_end(items, n)))
    return out


def _begins(items: Sequence[Item], n: int) -> int:
    """Where the sentence begins whose goods are rejected: "galvanised is not acceptable"."""
    ends = [k for k in range(n) if items[k].kind in ("mark", "nl") and items[k].text in ".;!?\n"]
    return ends[-1] + 1 if ends else 0


#: What "as the" before it compares with, and gives no reason by.
_PLACED = frozenset({"former", "latter", "third", "fourth", "last", "item", "form", "shape"})


def _compares(items: Sequence[Item], n: int) -> bool:
    """Whether an "as the" compares: "third item as the first but in 316"."""
    return fold(items[n].text) == "as the" and bool(_PLACED & items[n + 1].tags.keys())


def _is_refused(items: Sequence[Item], n: int) -> bool:
    """Whether a "no" before a grade denies it, and numbers nothing: "no 430 please"."""
    grade, after = items[n + 1], items[n + 2] if n + 2 < len(items) else None
    if grade.unit.startswith("/") and fold(items[n].text) in _NO:
        told = after is not None and first_word(after) in _PLEASE
        return told or (n > 0 and items[n - 1].text == "(")
    ended = after is None or after.kind in ("mark", "nl") or fold(after.text) in _PLEASE
    return "alloy" in grade.tags and items[n].text == "no" and ended


_FORGET = frozenset({"forget", "ignore", "scrap", "disregard", "vergessen", "oubliez", "olviden"})


_NO = frozenset({"no", "kein", "keine", "keinen", "pas de", "sin", "ningun"})
_PLEASE = frozenset({"please", "pls", "thanks", "this", "again", "needed", "required", "wanted",
                     "now", "today", "anymore", "diesmal", "mehr", "cette", "esta"})  # fmt: skip


def _reason_end(items: Sequence[Item], n: int) -> int:
    """Hold that a clause that gives a reason asks for nothing."""
    end = clause_end(items, n, frozenset(",.;:!?()\n"))
    dashes = [k for k in range(n, end) if items[k].text == "-" and not items[k].glued]
    return dashes[0] if dashes else end


def _denied_end(items: Sequence[Item], n: int) -> int:
    for k in range(n + 1, len(items)):
        tags = items[k].tags
        if items[k].kind in ("mark", "nl") and items[k].text not in "'\"/":
            if items[k].text == "," and k + 1 < len(items) and "not" in items[k + 1].tags:
                continue
            return k
        if "but" in tags or ("and" in tags and k > n + 1 and not _denied_on(items, k)):
            return k
    return len(items)


def _denied_on(items: Sequence[Item], k: int) -> bool:
    """Whether the denial goes on after an "and"."""
    return k + 1 < len(items) and "not" in items[k + 1].tags


#: What goes on after a number that is compared with: "5 instead of 3 for the first item".
_GOES_ON = frozenset({"on", "for", "in", "bei", "fur", "pour", "para", "sur", "von", "dans", "of",
                      "auf", "en", "as", "please", "bitte"})  # fmt: skip


def _compared_end(items: Sequence[Item], n: int) -> int:
    """Read "Instead of" reaches over one amount or name, and what goes with it."""
    seen = False
    for k in range(n + 1, len(items)):
        item = items[k]
        if item.kind in ("mark", "nl") and item.text not in "'\"/":
            return k
        counts = item.kind == "num" or bool({"alloy", "weave", "service"} & item.tags.keys())
        if seen and (
            "say_on" in item.tags
            or "the" in item.tags
            or "and" in item.tags
            or item.tags.get("on")
            or fold(item.text) in _GOES_ON
        ):
            return k
        if seen and counts and item.kind == "num":
            return k
        seen = seen or counts
    return len(items)


def of_the_past(items: Sequence[Item], gone: set[int]) -> set[int]:
    """Return indices of clauses told of earlier orders, or put off to later ones; `gone` are denied."""  # noqa: E501
    out = _had_before(items) - gone
    start = 0
    for n in range(len(items) + 1):
        at_end = n == len(items) or (items[n].kind == "mark" and items[n].text in ".;()!?")
        if at_end:
            told = [
                k
                for k in range(start, n)
                if {"history", "later"} & items[k].tags.keys() and k not in gone
            ]
            if told:
                part = _told(items, start, n, told)
                out.update(part)
                if n < len(items) and items[n].text == "(" and part.stop == n:
                    out.update(range(n, _closing(items, n)))
            start = n + 1
    return out


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


_LIKE = frozenset({"as", "same", "the"})


def _counted_before(items: Sequence[Item], start: int, first: int) -> int:
    """Where what is told of the past begins, if goods are counted before it; 0 where none are.

    "One roll of the 20 mesh we had" asks for a roll.
    """
    counts = [
        n
        for n in range(start, first)
        if (items[n].whole or items[n].spelled)
        and n + 1 < first
        and {"form", "shape", "roll_length"} & items[n + 1].tags.keys()
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


def _told(items: Sequence[Item], start: int, end: int, marks: Sequence[int]) -> range:
    """Return the part of a sentence that is told: all, or what follows a "but" or precedes it."""
    first = marks[0]
    clause = max(
        (n + 1 for n in range(start, first) if items[n].text in ",(;" and items[n].kind == "mark"),
        default=start,
    )
    if clause > start and any(
        {"because", "but"} & items[n].tags.keys() for n in range(clause, min(clause + 3, first + 1))
    ):
        return range(clause, end)
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
            return range(start, but)
    return range(start, end)
