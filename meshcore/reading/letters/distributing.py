"""One size told for some lines and another for others: "width 60 for lines 1 to 3 and 75 for line 4"."""  # noqa: E501

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.reading import read_passage

_ORIGIN = "what is said of it by its number"


def distribute(build: Build, passage: Passage, said: Said) -> bool:
    """Give lines named by their numbers what is told before or after each; False where none is."""
    if passage.kind in ("item", "row") or not build.present:
        return False
    if said.has("withdraw", "same", "cloth", "unlike", "not"):
        return False
    groups = targets.named_labels(said.items, build.lines)
    if len(groups) < 2:  # noqa: PLR2004 - one alone is no more than a name
        return False
    stretches = _stretches(said.items, groups)
    told: list[tuple[list[Draft], list[Fact]]] = []
    before: list[Fact] = []
    for (_, labels, _), (a, b) in zip(groups, stretches, strict=True):
        lines = targets.by_label(labels, build.lines)
        facts = _facts(said.items[a:b], before)
        if not lines or not facts:
            return False
        told.append((lines, facts))
        before = facts
    if len({id(line) for lines, _ in told for line in lines}) < sum(len(ls) for ls, _ in told):
        return False
    for lines, facts in told:
        for line in lines:
            _give(line, facts)
    return True


def _stretches(
    items: Sequence[Item], groups: Sequence[tuple[int, list[str], int]]
) -> list[tuple[int, int]]:
    """Where what is told of each group of labels stands: before it, or after it."""
    ends = [stop for _, _, stop in groups]
    starts = [first for first, _, _ in groups]
    led = any(i.kind == "num" or _TELLING & i.tags.keys() for i in items[: starts[0]])
    if led:
        return list(zip([0, *ends[:-1]], starts, strict=True))
    return list(zip(ends, [*starts[1:], len(items)], strict=True))


_TELLING = frozenset({"alloy", "service", "weave"})


def _facts(items: Sequence[Item], before: Sequence[Fact]) -> list[Fact]:
    """Return what a stretch tells: a bare number says what the number of the stretch before did."""
    said = read_passage(list(items))
    facts = [f for f in said.facts if f.name not in ("form", "shape", "counted") and not f.weak]
    if facts or len(said.loose) != 1 or len(before) != 1 or before[0].item is None:
        return facts if len(said.loose) == 0 else []
    one, like = said.loose[0], before[0]
    if like.name == "quantity" and one.whole:
        return [Fact("quantity", max(one.values), one.text, one.start, one.end, one)]
    unit = one.unit or (like.item.unit if like.item is not None else "")
    return [
        replace(like, text=one.text, start=one.start, end=one.end, item=replace(one, unit=unit))
    ]


def _give(line: Draft, facts: Sequence[Fact]) -> None:
    """Set facts in a line, each in the place of what it said; the other sizes stay."""
    for fact in facts:
        line.put([replace(fact, origin=_ORIGIN)])
