"""Words that take back: what is denied, or compared with what was before."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.item import Item, first_word
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
        elif "not" in tags and counts_pieces(items, n):
            continue
        elif (
            "not" in tags
            and following is not None
            and "correct" not in following.tags
            and (following.kind != "num" or _is_refused(items, n))
            and not (following.kind == "mark" and following.text in ".,)")
        ):
            out.update(range(n, _denied_end(items, n)))
    return out


def counts_pieces(items: Sequence[Item], n: int) -> bool:
    """Whether a "no" stands for pieces after their number: "4 NO PANELS", "6 no 300 mm discs"."""
    if not n or n + 1 >= len(items) or not items[n - 1].whole or items[n - 1].spelled:
        return False
    if fold(items[n].text) not in ("no", "nos") or items[n - 1].tags.get("alloy"):
        return False
    after = items[n + 1]
    if n > 1 and (items[n - 2].kind == "num" or "item" in items[n - 2].tags):
        return False
    goods = {"form", "shape", "same size", "same", "cloth", "count"} & after.tags.keys()
    return bool(goods) or after.unit in ("mm", "in", "m", "ft")


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
