"""Which lines words point at: "the small discs", "the 20 mesh", "the top one", "item 3"."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from meshcore.reading.letters import targets
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.resolve import MM_OF
from meshcore.reading.vocabulary import fold


@dataclass(frozen=True, slots=True)
class Aim:
    """The lines that words point at, and where the words stand that only point.

    Parameters
    ----------
    lines
        In the order of the letter; empty where nothing is pointed at.
    used
        Starts of the items that point.
    """

    lines: tuple[Draft, ...] = ()
    used: frozenset[int] = frozenset()

    def rest(self, facts: Iterable[Fact]) -> list[Fact]:
        """Return the facts that say something of the lines, and do not point at them."""
        return [
            f for f in facts if f.start not in self.used and not (f.weak and f.name == "quantity")
        ]


#: A pointing phrase has no more words than this (our choice).
_LONGEST = 6
_ORDINALS = {"former": 0, "latter": 1, "third": 2, "fourth": 3, "last": -1}
#: What a bare number after "the" may be of a line, in the order in which it is tried.
_NUMBERED = ("mesh_count", "aperture", "wire_diameter", "pitch", "dim")
_COARSE, _FINE = ("coarse", "coarser", "coarsest"), ("fine", "finer", "finest")


def aim_of(said: Said, lines: Sequence[Draft], every: Sequence[Draft], own: str = "") -> Aim:
    """Return the lines that a passage points at, by label, by place or by what they are.

    Parameters
    ----------
    said
        The passage.
    lines, every
        Lines that stand, and all of the letter.
    own
        Label of the passage itself, which points at nothing.
    """
    found: list[Draft] = []
    used: set[int] = set()
    taken: set[int] = set()
    for first, labels, stop in targets.named_labels(said.items, every):
        if own and own in labels:
            continue
        found += targets.by_label(labels, every)
        used |= {i.start for i in said.items[first:stop]}
        taken |= set(range(first, stop))
    n = 0
    while n < len(said.items):
        stop = n + 1
        if n not in taken and n not in said.dropped and _points(said.items, n):
            some, places = _phrase(said, n, lines, every)
            if some:
                found += some
                used |= {said.items[k].start for k in places}
                stop = max(places) + 1
        n = stop
    kept = tuple(line for line in every if any(line is one for one in found))
    return Aim(kept, frozenset(used))


def is_article(item: Item) -> bool:
    """Whether a word is an article, or a phrase that ends in one: "make the", "out of the"."""
    return "the" in item.tags or (item.kind == "word" and fold(item.text).endswith(" the"))


def _points(items: Sequence[Item], n: int) -> bool:
    tags = items[n].tags
    if is_article(items[n]) or "place" in tags or {"narrow", "wide"} & tags.keys():
        return True
    after = items[n + 1].tags if n + 1 < len(items) else {}
    if _made_of(items, n) or _own(items, n):
        return True
    named = bool({"item", "one"} & after.keys()) or len(items[n].text.split()) > 1
    return bool(_ORDINALS.keys() & tags.keys()) and named


def _own(items: Sequence[Item], n: int) -> bool:
    """Whether goods are named by the letter's own word for them, without an article."""
    return "own" in items[n].tags and not (n and items[n - 1].kind == "num")


def _made_of(items: Sequence[Item], n: int) -> bool:
    """Whether goods are named without an article, and of what they are to be: "panels in 304"."""
    if not {"form", "shape"} & items[n].tags.keys() or (n and items[n - 1].kind == "num"):
        return False
    two = items[n + 1 : n + 3]
    made = len(two) == 2 and fold(two[0].text) in ("in", "aus", "en")  # noqa: PLR2004
    return made and "alloy" in two[1].tags


def _phrase(
    said: Said, n: int, lines: Sequence[Draft], every: Sequence[Draft]
) -> tuple[list[Draft], set[int]]:
    """Lines that one phrase points at, and places of its words; empty where it points at none."""
    some = list(lines)
    places: set[int] = set()
    noun = False
    want = ""
    for k in range(n, min(n + _LONGEST, len(said.items))):
        item = said.items[k]
        tags = item.tags
        if k in said.dropped or (item.kind in ("mark", "nl", "code") and item.text not in "'\""):
            break
        if "narrow" in tags or "wide" in tags:
            want = "narrow" if "narrow" in tags else "wide"
            places.add(k)
            continue
        if fold(item.text) in (*_COARSE, *_FINE):
            want = "coarse" if fold(item.text) in _COARSE else "fine"
            places.add(k)
            continue
        if k == n and is_article(item):
            continue
        if noun:
            break
        left = _narrowed(said.items, k, some, every)
        if left is None:
            if _is_filler(item) and k > n:
                continue
            break
        some = left
        places.add(k)
        ahead = said.items[k + 1].tags if k + 1 < len(said.items) else {}
        noun = bool({"form", "shape", "counts_pieces", "one"} & tags.keys())
        noun = noun and not {"narrow", "wide", "place"} & ahead.keys()
    if want and not (noun or is_article(said.items[n]) or "one" in said.items[n].tags):
        return [], set()
    if want:
        some = extreme(some, want)
    told = bool(places) and len(some) < max(len(lines), 2)
    return (some, places) if told and some else ([], set())


def _is_filler(item: Item) -> bool:
    """Whether a word between "the" and what it points at says nothing of lines."""
    return item.kind == "word" and not item.tags.keys() - {"process", "edge", "quote", "own"}


def _narrowed(
    items: Sequence[Item], k: int, some: list[Draft], every: Sequence[Draft]
) -> list[Draft] | None:
    """Those of some lines that a word names; None where it names none of them."""
    item, tags = items[k], items[k].tags
    if "one" in tags or "counts_pieces" in tags:
        return some
    for name, place in _ORDINALS.items():
        if name in tags:
            return [every[place]] if -len(every) <= place < len(every) else None
    if item.kind == "num" and "alloy" not in tags:
        return _by_number(items, k, some)
    for name in ("shape", "form", "alloy"):
        if name in tags and item.kind != "num":
            found = [line for line in some if _is(line, name, tags[name])]
            return found or None
    if item.kind == "num":
        found = [line for line in some if _is(line, "alloy", tags["alloy"])]
        after = items[k + 1].tags if k + 1 < len(items) else {}
        named = bool({"form", "shape", "one", "counts_pieces", "correct"} & after.keys())
        ended = k + 1 == len(items) or items[k + 1].kind == "mark"
        return found if found and (named or ended) else None
    word = targets.stem(item.text)
    found = [line for line in some if word in line.words]
    return found if found and len(word) > 2 else None  # noqa: PLR2004 - an article names nothing


def _is(line: Draft, name: str, value: str) -> bool:
    """Whether a line is of a form, a shape or an alloy by a word for it."""
    own = line.value(name)
    if own is None:
        return False
    if name == "shape":
        value = {"square": "rectangle"}.get(value, value)
        return str(own) == value or (value == "rectangle" and str(own) == "rounded rectangle")
    return str(own) == value or (value == "stainless steel" and str(own)[:1] == "3")


def _by_number(items: Sequence[Item], k: int, some: list[Draft]) -> list[Draft] | None:
    item = items[k]
    after = items[k + 1].tags if k + 1 < len(items) else {}
    if item.whole and {"form", "shape", "counts_pieces"} & after.keys():
        counted = [
            line
            for line in some
            if line.value("quantity") in item.values
            and all(
                line.value(name) is None or _is(line, name, after[name])
                for name in ("form", "shape")
                if name in after
            )
        ]
        if counted:
            return counted
    if item.unit.startswith("/") or item.unit == "M":
        names: tuple[str, ...] = ("mesh_count",)
    else:
        names = _NUMBERED if not item.unit else _NUMBERED[1:]
    for name in names:
        found = [line for line in some if any(states(f, item) for f in line.of(name))]
        if found:
            return found
    return None


def states(fact: Fact, item: Item) -> bool:
    """Whether a fact states an amount, be it in another unit; a bare number may be in any."""
    own = fact.item
    if own is None or not own.values:
        return False
    if item.unit in MM_OF and own.unit in MM_OF:
        a, b = max(own.values) * MM_OF[own.unit], max(item.values) * MM_OF[item.unit]
        return math.isclose(a, b, rel_tol=1e-6)
    return bool(set(own.values) & set(item.values)) and (
        not item.unit or not own.unit or item.unit == own.unit
    )


def extreme(lines: Sequence[Draft], want: str) -> list[Draft]:
    """Return the smallest or largest of some lines, or those of the finest or coarsest cloth."""
    sizes = [_size(line) if want in ("narrow", "wide") else _opening(line) for line in lines]
    known = [size for size in sizes if size]
    if len(set(known)) < 2:  # noqa: PLR2004 - nothing to tell apart
        return []
    edge = min(known) if want in ("narrow", "fine") else max(known)
    return [line for line, size in zip(lines, sizes, strict=True) if size == edge]


def _size(line: Draft) -> float:
    """Product of the sizes of a piece, or the width of a roll [mm]; 0 where none is stated."""
    sizes = [
        max(f.item.values) * MM_OF.get(f.item.unit, 1.0)
        for f in line.of("dim")
        if f.item is not None and (line.value("form") == "piece" or line.place_of(f) == "width")
    ]
    return math.prod(sizes) if sizes else 0.0


def _opening(line: Draft) -> float:
    for name in ("aperture", "pitch"):
        for f in line.of(name):
            if f.item is not None:
                return max(f.item.values) * MM_OF.get(f.item.unit, 1.0)
    for f in line.of("mesh_count"):
        if f.item is not None and max(f.item.values):
            return 25.4 / max(f.item.values)
    return 0.0
