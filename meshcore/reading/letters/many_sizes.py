"""Pieces counted by their sizes, one after another: "discs: 500 of 47 mm, 250 of 63 mm"."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.resolve import MM_OF
from meshcore.reading.vocabulary import fold

#: Between a count and the size of what it counts.
_LINKS = frozenset({"of", "at", "in", "with", "mit", "von", "zu", "a", "à", "de", "con", "avec",
                    "en"})  # fmt: skip
#: The side of a piece is no less than this [mm] (our choice): what is smaller is of the cloth.
_LEAST_SIDE = 10.0
#: Words after a size that say it is none of a piece.
_NOT_OF_PIECES = frozenset({"aperture", "wire", "pitch", "open_area", "width", "length"})
#: Pieces that one size tells.
_ONE_SIZE = frozenset({"disc", "square"})


def counts_of_sizes(items: Sequence[Item], dropped: Collection[int] = ()) -> dict[int, int]:
    """Places of numbers that each count pieces of one size, with the places of the sizes.

    Parameters
    ----------
    items, dropped
        The passage, and which of its items are denied or told of the past.

    Returns
    -------
    Empty where fewer than two numbers count so, or no shape is named.
    """
    if _of_the_sized(items):
        return {0: 3}
    shapes = {item.tags["shape"] for item in items if "shape" in item.tags}
    if not shapes or any(item.tags.get("form") in ("roll", "strip") for item in items):
        return {}
    one = shapes <= _ONE_SIZE
    places = {n: _size(items, n, one) for n in range(len(items) - 2) if n not in dropped}
    found = {n: at for n, at in places.items() if at}
    return found if len(found) > 1 else {}


#: "1,000 of the 47s" is no more items than this, with a mark at its end.
_SIZED_ALONE = 6


def _of_the_sized(items: Sequence[Item]) -> bool:
    """Whether a passage only counts pieces called by their size: "1,000 of the 47s"."""
    if not _SIZED_ALONE - 1 <= len(items) <= _SIZED_ALONE or items[-1].kind == "num":
        return False
    first, of, the, size, s = items[: _SIZED_ALONE - 1]
    called = fold(s.text) == "s" and s.glued and size.whole and size.values[0] >= _LEAST_CALLED
    return first.whole and fold(of.text) == "of" and "the" in the.tags and called


#: Pieces are called by no smaller number (our choice).
_LEAST_CALLED = 10.0


def _size(items: Sequence[Item], n: int, one_size: bool) -> int:
    """Place of the size of what a number counts; 0 where it counts none so."""
    before = fold(items[n - 1].text) if n else ""
    crossed = one_size and fold(items[n + 1].text) == "x" and before not in ("x", "by")
    if not items[n].whole or items[n].tags.get("alloy") or items[n].tags.get("leans"):
        return 0
    if not (crossed or fold(items[n + 1].text) in _LINKS):
        return 0
    at = n + 2
    while at < len(items) - 1 and items[at].tags.get("size") == "diameter":
        at += 1
    size = items[at]
    after = items[at + 1] if at + 1 < len(items) else None
    if size.kind != "num" or size.unit not in ("mm", "cm", "in"):
        return 0
    if after is not None and (after.tags.get("size") in _NOT_OF_PIECES or "count" in after.tags):
        return 0
    if crossed and after is not None and fold(after.text) in ("x", "by"):
        return 0
    return at if min(size.values) * MM_OF[size.unit] >= _LEAST_SIDE else 0


#: Units of the sizes of a piece.
_PIECE_UNITS = ("mm", "cm", "in")


def counts_one_size(items: Sequence[Item], n: int) -> bool:
    """Whether a number counts pieces by their one size: "also 50 of dia 140", "and one of 450".

    A bare size counts so only where the passage has named what is counted before.
    """
    if n + 2 >= len(items) or fold(items[n + 1].text) not in _LINKS or items[n].tags.get("alloy"):
        return False
    at = n + 2
    across = items[at].tags.get("size") == "diameter"
    at += across
    size = items[at] if at < len(items) else None
    if size is None or size.kind != "num" or not size.values or "alloy" in size.tags:
        return False
    after = items[at + 1] if at + 1 < len(items) else None
    if after is not None and (
        {"count", "unit"} & after.tags.keys()
        or after.tags.get("size") in _NOT_OF_PIECES
        or fold(after.text) in ("x", "by", "off")
    ):
        return False
    if across:
        return size.unit in ("", *_PIECE_UNITS)
    joined = n > 0 and ("and" in items[n - 1].tags or items[n - 1].text in ",;")
    named = any("shape" in i.tags for i in items[:n])
    sized = any(i.kind == "num" and i.unit in _PIECE_UNITS for i in items[:n])
    large = min(size.values) * MM_OF.get(size.unit, 1.0) >= _LEAST_SIDE
    linked = fold(items[n + 1].text) in _OF or (fold(items[n + 1].text) == "at" and size.unit)
    large = large and size.unit in ("", *_PIECE_UNITS)
    return bool(linked) and joined and named and sized and large


_OF = frozenset({"of", "von", "de"})


def size_one(said: Said) -> None:
    """Give each count of `counts_one_size` its bare size, and the shape named before it."""
    for n, item in enumerate(said.items):
        if not item.whole or n in said.dropped or not counts_one_size(said.items, n):
            continue
        if not any(f.name == "quantity" and f.start == item.start for f in said.facts):
            continue
        bare = [i for i in said.items[n + 2 : n + 4] if any(i is one for one in said.loose)][:1]
        earlier = [f for f in said.facts if f.start < item.start]
        like = next((f for f in reversed(earlier) if f.name == "dim" and f.item), None)
        for size in bare:
            if like is None or like.item is None:
                break
            unit = size.unit or like.item.unit
            said.facts.append(replace(like, text=size.text, start=size.start, end=size.end,
                                      item=replace(size, unit=unit), group=0))  # fmt: skip
            said.loose = [i for i in said.loose if i is not size]
        named = {f.name: f for f in earlier if f.name in ("form", "shape")}
        if not any(f.name == "shape" and f.start > item.start for f in said.facts):
            said.facts += [replace(f, start=item.start, end=item.end, origin="the shape named once")
                           for f in named.values()]  # fmt: skip
    said.facts.sort(key=lambda fact: fact.start)


def shape_each(said: Said) -> None:
    """Give each count of `counts_of_sizes` the shape that the passage names once."""
    sized = counts_of_sizes(said.items, said.dropped)
    shapes = [f for f in said.facts if f.name in ("shape", "form") and not f.weak]
    if not sized or len({f.value for f in shapes if f.name == "shape"}) != 1:
        return
    numbers = [said.items[n] for n in sized]
    starts = [one.start for one in numbers]
    named = min(f.start for f in shapes)
    once = {f.name: f for f in shapes}
    for number, stop in zip(numbers, [*starts[1:], 1 << 60], strict=True):
        own = any(number.start <= f.start < stop for f in shapes)
        if own or (number is numbers[0] and named < number.start):
            continue
        said.facts += [replace(f, start=number.start, end=number.end, origin="the shape named once")
                       for f in once.values()]  # fmt: skip
    said.facts.sort(key=lambda fact: fact.start)
