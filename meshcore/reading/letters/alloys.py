"""Alloys of one passage: one, one corrected, a choice, or each in turn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.facts import Fact, Said

#: Names that a more exact one beside them replaces.
_GENERAL = {
    "stainless steel": ("3", "4", "2", "9"),
    "brass": ("brass ",),
    "aluminium": ("aluminium ",),
    "nickel": ("nickel ",),
    "titanium": ("titanium ",),
    "carbon steel": ("galvanized", "high-carbon"),
    "bronze": ("phosphor",),
    "copper": ("phosphor",),
}


def settle_alloys(part: Said, whole: Said) -> tuple[list[Fact], list[Fact]]:  # noqa: PLR0911
    """Return the facts with one alloy at most, and the alloys that are each to be priced.

    A choice ("304 or 316") stays one fact, to be asked about with both names.
    """
    alloys = _exact(part.of("alloy"))
    rest = [f for f in part.facts if f.name != "alloy"]
    rest = _one_each(rest, part)
    names = list(dict.fromkeys(str(f.value) for f in alloys))
    if len(names) <= 1:
        return rest + alloys[:1], []
    between = [i for i in whole.items if alloys[0].end <= i.start < alloys[-1].start]
    if any("except" in i.tags for i in between):
        return rest + alloys[:1], []
    if whole.has("both") and any("or" in i.tags for i in between):
        return rest, [next(f for f in alloys if f.value == name) for name in names]
    if any("or" in i.tags for i in between) or part.has("choice"):
        shown = " or ".join(dict.fromkeys(f.text for f in alloys))
        return [
            *rest,
            replace(
                alloys[0],
                value="|".join(names),
                end=alloys[-1].end,
                why=f'"{shown}": which of them?',
            ),
        ], []
    if any({"correct", "unlike"} & i.tags.keys() for i in between) or any(
        i.text == "." for i in between
    ):
        return [*rest, alloys[-1]], []
    if whole.has("both") or (
        whole.has("all") and any("and" in i.tags for i in between) and not whole.has("except")
    ):
        firsts = [next(f for f in alloys if f.value == name) for name in names]
        return rest, firsts
    shown = " and ".join(dict.fromkeys(f.text for f in alloys))
    return [*rest, replace(alloys[0], value="|".join(names), why=f'"{shown}" are both stated')], []


def is_finer(name: str, general: str) -> bool:
    """Whether an alloy's name is a more exact one of a general name: 304 of stainless steel."""
    return general in _FAMILIES and name != general and name.startswith(_GENERAL[general])


#: General names that leave the grade open; "mild steel" beside "galvanised" is another matter.
_FAMILIES = frozenset({"stainless steel", "brass", "aluminium", "nickel", "titanium", "bronze"})


def _exact(alloys: Sequence[Fact]) -> list[Fact]:
    """Drop a general name beside a more exact one: "stainless 304"."""
    out = []
    for fact in alloys:
        finer = () if any(f.why for f in alloys) else _GENERAL.get(str(fact.value), ())
        if (
            not any(str(other.value).startswith(finer) for other in alloys if other is not fact)
            or not finer
        ):
            out.append(fact)
    return out


def _one_each(facts: Sequence[Fact], part: Said) -> list[Fact]:
    """Of two statements of one size the later stands after a correction; else both are asked."""
    out: list[Fact] = []
    strong = {f.name for f in facts if f.name in ("form", "shape") and not f.weak}
    facts = [f for f in facts if f.name not in strong or not f.weak]
    for fact in facts:
        if fact.name == "dim" and fact.role:
            same = [f for f in out if f.name == "dim" and f.role == fact.role]
            if same and _corrected([i for i in part.items if same[-1].end <= i.start < fact.end]):
                out[out.index(same[-1])] = fact
                continue
        before = None
        if fact.name not in ("services", "dim", "quantity", "pair"):
            before = next((f for f in reversed(out) if f.name == fact.name), None)
        if before is None:
            out.append(fact)
            continue
        if (
            fact.item is not None
            and before.item is not None
            and fact.item.values == before.item.values
            and (fact.item.unit == before.item.unit or (fact.group and fact.group == before.group))
        ) or (fact.item is None and fact.value == before.value):
            continue
        between = [i for i in part.items if before.end <= i.start < fact.end]
        if fact.name == "weave" and any("or" in i.tags for i in between):
            why = f'"{before.text}" or "{fact.text}": which of them?'
            out[out.index(before)] = replace(before, why=why)
            continue
        if fact.name in ("form", "shape", "weave", "roll_length"):
            if _corrected(between):
                out[out.index(before)] = fact
            continue
        if _corrected(between):
            out[out.index(before)] = fact
        else:
            joined = " or " if any("or" in i.tags for i in between) else " and "
            out[out.index(before)] = replace(
                before, why=f'"{before.text}"{joined}"{fact.text}": which of them?'
            )
    return out


def _corrected(between: Sequence[object]) -> bool:
    return any({"correct", "unlike", "not"} & getattr(i, "tags", {}).keys() for i in between)
