"""A last look over each line: what competes with a value that was taken is asked about.

A passage that states a line may hold an amount or a word of the trade that no field took. Where it
could stand in the place of what was taken, neither is chosen: the field is asked, with both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from meshcore.reading.letters.accounting import is_known
from meshcore.reading.letters.conflicts import ask_doubtful
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.finished import Finished
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.resolve import MM_OF
from meshcore.reading.vocabulary import fold

#: Columns of the cells → names of the facts behind them.
_NAMES = {"width": "dim", "length": "dim", "dimensions": "dim"}
#: A count that competes with another is no larger than so many times it (our choice).
_COUNTED_ALIKE = 20.0
#: Sizes that compete are to each other at most as this (our choice).
_SIZED_ALIKE = 40.0
#: Shorter than this [mm] no roll is, nor is a width: what is smaller says something else.
_SMALL_MM = 250.0
#: After these a bare number may be a new count: "agreed: 8", "so 6".
_SETTLES = frozenset({"agreed", "so", "then", "rather", "better", "ok", "okay", "total", "make",
                      "sum", "also", "lieber", "besser", "plutot", "mejor"})  # fmt: skip


def look_again(
    done: Sequence[Finished],
    read: Sequence[tuple[Passage, Said]],
    is_open: Callable[[int, int], bool],
) -> None:
    """Ask about each field that an amount or alloy left over in its passage competes with.

    Parameters
    ----------
    done
        The lines.
    read
        The passages as read.
    is_open
        Whether nothing has taken a stretch of the letter, from its start and its end.
    """
    for passage, said in read:
        left = [
            item
            for n, item in enumerate(said.items)
            if n not in said.dropped and is_open(item.start, item.end) and _tells(said.items, n)
        ]
        if not left:
            continue
        for one in done:
            whole = {"width", "length"} <= one.cells.keys() | {column for column, _ in one.asked}
            for name, fact in _taken_here(one, passage):
                if name == "dim" and (whole or said.has("correct", "unlike")):
                    continue
                rival = next((i for i in left if _competes(name, fact, i, said)), None)
                if rival is not None:
                    why = f'"{fact.text}" and "{rival.text}": which of them?'
                    ask_doubtful(one, frozenset({name}), why)


def _taken_here(one: Finished, passage: Passage) -> Iterator[tuple[str, Fact]]:
    """Facts of a line that stand in a passage, each by its name."""
    for column, fact in one.evidence:
        if passage.start <= fact.start < passage.end and column in one.cells:
            yield _NAMES.get(column, column), fact


def _tells(items: Sequence[Item], n: int) -> bool:
    """Whether an item may state something of a line."""
    item = items[n]
    if "alloy" in item.tags:
        return True
    if item.kind != "num" or not item.values or item.unit in ("process", "%"):
        return False
    after = items[n + 1] if n + 1 < len(items) else None
    before = items[n - 1] if n else None
    if after is not None and {"process", "edge"} & after.tags.keys() and not item.unit:
        return False
    return before is None or not ("item" in before.tags and not item.unit)


def _competes(name: str, fact: Fact, item: Item, said: Said) -> bool:
    """Whether an item left over could stand in the place of a fact."""
    if name == "alloy":
        corrected = said.has("correct", "unlike", "withdraw", "because", "except", "both")
        if "alloy" not in item.tags or corrected:
            return False
        return not is_known(item.tags["alloy"], "alloy", {("alloy", str(fact.value))})
    again = any(f.item is not None and f.item.values == item.values for f in said.facts)
    if item.kind != "num" or item.tags.get("alloy") or again:
        return False
    if name == "quantity":
        return _recounts(fact, item, said)
    if name == "dim":
        return _resizes(fact, item)
    return False


def _recounts(fact: Fact, item: Item, said: Said) -> bool:
    """Whether a bare number after a count may be the count in the end: "… agreed: 8"."""
    if not item.whole or item.start < fact.end or fact.item is None or not fact.item.values:
        return False
    more = max(item.values) <= _COUNTED_ALIKE * max(fact.item.values)
    words = [i for i in said.items if i.start < item.start and i.text != ":"][-1:]
    led = any(fold(word.text) in _SETTLES for word in words)
    return more and led and item.values != fact.item.values


def _resizes(fact: Fact, item: Item) -> bool:
    """Whether a size left over may be the width or the length that another was taken for."""
    if fact.item is None or item.unit not in ("m", "ft", "yd") or fact.item.unit not in MM_OF:
        return False
    mm, taken = (min(i.values) * MM_OF[i.unit] for i in (item, fact.item))
    if fact.role not in ("width", "length") or taken < _SMALL_MM:
        return False
    return 1 / _SIZED_ALIKE <= mm / taken <= _SIZED_ALIKE
