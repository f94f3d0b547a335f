"""Sizes one under another beneath their head: "dia 100", "dia 150", "dia 200"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby

from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.reading import read_passage

#: What a line that only gives a size may say.
_SIZES = frozenset({"dim", "form", "shape"})


def stacked_sizes(
    passages: Sequence[Passage], items: Sequence[Sequence[Item]], named: Sequence[bool]
) -> list[Passage]:
    """Take lines of one size each, one under another, for items of a list without marks.

    Parameters
    ----------
    passages, items
        The passages in their order, and the items of each.
    named
        Which of them name a cloth: they are no such lines.
    """
    said = [
        read_passage(of) if one.kind == "note" and not one.speaker and not name else Said()
        for one, of, name in zip(passages, items, named, strict=True)
    ]
    kinds = [_size_alone(one) for one in said]
    out = list(passages)
    for n, one in enumerate(passages):
        near = [
            k
            for k in (n - 1, n + 1)
            if 0 <= k < len(passages) and passages[k].paragraph == one.paragraph
        ]
        if kinds[n] and any(kinds[k] == kinds[n] for k in near):
            out[n] = replace(one, kind="item")
    return out


def rows_alike(passages: Sequence[Passage], items: Sequence[Sequence[Item]]) -> dict[int, int]:
    """Find openings that only the rows around them tell: "Ø 480 mm  500 µm", "Ø 480 mm  0.25 mm".

    Parameters
    ----------
    passages, items
        The passages in their order, and the items of each.

    Returns
    -------
    Where such an opening stands, by the start of its passage.
    """
    told = [
        (one, of)
        for one, of in zip(passages, items, strict=True)
        if one.kind in ("note", "item") and not one.speaker and not one.cells
    ]
    out: dict[int, int] = {}
    for _, group in groupby(told, key=lambda pair: pair[0].paragraph):
        rows = [pair for pair in group if sum(i.kind == "num" for i in pair[1]) > 1]
        clothed = [any(_tells_cloth(i) for i in of) for _, of in rows]
        if 1 < len(rows) <= _MOST_ROWS and any(clothed) and not all(clothed):
            out |= _openings(rows)
    return out


def _tells_cloth(item: Item) -> bool:
    """Whether an item may tell a cloth by itself."""
    counted = item.unit.startswith("/") or item.unit in ("µm", "M")
    return counted or item.tags.get("size") in ("aperture", "pitch") or "count" in item.tags


#: A list of sizes has no more rows (our choice).
_MOST_ROWS = 60


def _openings(rows: Sequence[tuple[Passage, Sequence[Item]]]) -> dict[int, int]:
    read = [(one, read_passage(of), [i.start for i in of if i.kind == "num"]) for one, of in rows]
    known = {
        (len(places), places.index(opening[0].start))
        for _, said, places in read
        if len(opening := said.of("aperture")) == 1
    }
    out: dict[int, int] = {}
    for one, said, places in read if known else ():
        loose = [i for i in said.loose if i.unit in _OPENING_UNITS]
        if said.cloth() or len(loose) != 1 or not said.of("dim"):
            continue
        if (len(places), places.index(loose[0].start)) in known:
            out[one.start] = loose[0].start
    return out


#: Units of openings.
_OPENING_UNITS = frozenset({"mm", "µm", "in"})


def told_by_rows(said: Said, start: int) -> None:
    """Take a loose size for the opening that the rows around it tell it to be."""
    for item in said.loose:
        if item.start == start:
            fact = Fact("aperture", "", item.text, item.start, item.end, item,
                        origin="the rows beside it")  # fmt: skip
            said.facts = sorted([*said.facts, fact], key=lambda one: one.start)
    said.loose = [i for i in said.loose if i.start != start]


def _size_alone(said: Said) -> tuple[str, ...]:
    """Roles of the sizes of a line that says no more; empty where it says more or none."""
    sizes = said.of("dim")
    if not sizes or said.loose or {f.name for f in said.facts} - _SIZES:
        return ()
    roles = tuple(f.role for f in sizes)
    return roles if roles[0] in ("diameter", "od") or len(sizes) > 1 else ()
