"""One size said after a reference: which side of the goods referred to it is."""

from __future__ import annotations

from dataclasses import replace

from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.resolve import MM_OF


def other_size(line: Draft, source: Draft, part: Said) -> None:
    """Take the one size left after "as item 3" for the one that it may stand for: "but 250 mm"."""
    sizes = source.of("dim")
    loose = [i for i in part.loose if i.unit in MM_OF]
    own = [f for f in line.of("dim") if not f.origin]
    if len(loose) != 1 or own or not sizes:
        return
    one = loose[0]
    if len(sizes) == 1 and line.value("form") in ("piece", None):
        new = replace(sizes[0], text=one.text, start=one.start, end=one.end, item=one, origin="")
        line.put([new])
    elif line.value("form") in ("roll", "strip", None) and source.value("form") != "piece":
        other_side(line, source, one)


#: Two sides are as near to a new size as each other where their ratios to it differ by less
#: (our choice): then which is meant is asked.
_AS_NEAR = 1.25


def other_side(line: Draft, source: Draft, one: Item) -> None:
    """Take a size for the width or the length of a roll, whichever it is nearer to."""
    sides = {source.place_of(f): f for f in source.of("dim") if f.item is not None}
    unit = {
        name: max(f.item.values) * MM_OF.get(f.item.unit, 1.0)
        for name, f in sides.items()
        if f.item is not None
    }
    mm = one.values[0] * MM_OF[one.unit]
    off = {name: max(mm / size, size / mm) for name, size in unit.items() if size and mm}
    if not off:
        return
    place = min(off, key=lambda name: off[name])
    why = ""
    if len(off) > 1 and max(off.values()) < _AS_NEAR * min(off.values()):
        why = f'"{one.text}": the width or the length?'
    for name, fact in sides.items():
        if not line.has("dim") or name != place:
            line.facts = [f for f in line.facts if f.item is not fact.item]
            line.facts.append(replace(fact, role=name, origin=fact.origin or "an earlier line"))
    line.facts = [f for f in line.facts if not (f.name == "dim" and f.role == place)]
    line.facts.append(Fact("dim", "", one.text, one.start, one.end, one, place, why=why))


#: Two bare numbers are the sizes of a piece where they are to those of the line referred to as
#: this, one way or the other (our choice).
_SIZED_ALIKE = 3.5


def pair_as_sizes(line: Draft, source: Draft) -> None:
    """Take the two bare numbers of "same but 26 x 22" for the sizes of a piece that has two."""
    pair, sizes = line.of("pair"), [f for f in source.of("dim") if f.item is not None]
    two = len(pair) == len(sizes) == 2  # noqa: PLR2004
    if not two or any(f.role not in ("", "width", "height") for f in sizes):
        return
    unit = next((f.item.unit for f in sizes if f.item and f.item.unit), "")
    for one, other in zip(pair, sizes, strict=True):
        if one.item is None or other.item is None or not one.item.values:
            return
        small, large = sorted((max(one.item.values), max(other.item.values)))
        if large > _SIZED_ALIKE * small:
            return
    line.facts = [
        replace(f, name="dim", item=replace(f.item, unit=f.item.unit or unit))
        if f.name == "pair" and f.item is not None
        else f
        for f in line.facts
    ]
