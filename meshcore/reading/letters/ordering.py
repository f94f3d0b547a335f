"""The order in which passages are read: what changes lines comes after them."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.passage import Passage

#: "Pos 2 in brass", "items 1 and 3": a word and the number of an item.
_NAMED = re.compile(
    r"(?i)\b(?:item|pos|position|line|no|artikel|art|ligne|poste|partida|rep[eè]re|l[ií]nea)"
    r"[.s]?[ \t.:#]{0,3}(?P<label>\d{1,3}|[a-h](?![\w']))"
)
#: "4 of A": so many of a line.
_COUNTED = re.compile(r"\b\d+ (?:of|x|von|de) (?P<label>[A-H])\b")
_CHANGES = ("withdraw", "correct", "unlike", "instead")


def changes_last(
    passages: Sequence[Passage], body: str, read: Callable[[Passage], Said]
) -> list[Passage]:
    """Return the passages with those last that change items which only come after them.

    Parameters
    ----------
    passages, body
        In the order of the letter, and its text.
    read
        Reads a passage.
    """
    first: dict[str, int] = {}
    for n, one in enumerate(passages):
        if one.kind in ("item", "row") and one.label and _states_goods(one, read):
            first.setdefault(one.label, n)
    late = [n for n, one in enumerate(passages) if first and _is_early(n, one, first, body, read)]
    kept = [one for n, one in enumerate(passages) if n not in late]
    return kept + [passages[n] for n in late]


def _states_goods(passage: Passage, read: Callable[[Passage], Said]) -> bool:
    return bool(passage.cells) or read(passage).cloth()


def _is_early(
    n: int,
    passage: Passage,
    first: dict[str, int],
    body: str,
    read: Callable[[Passage], Said],
) -> bool:
    """Whether a passage speaks only of items that are still to come."""
    if passage.cells or passage.speaker:
        return False
    text = body[max(passage.body, passage.start) : passage.end]
    own = passage.kind == "item" and bool(passage.label)
    labels = [hit["label"].casefold().lstrip("0") for hit in _NAMED.finditer(text)]
    labels += [hit["label"].casefold() for hit in _COUNTED.finditer(text)]
    if own:
        labels = [passage.label, *labels]
    known = [one for one in labels if one in first]
    if not known or any(first[one] <= n for one in known):
        return False
    said = read(passage)
    if said.has("except", "all") or said.cloth():
        return False
    arrow = "->" in text or "→" in text
    told = said.has(*_CHANGES) or said.has_any("put") or arrow
    counted = bool(_COUNTED.search(text))
    facts = [f for f in said.facts if f.name in ("alloy", "quantity", "dim", "services")]
    return told or counted or bool(facts)
