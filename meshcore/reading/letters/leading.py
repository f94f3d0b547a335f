"""Whether a passage only leads to the list under it."""

from __future__ import annotations

from meshcore.reading.letters.facts import CLOTH, Said
from meshcore.reading.letters.passage import Passage
from meshcore.reading.vocabulary import fold


def is_head(passage: Passage, said: Said, followed: str) -> bool:  # noqa: PLR0911
    """Whether a passage is the head of the list that follows it, and no line of its own."""
    if any(f.name in CLOTH for f in said.facts) and said.of("quantity"):
        return False
    if followed == "sub":
        return True
    counts = [f for f in said.of("quantity") if not f.weak]
    if not followed:
        return False
    if followed == "under":
        return not counts and said.cloth() and not said.has("correct", "withdraw")
    if followed == "breaks":
        return not counts and (said.cloth() or any(f.name in ("shape", "dim") for f in said.facts))
    if followed == "list" and passage.kind not in ("item", "row") and counts and _of_each(said):
        return True
    if not (passage.ends_colon or ends_open(said)) or passage.kind in ("item", "row"):
        return False
    if followed == "list" and not counts and said.cloth():
        return True
    return (bool(counts) and (said.has("each") or ends_open(said) or len(counts) > 1)) or (
        bool(counts) and any(f.name == "dim" for f in said.facts)
    )


def ends_open(said: Said) -> bool:
    """Whether a passage breaks off before what it speaks of: "please offer 5 rolls each of"."""
    words = [fold(i.text) for i in said.items if i.kind == "word"]
    return said.has("each", "all") and bool(words) and words[-1] in _OPEN


#: How a sentence begins that says of each item to come what it is.
_EACH = frozenset({"each", "every", "each of", "jede", "jeder", "jedes", "chaque", "chacun",
                   "chacune", "cada"})  # fmt: skip


def _of_each(said: Said) -> bool:
    """Whether a sentence says how many and how large each is: "Each is one roll, 1 m x 30 m."."""
    first = said.items[0] if said.items else None
    sized = any(f.name in ("dim", "roll_length") for f in said.facts)
    return first is not None and fold(first.text) in _EACH and sized


def counts_each(said: Said) -> bool:
    """Whether the counts of a head hold for each item under it."""
    return said.has("each") or ends_open(said) or _of_each(said)


#: Words after which a list is to come.
_OPEN = frozenset({"of", "each of", "each", "von", "de", "je"})
