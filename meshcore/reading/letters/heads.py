"""What is said of several lines at once: heads, tails, exceptions."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.alloys import settle_alloys
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.leading import counts_each
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.restating import restate
from meshcore.reading.vocabulary import fold


def names_cloths(build: Build, said: Said) -> bool:
    """Keep two cloths that are named before they are ordered: "the coarser is…, the finer is…"."""
    if (
        said.of("quantity")
        or len(said.of("mesh_count") + said.of("aperture")) < 2  # noqa: PLR2004
        or not (said.has("former") and said.has("latter"))
    ):
        return False
    first, second = said.marks["former"][0].start, said.marks["latter"][0].start
    low, high = min(first, second), max(first, second)
    build.heads[-1] += [f for f in said.facts if f.start < low]
    parts = (
        [f for f in said.facts if low < f.start < high],
        [f for f in said.facts if f.start > high],
    )
    build.cloths = dict(
        zip(("former", "latter") if first < second else ("latter", "former"), parts, strict=True)
    )
    return True


def _numbers_after(items: list[Item]) -> list[str]:
    """Labels that an exception names, perhaps yet to come: "except item 4"."""
    at = next((n for n, i in enumerate(items) if "item" in i.tags), None)
    out: list[str] = []
    for item in items[at + 1 :] if at is not None else []:
        if item.whole or item.text.casefold() in "abcdefgh":
            out.append(item.text.casefold())
        elif item.text not in ",.&+" and "and" not in item.tags:
            break
    return out


def note_exceptions(build: Build, said: Said) -> None:
    """Keep what is said of an exception: "all 316L except the last, which is brass"."""
    for mark in said.marks.get("except", []):
        after = [i for i in said.items if i.start > mark.end]
        which = next(
            (
                name
                for name in ("last", "former", "latter", "third", "fourth")
                for i in after
                if name in i.tags
            ),
            "",
        )
        alloys = [f for f in said.of("alloy") if f.start > mark.end]
        labels = _numbers_after(after)
        if labels and alloys:
            build.excepted += [(f"label {one}", frozenset(), alloys[0]) for one in labels]
            continue
        if which and alloys:
            build.excepted.append((which, frozenset(), alloys[0]))
        elif alloys:
            named = [i for i in after if i.start < alloys[0].start]
            _except_named(build, named, alloys[0])


def _except_named(build: Build, named: list[Item], alloy: Fact) -> None:
    """Keep an exception for what it names; where that is no one thing, the alloy is asked."""
    sized = any({"narrow", "wide"} & i.tags.keys() for i in named)
    aim = aim_of(Said(items=named), build.present, build.lines)
    if sized and len(aim.lines) == 1:
        aim.lines[0].put([alloy])
        return
    if sized and build.present:
        shown = " ".join(i.text for i in named)
        build.doubtful.append((frozenset({"alloy"}), f'"except {shown}": which is that?'))
        return
    stop = next((n for n, i in enumerate(named) if n and i.kind == "mark"), len(named))
    named = named[:stop]
    kinds = [f"{k} {i.tags[k]}" for i in named for k in ("form", "shape") if k in i.tags]
    build.excepted.append(("".join(kinds[:1]), targets.own_words(named), alloy))


def alloys_for_words(build: Build, said: Said) -> bool:
    """Keep which alloy is for what: "304 is fine for the chute, 316 for the wash drum"."""
    alloys = said.of("alloy")
    if len(alloys) < 2 or {f.name for f in said.facts} != {"alloy"}:  # noqa: PLR2004
        return False
    told: list[frozenset[str]] = []
    for n, fact in enumerate(alloys):
        stop = alloys[n + 1].start if n + 1 < len(alloys) else 1 << 60
        after = [i for i in said.items if fact.end <= i.start < stop]
        at = next((k for k, i in enumerate(after) if fold(i.text) in _FOR), len(after))
        told.append(targets.own_words(after[at:]))
    apart = all(told) and not any(a & b for n, a in enumerate(told) for b in told[n + 1 :])
    if not apart:
        return False
    build.excepted += [("", words, fact) for words, fact in zip(told, alloys, strict=True)]
    return True


#: Before what an alloy is for.
_FOR = frozenset({"for", "on", "fur", "pour", "para", "in"})


def take_head(build: Build, said: Said, followed: str) -> None:
    """Keep what a head says for the lines under it."""
    facts, variants = settle_alloys(said, said)
    each = counts_each(said) or len([f for f in facts if f.name == "quantity"]) > 1
    facts = [f for f in facts if f.name != "quantity" or each]
    if followed == "list" and each:
        facts = [replace(f, why="") if f.name == "quantity" else f for f in facts]
    build.each = said.has("each")
    if variants:
        build.variants = variants
    if followed in ("sub", "breaks") and build.heads[-1] and followed == "breaks" and build.present:
        names = {f.name for f in facts} | (set(FABRIC) if said.cloth() else set())
        build.heads.append([*[f for f in build.heads[-1] if f.name not in names], *facts])
        return
    if followed in ("sub", "under") or build.present:
        names = {f.name for f in facts} | (set(FABRIC) if said.cloth() else set())
        shared = [f for f in build.heads[0] if f.name not in names]
        build.heads.append([*shared, *facts])
    else:
        build.heads[-1] += facts


def says_of_each(said: Said) -> bool:
    """Whether a passage says how many of each is to follow: "all 1 m wide, one roll each"."""
    counts = said.of("quantity")
    if len(counts) != 1 or said.cloth() or not said.has("each"):
        return False
    first, last = said.marks["each"][0], said.marks["each"][-1]
    if counts[0].start < last.start and not any(f.start > last.start for f in said.facts):
        return True
    after = {f.name for f in said.facts if f.start > last.start}
    between = [i for i in said.items if counts[0].end <= i.start < first.start]
    near = all({"form", "shape"} & i.tags.keys() for i in between)
    return counts[0].start < first.start and near and after <= {"dim", "alloy", "services"}


def doubt_alloy(build: Build, passage: Passage, part: Said, rest: list[Fact]) -> None:
    """Ask about an alloy that somebody in a chat says, and that no line took."""
    if not passage.speaker or not rest or any(f.name != "alloy" for f in rest):
        return
    if part.has_any("because") or part.dropped or part.has("not", "except", "rest", "ask"):
        return
    who = passage.speaker.split("(")[0].strip()
    lines = [line for line in build.present if line.speaker == who] or build.present
    for fact in rest:
        taken = any(f.start == fact.start for line in build.lines for f in line.facts)
        if taken or any(targets.matches(line, fact) for line in build.present):
            continue
        for line in lines:
            if line.has("alloy"):
                why = f'"{fact.text}" is said later: which holds?'
                line.doubts.append((frozenset({"alloy"}), why))


def _is_for_others(build: Build, near: list[Draft], rest: list[Fact]) -> bool:
    """Whether a size is said of a form that earlier lines have and the last ones have not."""
    form = next((f.value for f in rest if f.name == "form"), None)
    if form is None or any(f.name in CLOTH for f in rest):
        return False
    others = any(line.value("form") == form for line in build.present)
    return others and all(line.value("form") not in (None, form) for line in near)


def _doubt_older(build: Build, passage: Passage, part: Said, rest: list[Fact]) -> None:
    """Ask about what a newer mail states of the cloth otherwise than a line of an older one."""
    items = part.items
    named = {b.start for a, b in pairwise(items) if "the" in a.tags or b.start in part.silent}
    for line in build.present:
        for fact in rest if passage.mail > line.mail else ():
            if fact.start in named:
                continue
            if fact.name in FABRIC and line.has(fact.name) and not targets.matches(line, fact):
                why = f'"{fact.text}" is said above: does it change this line?'
                line.doubts.append((frozenset({fact.name}), why))


def _is_name(fact: Fact, lines: list[Draft]) -> bool:
    """Whether a form or shape only names lines of which more is said: "all discs are hemmed"."""
    return fact.name in ("form", "shape") and any(
        line.value(fact.name) == fact.value for line in lines
    )


#: A title has no more words than this (our choice).
_TITLE = 7


def _is_title(build: Build, passage: Passage, part: Said) -> bool:
    """Whether a passage only heads the letter with what its lines are of: "Panels for the new deck"."""  # noqa: E501
    words = [i for i in part.items if i.kind == "word"]
    if build.lines or build.heads != [[]] or passage.kind == "item" or not words:
        return False
    alone = len(words) <= _TITLE and all(i.text not in ".!?" for i in part.items)
    return alone and bool({"form", "shape"} & words[0].tags.keys())


def _for_alloy(build: Build, part: Said, rest: list[Fact]) -> bool:
    """Keep work for the lines that an alloy with its article names: "the 316L with certificate"."""
    starts = {f.start for f in rest if f.name == "alloy"}
    led = any("the" in a.tags and b.start in starts for a, b in pairwise(part.items))
    told = {f.name for f in rest} == {"alloy", "services"} and len(starts) == 1 and led
    if not told or part.has("all", "rest", "correct"):
        return False
    alloy = next(f for f in rest if f.name == "alloy")
    build.of_alloy += [(alloy, f) for f in rest if f.name == "services"]
    return True


def share_facts(build: Build, passage: Passage, part: Said, rest: list[Fact]) -> None:  # noqa: PLR0912
    """Facts that open no line: a shared head, a shared tail, or more of the line just opened."""
    names = {f.name for f in rest}
    if _is_title(build, passage, part) and names <= {"form", "shape"}:
        build.heads[-1] += rest
        return
    if passage.kind == "prose" and (
        names <= {"form", "shape", "counted"}
        or (
            not build.present
            and names <= {"dim", "counted"}
            and not passage.ends_colon
            and not part.has("all", "cloth", "quote")
        )
    ):
        return
    if not build.present:
        build.heads[-1] += rest
        return
    if restate(build, passage, part, rest) or _for_alloy(build, part, rest):
        return
    if passage.kind not in ("item", "row"):
        _doubt_older(build, passage, part, rest)
    everything = part.has("all", "rest") or (part.has("except") and names == {"alloy"})
    if everything and any(f.name not in ("form", "shape") for f in rest):
        rest = [f for f in rest if not _is_name(f, build.present)]
    if passage.ends_colon or (passage.kind == "item" and passage.ends_colon):
        build.heads.append(list(rest))
        return
    if everything:
        build.general += [(f, frozenset()) for f in rest]
        return
    near = build.opened if build.opened and build.opened[-1].paragraph == passage.paragraph else []
    if build.awaits:
        near = build.opened
    cloth = any(f.name in CLOTH for f in rest)
    bare = [line for line in build.opened if not line.has(*CLOTH, "papers")]
    if (near and not build.awaits and _is_for_others(build, near, rest)) or (
        build.tabled > 1 and names == {"services"} and passage.kind != "item"
    ):
        build.general += [(f, frozenset()) for f in rest]
    elif near and (build.awaits or not (passage.kind == "note" and len(near) > 1)):
        for line in near:
            line.fill([f for f in rest if f.name != "services"], "")
            line.facts += [f for f in rest if f.name == "services"]
    elif passage.kind == "item":
        build.heads.append(list(rest))
    elif not cloth:
        if bare and not near:
            for line in bare:
                line.fill(rest, "")
        else:
            told = {"form", "shape", "dim", "counted"} if passage.kind == "prose" else set()
            build.general += [(f, frozenset()) for f in rest if f.name not in told]
    else:
        headed = any(f.name in CLOTH for f in build.heads[-1])
        for line in [] if headed else bare:
            line.fill(rest, "")
