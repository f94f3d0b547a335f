"""A size or count that a change names with its old and its new value: "from 1 m to 1.2 m"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: Before the old value.
_FROM = frozenset({"from", "von", "vom", "de", "desde"})
#: Between the old value and the new one.
_TO = frozenset({"to", "auf", "zu", "a", "à", "en"})
#: What says that something changes; elsewhere two values so named are the ends of a range.
_CHANGES = ("change", "goes", "going", "went", "increas", "reduc", "raise", "drop", "lower", "move",
            "ander", "geander", "erhoh", "verringer", "steig", "reduzier", "passe", "modifi",
            "augment", "diminu", "cambi", "aument", "baja", "sube", "amend",
            "revis")  # fmt: skip


def new_for_old(items: Sequence[Item]) -> list[Item]:
    """Keep of a change only its new value: "the width goes from 1 m to 1.2 m" corrects to 1.2 m.

    Parameters
    ----------
    items
        The passage.

    Returns
    -------
    The passage with one amount for two; its place in the letter is that of both.
    """
    out = list(items)
    told = any("correct" in i.tags or (i.kind == "word" and fold(i.text).startswith(_CHANGES))
               for i in items)  # fmt: skip
    n = 0
    while told and n < len(out) - 3:
        first, old, to, new = out[n : n + 4]
        if fold(first.text) in _FROM and fold(to.text) in _TO and _same_kind(old, new):
            out[n] = replace(first, tags={"correct": "correct"})
            out[n + 1 : n + 4] = [replace(new, start=old.start)]
        n += 1
    return out


def _same_kind(old: Item, new: Item) -> bool:
    """Whether one amount may stand in the place of another."""
    both = old.kind == new.kind == "num" and bool(old.values) and bool(new.values)
    named = old.tags.get("alloy") or new.tags.get("alloy")
    return both and old.unit in ("", new.unit) and not named
