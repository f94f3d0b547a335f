"""Words and signs whose place says what they mean, set right before a passage is read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.from_to import new_for_old
from meshcore.reading.letters.item import NO_TAGS, Item, last_word
from meshcore.reading.letters.two_sizes import two_for_one
from meshcore.reading.vocabulary import fold

#: Signs of wire cloth: w opening, d wire, p pitch (ISO 9044, from memory).
_SIGNS = {"w": "aperture", "d": "wire", "p": "pitch"}
#: After these "ring" is a verb.
_CALLS = frozenset({"me", "us", "back", "you", "him", "her", "them", "to", "please", "will", "can",
                    "d", "'d", "we", "i", "he", "she", "they", "'ll", "ll", "would", "could",
                    "must", "should", "round", "around", "later", "again", "ahead"})  # fmt: skip


def set_right(items: Sequence[Item], hint: str = "") -> list[Item]:
    """Give signs and words of a passage the meaning of their place.

    "w=3.15 d=1.0" are opening and wire, "D=180" a diameter; "ring me back" names no ring; "pos 5
    again" refers to it. `hint` is the column of a cell of a table.
    """
    items = two_for_one(new_for_old(_gauges(items)), hint)
    out = _repeats(list(items))
    if out and "withdraw" in out[0].tags and last_word(out[0]) in _ITEMS:
        out[0] = replace(out[0], tags={**out[0].tags, "item": "item"})
    both = {i.text for n, i in enumerate(items) if i.text in _SIGNS and _number_after(items, n)}
    for n, item in enumerate(out):
        if item.text == "D" and _number_after(out, n, "="):
            out[n] = replace(item, kind="word", tags={"size": "diameter"})
        elif {"w", "d"} <= both and item.text in _SIGNS and _number_after(out, n):
            out[n] = replace(item, kind="word", tags={"size": _SIGNS[item.text], "leans": "before"})
        elif fold(item.text) in ("leave", "can go", "can") and _is_left_out(out, n):
            out[n] = replace(item, tags={"withdraw": "is"})
        elif fold(item.text) == "ring" and _is_call(out, n):
            out[n] = replace(item, tags={})
        elif fold(item.text) in ("ea", "ea.") and _ends_each(out, n):
            out[n] = replace(item, tags={"each": "each", "all": "all"})
        elif item.tags.get("size") == "length" and _is_counted_length(out, n):
            out[n] = replace(item, tags={"form": "roll"})
    return out


#: Words for a line that end a phrase which takes it back: "There is no item 4 any more."
_ITEMS = frozenset({"item", "line", "position", "pos"})
#: No gauge has a larger number than this (BS 3737 and ASTM B258, from memory).
_LARGEST_GAUGE = 50.0
_GAUGES = frozenset({"gauge", "SWG", "BWG", "AWG"})


def _gauges(items: Sequence[Item]) -> list[Item]:
    """Give a number the gauge that is named before it: "calibre 16", "SWG 22"."""
    out: list[Item] = []
    for item in items:
        unit = out[-1].tags.get("unit", "") if out and out[-1].kind == "word" else ""
        bare = item.whole and not item.spelled and not item.tags.get("alloy")
        if (
            unit in _GAUGES
            and len(out[-1].text) > 1
            and bare
            and max(item.values) <= _LARGEST_GAUGE
        ):
            before = out.pop()
            text = f"{before.text} {item.text}"
            item = replace(  # noqa: PLW2901
                item, text=text, start=before.start, unit=unit, number=item.text, tags=NO_TAGS
            )
        out.append(item)
    return out


def _number_after(items: Sequence[Item], n: int, sign: str = "") -> bool:
    """Whether a sign stands before its number: "w=3.15", "d 0.4"."""
    after = items[n + 1 : n + 3]
    if after and after[0].text in ("=", ":"):
        return len(after) > 1 and after[1].kind == "num"
    return not sign and bool(after) and after[0].kind == "num"


#: A thing that is left out is named in no more words than this (our choice).
_LEFT_OUT = 6


def _is_left_out(items: Sequence[Item], n: int) -> bool:
    """Whether goods are withdrawn: "leave his strips out", "the discs can go."."""
    after = items[n + 1 : n + 2 + _LEFT_OUT]
    ends = [k for k, i in enumerate(after) if i.kind in ("mark", "nl")]
    after = after[: ends[0]] if ends else after
    words = [fold(i.text) for i in after]
    if fold(items[n].text) == "leave":
        return bool(words) and words[-1] == "out"
    return words == ([] if fold(items[n].text) == "can go" else ["go"])


def _is_call(items: Sequence[Item], n: int) -> bool:
    beside = [items[k] for k in (n - 1, n + 1) if 0 <= k < len(items)]
    return any(fold(one.text) in _CALLS for one in beside)


def _ends_each(items: Sequence[Item], n: int) -> bool:
    """Whether "ea" ends what counts for each of several: "1 roll ea"."""
    ended = all(i.kind in ("nl", "mark") for i in items[n + 1 :])
    return ended and bool(n) and bool({"form", "shape", "roll_length"} & items[n - 1].tags.keys())


def _is_counted_length(items: Sequence[Item], n: int) -> bool:
    """Whether a length is a piece off the roll: "one length of 3 m by 1 m", "2 lengths, 5 m"."""
    after = items[n + 1 : n + 3]
    counted = bool(n) and items[n - 1].whole and not items[n - 1].tags.get("alloy")
    if not counted or fold(items[n].text) not in _LENGTHS or len(after) < 2:  # noqa: PLR2004
        return False
    led = fold(after[0].text) in ("of", "at", ",", "von", "de", "a")
    return led and after[1].unit in ("m", "ft", "yd")


_LENGTHS = frozenset({"length", "lange", "longueur", "tramo"})


def _repeats(items: list[Item]) -> list[Item]:
    """Take the "again" behind an item's number for a reference: "pos 5 again, 4 off"."""
    for n in range(2, len(items)):
        if fold(items[n].text) != "again" or items[n - 1].kind != "num":
            continue
        if "item" in items[n - 2].tags:
            items[n] = replace(items[n], tags={"same": "same", "ditto": "same"})
    return items
