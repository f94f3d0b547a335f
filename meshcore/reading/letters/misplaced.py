"""Changes of several lines at once that may have gone astray: what is in doubt is asked."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.resolve import MM_OF

#: Fields that a change may concern.
_FIELDS = frozenset({*CLOTH, "alloy", "wire_diameter", "quantity", "dim"})
Doubt = tuple[Draft, frozenset[str], str]


def misplaced(build: Build, read: Sequence[tuple[Passage, Said]]) -> list[Doubt]:
    """Lines that took what a change says of another, or took nothing of what it says of them.

    Parameters
    ----------
    build, read
        The lines, and the passages as read.

    Returns
    -------
    Each line with the names of its facts that are in doubt, and why.
    """
    out: list[Doubt] = []
    for passage, said in read:
        if passage.kind in ("item", "row") or not said.has("correct", "unlike", "instead"):
            continue
        if any(line.start == passage.start for line in build.lines) or not build.present:
            continue
        shown = " ".join(i.text for i in said.items if i.kind != "nl")
        why = f'a change that may concern it: "{shown}"'
        groups = targets.named_labels(said.items, build.lines)
        known = [g for g in groups if targets.by_label(g[1], build.lines) or _gone(g[1], build)]
        if len(known) > 1 and len(known) == len(groups) and not said.has("all", "same", "cloth"):
            out += _astray(build, said, groups, why)
        elif groups and not known:
            names = frozenset(f.name for f in said.facts if f.name in _FIELDS)
            out += [(line, names, why) for line in build.present if names]
    return out


def _gone(labels: Sequence[str], build: Build) -> bool:
    return any(line.gone and line.label in labels for line in build.lines)


def _astray(
    build: Build, said: Said, groups: Sequence[tuple[int, list[str], int]], why: str
) -> list[Doubt]:
    """Doubts of a passage that names several lines, each with what stands around its name."""
    out: list[Doubt] = []
    first, last = said.items[0].start, said.items[-1].end
    stops = [stop for _, _, stop in groups]
    starts = [start for start, _, _ in groups]
    around = list(zip([0, *stops[:-1]], [*starts[1:], len(said.items)], strict=True))
    for line in build.present:
        spans = [
            (said.items[a].start, said.items[b - 1].end)
            for (_, labels, _), (a, b) in zip(groups, around, strict=True)
            if line in targets.by_label(labels, build.lines)
        ]
        own = [f for f in line.facts if first <= f.start < last and f.name in _FIELDS]
        astray = {f.name for f in own if not any(a <= f.start < b for a, b in spans)}
        if astray and line.clothed_by is None:
            out.append((line, frozenset(astray), why))
        inside = [f for f in line.facts if _within(f.start, spans)]
        if spans and not inside:
            names = _untaken(build, said, spans)
            if names:
                out.append((line, frozenset(names), why))
    return out


def _untaken(build: Build, said: Said, spans: Sequence[tuple[int, int]]) -> set[str]:
    """Names of what stands around a line's name and no line took."""
    taken = {f.start for line in build.lines for f in (*line.facts, *line.old)}
    names = {
        f.name
        for f in said.facts
        if f.name in _FIELDS and f.start not in taken and _within(f.start, spans)
    }
    for item in said.loose:
        if item.start not in taken and _within(item.start, spans):
            names |= _may_be(item)
    return names


def _within(start: int, spans: Sequence[tuple[int, int]]) -> bool:
    return any(a <= start < b for a, b in spans)


def _may_be(item: Item) -> set[str]:
    """Fields that an amount may state by its unit."""
    if item.unit in MM_OF:
        return {"dim", "wire_diameter"} if item.unit in ("mm", "in") else {"dim"}
    return {"quantity", "dim"} if item.whole else set()
