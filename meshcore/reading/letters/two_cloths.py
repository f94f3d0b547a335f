"""A passage that asks for the same goods in several cloths: "two each in 2 mm (wire 0.8) and 4 mm (wire 1.25)"."""  # noqa: E501

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.reading import read_passage

#: Names of cloth that may be told several times.
_CLOTHS = ("mesh_count", "aperture", "pitch")
#: Marks of a passage that compares or changes, and asks for no two cloths.
_NOT = ("same", "correct", "unlike", "instead", "withdraw", "except", "ditto", "or")


def of_cloths(items: Sequence[Item], said: Said) -> list[list[Item]]:
    """Part a passage into one for each cloth that it asks its goods in; empty where it names one.

    Each cloth must tell its own wire, and one count must stand for all of them.
    """
    if said.has(*_NOT) or said.shares:
        return []
    cloths = next((found for n in _CLOTHS if len(found := said.of(n)) > 1), [])
    wires = [f for f in said.of("wire_diameter") if cloths and f.start > cloths[0].start]
    counts = {f.group for f in said.of("quantity") if not f.weak}
    if len(cloths) != len(wires) or not cloths or len(counts) != 1:
        return []
    if any(f.why for f in (*cloths, *wires)) or any(f.item is None for f in cloths):
        return []
    spans = _spans(items, cloths, wires)
    each = said.has("each") and not any(i.whole for i in said.loose)
    count = next(f for f in said.of("quantity") if not f.weak)
    if not spans or not each or spans[0][0] < count.start < spans[-1][1]:
        return []
    head = [i for i in items if i.start < spans[0][0]]
    tail = [i for i in items if i.start >= spans[-1][1]]
    parts = [[*head, *(i for i in items if a <= i.start < b), *tail] for a, b in spans]
    return [[_plain(i) for i in part] for part in parts]


def of_diameters(items: Sequence[Item], said: Said) -> list[list[Item]]:
    """Part a passage into one for each diameter that it asks its goods in: "50 each of 120 and 150 mm"."""  # noqa: E501
    sizes = [f for f in said.of("dim") if f.role == "diameter" and f.item is not None]
    counts = {f.group for f in said.of("quantity") if not f.weak}
    if len(sizes) < 2 or len(sizes) != len(said.of("dim")) or len(counts) != 1:  # noqa: PLR2004
        return []
    if said.has(*_NOT) or any(f.why for f in sizes) or any(i.whole for i in said.loose):
        return []
    starts = [_begins(items, f) for f in sizes]
    between = [
        [i for i in items if a.end <= i.start < b] for a, b in zip(sizes, starts[1:], strict=False)
    ]
    if not all(gap and all("and" in i.tags or i.text == "," for i in gap) for gap in between):
        return []
    head = [i for i in items if i.start < starts[0]]
    tail = [i for i in items if i.start >= sizes[-1].end]
    parts = [
        [*head, *(i for i in items if a <= i.start < f.end), *tail]
        for a, f in zip(starts, sizes, strict=True)
    ]
    return [[_plain(i) for i in part] for part in parts]


def _plain(item: Item) -> Item:
    """Take the "each" from a word: each part now speaks of one line."""
    gone = {"each", "all", "both"}
    if not gone & item.tags.keys():
        return item
    return replace(item, tags={k: v for k, v in item.tags.items() if k not in gone})


def _spans(
    items: Sequence[Item], cloths: Sequence[Fact], wires: Sequence[Fact]
) -> list[tuple[int, int]]:
    """Where each cloth begins and ends with its wire; empty where they do not follow in turn."""
    ends = [cloth.start for cloth in cloths[1:]]
    for cloth, wire, stop in zip(cloths, wires, [*ends, 1 << 60], strict=True):
        if not cloth.start < wire.start < stop:
            return []
    starts = [_begins(items, f) for f in cloths]
    last = next((n for n, i in enumerate(items) if i.start >= wires[-1].end), len(items))
    while last < len(items) and (items[last].text == ")" or items[last].tags.get("size") == "wire"):
        last += 1
    end = items[last].start if last < len(items) else 1 << 60
    return list(zip(starts, [*starts[1:], end], strict=True))


def _begins(items: Sequence[Item], fact: Fact) -> int:
    """Where what tells a cloth begins: at its amount, or at the word that leads to it."""
    n = next(k for k, i in enumerate(items) if i.start == fact.start)
    while n and ({"size", "count"} & items[n - 1].tags.keys() or items[n - 1].text in ":="):
        if items[n - 1].kind == "num":
            break
        n -= 1
    return items[n].start


def in_cloths(items: Sequence[Item]) -> list[tuple[str, list[Item], Said]]:
    """Read each part of a passage that asks for its goods in several cloths."""
    if not any("each" in i.tags for i in items):
        return []
    said = read_passage(list(items), True)
    return [
        ("", part, read_passage(part, True))
        for part in of_cloths(items, said) or of_diameters(items, said)
    ]
