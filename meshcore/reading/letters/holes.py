"""A disc with a hole in it is a ring: "discs of 100 mm with a 20 mm hole in the middle"."""

from __future__ import annotations

from dataclasses import replace

from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

_HOLE = frozenset({"hole", "bore", "cut-out", "cutout", "loch", "bohrung", "mittelloch", "trou",
                   "alesage", "agujero", "orificio", "taladro", "centre hole",
                   "center hole"})  # fmt: skip
#: What says that a hole is the piece's and none of the cloth's.
_MIDDLE = frozenset({"middle", "centre", "center", "central", "mitte", "mittig", "mittigem",
                     "milieu", "centro", "medio"})  # fmt: skip
#: Between a hole and the word for the middle stand no more words than this (our choice).
_NEAR = 4


def holed(said: Said) -> None:
    """Make rings of discs whose hole is told in words; `said.facts` is changed."""
    shapes = [f for f in said.facts if f.name == "shape"]
    if not shapes or any(f.value != "disc" for f in shapes):
        return
    taken = {f.start for f in said.facts if f.name != "aperture"}
    hole = next(
        (i for n, i in enumerate(said.items) if _is_hole(said, n) and i.start not in taken),
        None,
    )
    outer = [f for f in said.of("dim") if f.role in ("", "diameter")]
    if hole is None or len(outer) != 1:
        return
    said.facts = [f for f in said.facts if f.start != hole.start]
    said.facts = [
        replace(f, value="ring", role="ring") if f.name == "shape"
        else replace(f, role="od") if f is outer[0] else f
        for f in said.facts
    ]  # fmt: skip
    said.facts.append(Fact("dim", "", hole.text, hole.start, hole.end, hole, "id"))
    said.facts.sort(key=lambda fact: fact.start)
    said.loose = [i for i in said.loose if i.start != hole.start]


def _is_hole(said: Said, n: int) -> bool:
    """Whether an amount is that of a hole in the middle of a piece."""
    items = said.items
    if n in said.dropped or items[n].kind != "num":
        return False
    if items[n].unit not in ("mm", "cm", "in", "") or items[n].spelled:
        return False
    beside: list[Item] = [*items[n + 1 : n + 3], *items[max(n - 3, 0) : n]]
    if not any(fold(i.text) in _HOLE for i in beside):
        return False
    near = items[max(n - _NEAR, 0) : n + 3 + _NEAR]
    return any(fold(i.text) in _MIDDLE or "centre" in fold(i.text) for i in near)
