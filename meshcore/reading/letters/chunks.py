"""One passage parted at its quantities, so that each part speaks of one line."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from meshcore.reading.letters.facts import CLOTH, Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.nouns import of_them


def cut_chunks(said: Said) -> list[tuple[list[Fact], list[Item]]]:
    """Part a passage at its quantities, so that each part speaks of one line or price break."""
    anchors: list[int] = []
    groups: list[int] = []
    again = _again(said)
    strong = [f for f in said.of("quantity") if not f.weak]
    for fact in said.of("quantity"):
        if fact.weak and strong and not _own_noun(said, fact, strong):
            continue
        if fact.group not in groups:
            groups.append(fact.group)
            anchors.append(_begins(said, fact))
    facts = [
        f for f in said.facts if not (f.name == "quantity" and f.weak and f.group not in groups)
    ]
    if not anchors:
        anchors = shape_anchors(said) or _placed(said)
    anchors = _from_same(said, anchors)
    anchors = sorted({*anchors, *again, *_as_many(said, anchors)})
    if len(anchors) < 2:  # noqa: PLR2004
        return [(facts, list(said.items))]
    bounds = _bounds(facts, anchors, said)
    out = []
    for k, low in enumerate(bounds):
        high = bounds[k + 1] if k + 1 < len(bounds) else 1 << 60
        out.append(
            (
                [f for f in facts if low <= f.start < high],
                [i for i in said.items if low <= i.start < high],
            )
        )
    return out


def _from_same(said: Said, anchors: Sequence[int]) -> list[int]:
    """Let a count after a "the same" clause begin with it: "…; then the same in 316, 3 off"."""
    out = list(anchors)
    for mark in said.marks.get("same", []) if len(anchors) > 1 else []:
        earlier = [at for at in out if at < mark.start]
        later = [at for at in out if at > mark.end]
        if not earlier or not later or not _parts_before(said, mark):
            continue
        told = [f for f in said.facts if earlier[-1] <= f.start < mark.start]
        own = [f for f in said.facts if mark.end <= f.start < later[0]]
        after = [f for f in said.facts if f.start > later[0] and f.name in (*CLOTH, "alloy", "dim")]
        whole = {"alloy", "dim"} & {f.name for f in told}
        if whole and own and not after and {f.name for f in own} <= _CHANGED:
            out[out.index(later[0])] = mark.start
    return out


#: What a "the same" clause may change before its count.
_CHANGED = frozenset({"alloy", "services", "wire_diameter", "mesh_count", "weave", "dim"})


def _parts_before(said: Said, mark: Item) -> bool:
    """Whether a sign or an "and" parts a mark from what stands before it."""
    lead = [i for i in said.items if i.end <= mark.start][-3:]
    return any((i.kind == "mark" and i.text in ",;.") or "and" in i.tags for i in lead)


def _as_many(said: Said, anchors: Sequence[int]) -> list[int]:
    """Where a clause of as many others begins: "…, für das Unterdeck gleich viele mit 12 mm"."""
    out = []
    for mark in said.marks.get("same number", []) if anchors else []:
        commas = [i.end for i in said.items if i.text in ",;" and i.end <= mark.start]
        counted = any(at < mark.start for at in anchors)
        cloth = [f for f in said.facts if f.name in CLOTH]
        both = any(f.start < mark.start for f in cloth) and any(f.start > mark.end for f in cloth)
        if counted and both and commas and not any(commas[-1] <= at for at in anchors):
            out.append(commas[-1])
    return out


def _begins(said: Said, fact: Fact) -> int:
    """Where a part begins: at its number, or at what is named before an "of them"."""
    n = next((k for k, item in enumerate(said.items) if item is fact.item), 0)
    named = n and {"form", "shape"} & said.items[n - 1].tags.keys()
    return said.items[n - 1].start if named and of_them(said.items, n) else fact.start


def _again(said: Said) -> list[int]:
    """Where a "same again" amid a passage opens another line, as its cloth differs."""
    out = []
    for mark in said.marks.get("same", []):
        before = {f.name for f in said.facts if f.start < mark.start}
        later = [f.start for f in said.of("quantity") if f.start > mark.end]
        if (
            "again" in mark.tags
            and not before
            and later
            and any(f.name in _OWN and f.start > later[0] for f in said.facts)
            and any(
                (i.kind == "mark" and i.text in ",;") or "also" in i.tags
                for i in said.items
                if mark.end <= i.start < later[0]
            )
        ):
            out.append(mark.start)
            continue
        after = [f for f in said.facts if f.start > mark.start]
        counted = any(f.name in ("quantity", "dim") and f.start < mark.start for f in said.facts)
        lead = [i for i in said.items if i.end <= mark.start][-5:]
        of_same = any(
            f.name == "quantity" and not f.weak and lead and lead[0].start < f.start < mark.start
            for f in said.facts
        )
        if (
            counted
            and not of_same
            and any("also" in i.tags for i in lead)
            and any(f.name in CLOTH and f.name in before for f in after[:2])
        ):
            out.append(mark.start)
    return out


#: What a count after "same again" says where it counts another line.
_OWN = frozenset({*CLOTH, "dim", "roll_length", "alloy"})


def _own_noun(said: Said, fact: Fact, strong: Sequence[Fact]) -> bool:
    """Whether an article opens a line of its own beside plain numbers: a form with sizes."""
    after = [f for f in said.facts if f.start > fact.start]
    later = min((f.start for f in strong if f.start > fact.start), default=1 << 60)
    return any(f.name in ("roll_length", "dim", *CLOTH) and f.start < later for f in after)


def shape_anchors(said: Said) -> list[int]:
    """Shapes that each bring their own size open a line each: "disc 58 mm and disc 51.5 mm"."""
    shapes = [f for f in said.facts if f.name == "shape"]
    sizes = [f.start for f in said.of("dim")]
    each = [
        s
        for k, s in enumerate(shapes)
        if any(
            s.start < d < (shapes[k + 1].start if k + 1 < len(shapes) else 1 << 60) for d in sizes
        )
    ]
    return [s.start for s in each] if len(each) > 1 and len(each) == len(shapes) else []


def _placed(said: Said) -> list[int]:
    """Where each place begins that has a cloth of its own: "the upper has 10 mesh, the lower 50 mesh"."""  # noqa: E501
    places = [i for i in said.items if "place" in i.tags]
    cloths = [f.start for f in said.facts if f.name in CLOTH]
    starts = [i.start for i in places]
    own = [any(a < c < b for c in cloths) for a, b in pairwise([*starts, 1 << 60])]
    return starts if len(places) > 1 and all(own) else []


_NO_SIZES = ("form", "shape", "quantity", "services", "roll_length", "counted")


def _bounds(facts: Sequence[Fact], anchors: Sequence[int], said: Said) -> list[int]:
    """Where each part begins: at its number, or after the number where numbers come last."""
    first, last = anchors[0], anchors[-1]
    ends = [f for f in facts if f.start > last and f.name not in _NO_SIZES]
    heads = [f for f in facts if f.start < first and f.name in (*CLOTH, "dim")]
    if heads and not ends:
        bounds = [0]
        for n, at in enumerate(anchors[:-1]):
            after = [
                i.start
                for i in said.items
                if (i.start > at and i.kind in ("mark", "nl") and i.text in ",;.\n")
                or (i.start > at and "and" in i.tags)
            ]
            bounds.append(min([*after, anchors[n + 1]]))
        return bounds
    return [0, *anchors[1:]]


def shared_facts(said: Said, chunks: Sequence[tuple[list[Fact], list[Item]]]) -> list[Fact]:
    """Return what stands after a "both" or "all" in a passage of several lines is said of each."""
    if len(chunks) < 2 or not said.has("all"):  # noqa: PLR2004
        return []
    last = chunks[-1][0]
    marks = [i for i in said.marks["all"] if last and i.start > last[0].start]
    if not marks:
        return []
    own = [f for f in last if f.start < marks[0].start]
    return [
        f
        for f in last
        if f.start > marks[0].start
        and f.name not in ("quantity", "form", "shape")
        and not (f.name in CLOTH and any(o.name == f.name for o in own))
    ]
