"""Sizes one under another beneath their head: "dia 100", "dia 150", "dia 200"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.facts import Said
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


def _size_alone(said: Said) -> tuple[str, ...]:
    """Roles of the sizes of a line that says no more; empty where it says more or none."""
    sizes = said.of("dim")
    if not sizes or said.loose or {f.name for f in said.facts} - _SIZES:
        return ()
    roles = tuple(f.role for f in sizes)
    return roles if roles[0] in ("diameter", "od") or len(sizes) > 1 else ()
