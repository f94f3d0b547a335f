"""Words and signs whose place says what they mean, set right before a passage is read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters.from_to import new_for_old
from meshcore.reading.letters.item import NO_TAGS, Item, first_word, last_word
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
    items = two_for_one(new_for_old(_gauges(_named_anew(items))), hint)
    out = _repeats(_pieces_called_mesh(items))
    if out and "withdraw" in out[0].tags and last_word(out[0]) in _ITEMS:
        out[0] = replace(out[0], tags={**out[0].tags, "item": "item"})
    both = {i.text for n, i in enumerate(items) if i.text in _SIGNS and _number_after(items, n)}
    for n, item in enumerate(out):
        if fold(item.text) in _NUMBER and _names_line(out, n):
            out[n] = replace(item, tags={"item": "item"})
        elif item.text == "D" and _number_after(out, n, "="):
            out[n] = replace(item, kind="word", tags={"size": "diameter"})
        elif {"w", "d"} <= both and item.text in _SIGNS and _number_after(out, n):
            out[n] = replace(item, kind="word", tags={"size": _SIGNS[item.text], "leans": "before"})
        elif fold(item.text) in ("leave", "can go", "can") and _is_left_out(out, n):
            out[n] = replace(item, tags={"withdraw": "is"})
        elif (fold(item.text) == "ring" and _is_call(out, n)) or _is_no_form(out, n):
            out[n] = replace(item, tags={})
        elif item.text == "n" and n + 1 < len(out) and out[n + 1].whole:
            out[n] = replace(item, kind="word", tags={"and": "and", "also": "also"})
        elif item.tags.get("size") in ("od", "id") and _lies(out, n):
            out[n] = replace(item, tags={k: v for k, v in item.tags.items() if k != "size"})
        elif _names_thing(out, n):
            out[n] = replace(item, kind="code", tags={}, values=())
        elif fold(item.text) in ("ea", "ea.") and _ends_each(out, n):
            out[n] = replace(item, tags={"each": "each", "all": "all"})
        elif item.tags.get("size") == "length" and _is_counted_length(out, n):
            out[n] = replace(item, tags={"form": "roll"})
    return out


_LIES = frozenset({"outer", "inner", "outside", "inside"})


def _lies(items: Sequence[Item], n: int) -> bool:
    """Whether a word tells where a thing lies, and no size of it: "two inner sleeves"."""
    after = items[n + 1] if n + 1 < len(items) else None
    plain = after is not None and after.kind == "word" and not after.tags.keys() - {"own", "stop"}
    named = after is not None and fold(after.text) not in _OF_SIZES
    return fold(items[n].text) in _LIES and plain and named


#: Words of sizes that go with "outer" and "inner".
_OF_SIZES = frozenset({"dia", "diam", "diameter", "is", "of", "to", "and", "by", "about"})


_NUMBER = frozenset({"number", "numbers", "nummer", "numero"})
#: What is said of a line after its number.
_SAYS = frozenset({"wants", "want", "should", "is", "needs", "need", "to", "can", "goes", "stays",
                   "in", "must", "becomes", "and", "soll", "wird", "ist", "doit", "sera", "debe",
                   "es", "has", "gets"})  # fmt: skip


def _names_line(items: Sequence[Item], n: int) -> bool:
    """Whether a "number" names a line, and counts nothing: "number 2 wants to be in 316"."""
    two = items[n + 1 : n + 3]
    return len(two) == 2 and two[0].whole and bool(_SAYS & set(fold(two[1].text).split()))  # noqa: PLR2004


#: Before the tape that edges are bound with.
_BOUND = frozenset({"with", "the", "by", "in", "leave", "no", "a"})
#: What follows a number that counts or measures.
_COUNTED = frozenset({"form", "shape", "quantity", "count", "unit", "size", "roll_length", "alloy"})
#: A word that names a thing by number has more letters than this.
_NAME = 3


def _names_thing(items: Sequence[Item], n: int) -> bool:
    """Whether a number tells one thing from another: "cyclone 1 gets … and cyclone 2 …"."""
    item, before = items[n], items[n - 1] if n else None
    if before is None or not item.whole or item.spelled or item.tags.get("alloy"):
        return False
    if before.kind != "word" or before.tags.keys() - {"process"} or len(before.text) <= _NAME:
        return False
    after = items[n + 1] if n + 1 < len(items) else None
    if item.unit or (after is not None and _COUNTED & after.tags.keys()):
        return False
    word = fold(before.text)
    return any(
        k != n - 1
        and fold(one.text) == word
        and items[k + 1].text.isdigit()
        and items[k + 1].text != item.text
        for k, one in enumerate(items[:-1])
    )


def _is_no_form(items: Sequence[Item], n: int) -> bool:
    """Whether a word for a form is none here: "to go round the drum", "bound with tape"."""
    word = fold(items[n].text)
    if word == "round":
        return _goes_round(items, n)
    return word in ("tape", "tapes") and n > 0 and fold(items[n - 1].text) in _BOUND


def _goes_round(items: Sequence[Item], n: int) -> bool:
    """Whether a "round" says where something goes, and names no shape: "to go round the drum"."""
    after = items[n + 1] if n + 1 < len(items) else None
    article = after is not None and ("the" in after.tags or fold(after.text) in _ARTICLES)
    counted = n > 0 and items[n - 1].kind == "num"
    return article and not counted


_ARTICLES = frozenset({"a", "an", "our", "its", "their", "your", "each", "this"})
#: What may follow pieces that are called by the word for mesh: "4 mallas de 2000 x 1500 mm".
_OF_PIECES = frozenset({"de", "como", "iguales", "igual"})


def _pieces_called_mesh(items: Sequence[Item]) -> list[Item]:
    """Part "4 mallas" into a number and what it counts, where it counts pieces and no wires."""
    out: list[Item] = []
    for n, item in enumerate(items):
        words = item.text.split()
        after = items[n + 1] if n + 1 < len(items) else None
        ahead = items[n + 2 : n + 4]
        called = len(words) == 2 and fold(words[1]) == "mallas" and item.unit == "/in"  # noqa: PLR2004
        sized = len(ahead) == 2 and ahead[0].kind == "num" and fold(ahead[1].text) in ("x", "por")  # noqa: PLR2004
        refers = after is not None and fold(after.text) in _OF_PIECES and fold(after.text) != "de"
        like = after is not None and "same" in after.tags
        if called and item.kind == "num" and (sized or refers or like):
            end = item.start + len(words[0])
            start = item.end - len(words[1])
            out.append(replace(item, text=words[0], end=end, unit=""))
            out.append(Item("word", words[1], start, item.end,
                            {"form": "piece", "shape": "rectangle"}))  # fmt: skip
        else:
            out.append(item)
    return out


#: Between a name and the one that corrects it stand no more words than this (our choice).
_MOST_SAID = 2


def _forgets(item: Item) -> bool:
    """Whether words take back what follows them: "316, forget what I said about 304"."""
    return first_word(item) in ("forget", "ignore", "disregard", "never", "scrap")


def _named_anew(items: Sequence[Item]) -> list[Item]:
    """Take back the alloy or weave that a word of correction corrects: "welded… sorry, woven"."""
    out = list(items)
    for kind in ("alloy", "weave"):
        named = [n for n, item in enumerate(out) if kind in item.tags]
        for a, b in pairwise(named):
            between = out[a + 1 : b]
            corrected = any("correct" in i.tags and not _forgets(i) for i in between)
            corrected = corrected and not any({"unlike", "not"} & i.tags.keys() for i in between)
            said = [i for i in between if i.kind != "mark" and "correct" not in i.tags]
            corrected = corrected and len(said) <= _MOST_SAID
            if corrected and not any(i.kind == "num" or "item" in i.tags for i in between):
                out[a] = replace(out[a], kind="word", tags={}, values=())
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
    heads = n == 0 or items[n - 1].kind in ("mark", "nl")
    if heads and n + 1 < len(items) and "the" in items[n + 1].tags:
        return True  # "ring the foreman"
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
