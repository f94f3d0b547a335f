"""Counts that are told after the lines they count: "two rolls of A, one each of B and C"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said

#: What a sentence that only counts may say besides.
_COUNTS = frozenset({"form", "shape", "counted"})


def count_labels(build: Build, said: Said) -> bool:
    """Give named lines that have no quantity the number before their labels; False if none are."""
    named = [
        (said.items[first].start, lines)
        for first, labels, _ in targets.named_labels(said.items, build.lines)
        if (lines := targets.by_label(labels, build.lines))
    ]
    if not named or said.cloth() or said.has("same", "cloth", "correct", "withdraw"):
        return False
    starts = {start for start, _ in named}
    counts = [f for f in said.of("quantity") if f.start not in starts]
    told = [
        (before[-1], lines)
        for start, lines in named
        if (before := [f for f in counts if f.start < start])
        and not any(line.has("quantity") for line in lines)
    ]
    if len(told) != len(named) or not counts or len(counts) > len(told):
        return False
    forms = [f for f in said.facts if f.name in ("form", "shape")]
    for count, lines in told:
        for line in lines:
            line.put([replace(count, weak=False)])
            line.fill(forms, "where it is counted")
    return True


def count_late(line: Draft | None, rest: Sequence[Fact], counts: Sequence[Fact]) -> bool:
    """Give the line before a count that says nothing of its own: "… in rolls. Quantity: 4 rolls"."""  # noqa: E501
    if line is None or line.gone or line.has("quantity") or len(counts) != 1:
        return False
    if not {f.name for f in rest} <= _COUNTS or counts[0].weak:
        return False
    for fact in rest:
        if line.has(fact.name) and line.value(fact.name) != fact.value:
            return False
    line.put(counts)
    line.fill(rest, "where it is counted")
    return True
