"""The line that a part names by what it is: by its pair, its article, its cloth, its fineness."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import extreme
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact, Said
from meshcore.reading.vocabulary import fold


def known_by_pair(build: Build, line: Draft) -> Draft | None:
    """Return the line whose count or opening and wire a pair repeats: "the same 3.15/1.25"."""
    pair = [f for f in line.of("pair") if f.item is not None]
    if len(pair) != 2:  # noqa: PLR2004
        return None
    first, second = pair
    for one in reversed(build.present):
        cloth = [f for name in ("mesh_count", "aperture", "pitch") for f in one.of(name)]
        wires = one.of("wire_diameter")
        if _alike(cloth, first) and _alike(wires, second):
            line.facts = [f for f in line.facts if f.name != "pair"]
            return one
    return None


def _alike(facts: Sequence[Fact], fact: Fact) -> bool:
    return any(
        f.item is not None and fact.item is not None and set(f.item.values) & set(fact.item.values)
        for f in facts
    )


_THOSE = frozenset({"those", "these", "diesen", "ces", "esos", "esas"})


def known_by_article(build: Build, part: Said, line: Draft) -> Draft | None:
    """Return the line that a part names by its alloy or size with the article: "of the galvanised"."""  # noqa: E501
    for n, item in enumerate(part.items[1:], 1):
        if "the" not in part.items[n - 1].tags:
            continue
        after = part.items[n + 1].tags if n + 1 < len(part.items) else {}
        sizes = item.kind == "num" and {"form", "shape"} & after.keys()
        if sizes or any(item is one for one in part.loose):
            counted = targets.by_facts([Fact("mesh_count", "", "", 0, 0, item)], build.lines)
            if counted and not item.unit:
                return counted[-1]
            sized = [
                one
                for one in build.present
                if any(
                    f.item is not None
                    and item.unit in ("", f.item.unit)
                    and f.item.values == item.values
                    for f in one.of("dim")
                )
            ]
            if sized:
                if sizes:
                    line.facts = [f for f in line.facts if f.item is not item]
                alike = [f for f in sized[-1].of("dim") if f.item and f.item.values == item.values]
                line.fill(sized[-1].of("dim") if sizes else alike, "the line it names")
                return sized[-1]
        if fold(part.items[n - 1].text) in _THOSE and "shape" in item.tags:
            shaped = [one for one in build.present if one.value("shape") == line.value("shape")]
            if shaped:
                return shaped[-1]
        told = n + 1 < len(part.items) and fold(part.items[n + 1].text) in {*CLOTHS, "stuff"}
        if told and item.kind == "num" and item.unit and any(item is one for one in part.loose):
            opened = targets.by_facts([Fact("aperture", "", "", 0, 0, item)], build.lines)
            if opened:
                return opened[-1]  # "of the 6 mm stuff"
        named = [f for f in line.facts if f.start == item.start and f.name in FABRIC]
        found = targets.by_facts(named, build.lines)
        if found:
            return found[-1]
    return None


def known_by_cloth(build: Build, part: Said, line: Draft) -> Draft | None:
    """Return the line that a part names by its count or opening: "24 panels of the 8 mesh".

    None where it says its own wire, or where lines of that cloth differ in wire or alloy.
    """
    if line.has("wire_diameter", "pair") or part.has("same", "cloth"):
        return None
    the = {b.start for a, b in pairwise(part.items) if "the" in a.tags}
    cloth = [f for f in line.facts if f.name in CLOTH and f.item is not None]
    if len(cloth) != 1 or cloth[0].start not in the:
        return None
    found = [one for one in build.present if targets.matches(one, cloth[0])]
    own = line.value("alloy")
    told = {(f.name, f.value or f.text) for one in found for f in one.facts if f.name in _TELLING}
    alloys = {value for name, value in told if name == "alloy"} if own is None else set()
    wires = {value for name, value in told if name == "wire_diameter"}
    return found[-1] if found and len(wires) == 1 and len(alloys) <= 1 else None


_TELLING = frozenset({"wire_diameter", "alloy"})


_FINE = frozenset({"finer", "finest", "fine", "feineren", "feinere", "feinen", "plus fine",
                   "plus fin", "mas fina", "mas fino"})  # fmt: skip


_COARSE = frozenset({"coarser", "coarsest", "coarse", "groberen", "grobere", "groben",
                     "plus grosse", "mas gruesa", "mas grueso"})  # fmt: skip


def by_fineness(build: Build, part: Said) -> list[Draft]:
    """Return the line whose cloth is the finest or coarsest: "of the finer cloth one length"."""
    for before, item, after in zip(part.items, part.items[1:], part.items[2:], strict=False):
        word = fold(item.text)
        named = "cloth" in after.tags or fold(after.text) in CLOTHS
        if "the" in before.tags and named and word in _FINE | _COARSE:
            clothed = [line for line in build.present if line.has(*CLOTH)]
            return extreme(clothed, "fine" if word in _FINE else "coarse")[-1:]
    return []


CLOTHS = frozenset({"cloth", "mesh", "gauze", "one", "fabric", "weave", "gewebe", "toile",
                     "maille", "tela", "malla"})  # fmt: skip
