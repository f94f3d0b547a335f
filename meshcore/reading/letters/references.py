"""What "the same", "as item 1" and "of the galvanised" carry over."""

from __future__ import annotations

from itertools import pairwise

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import SCOPES, Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Said
from meshcore.reading.letters.item import last_word
from meshcore.reading.letters.known import (
    CLOTHS,
    by_fineness,
)
from meshcore.reading.letters.label_places import owns_cloth
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.pointing import pointed_at
from meshcore.reading.letters.resolve import MM_OF
from meshcore.reading.letters.sides import other_size, pair_as_sizes
from meshcore.reading.vocabulary import fold

#: Words before a line's label that say that its cloth is used, or that it is ordered again.
_FROM = frozenset({"from", "ex", "aus", "out"})
_OF = frozenset({"of", "von", "de", "del", "des"})
#: Words before a label whose cloth is used, where no other is stated: "1 roll of what's in item 1".
_IN = frozenset({"in", "is", "uses", "aus", "en"})


def mark_labels(build: Build, passage: Passage, part: Said) -> None:
    """Take "from 1)", "of line 2" and "the (i) cloth" for references as "the same" is one."""
    if part.has("same", "cloth"):
        return
    for first, labels, stop in targets.named_labels(part.items, build.lines):
        if passage.label in labels or not targets.by_label(labels, build.lines):
            continue
        before = part.items[first - 1] if first else None
        word = last_word(before) if before is not None else ""
        if before is not None and "the" in before.tags and first > 1:
            word = last_word(part.items[first - 2])
        after = part.items[stop] if stop < len(part.items) else None
        if "as" in part.items[first].tags or (before is not None and "as" in before.tags):
            part.marks.setdefault("same", []).append(part.items[first])
        elif owns_cloth(part.items, stop) or (before is not None and word in CLOTHS):
            part.marks.setdefault("cloth", []).append(part.items[first])
        elif not part.cloth() and _orders_again(passage, part, first, stop):
            part.marks.setdefault("same", []).append(part.items[first])
        elif part.has("as"):
            continue
        elif (
            (word in _IN and part.of("quantity") and not part.cloth())
            or word in _FROM
            or (after is not None and "cloth" in after.tags)
        ):
            part.marks.setdefault("cloth", []).append(part.items[first])
        elif word in _OF:
            part.marks.setdefault("same", []).append(part.items[first])


#: Words that say that a line is ordered once more.
_AGAIN = frozenset({"again", "once more", "repeated", "repeat", "nochmals", "noch einmal",
                    "nochmal", "erneut", "encore", "a nouveau", "de nouveau",
                    "encore une fois", "otra vez",
                    "de nuevo", "una vez mas", "nuevamente"})  # fmt: skip
#: So many words may stand between a line's label and those.
_MOST_AGAIN = 3


def _orders_again(passage: Passage, part: Said, first: int, stop: int) -> bool:
    """Whether an item orders others once more: "D  A and B once more in brass"."""
    lead = [i for i in part.items[:first] if i.kind == "word"]
    if passage.kind not in ("item", "row") or any(not i.tags for i in lead):
        return False
    words = " ".join(fold(i.text) for i in part.items[stop : stop + _MOST_AGAIN])
    again = any(words == one or words.startswith(one + " ") for one in _AGAIN)
    return again or bool(passage.label and not lead and part.of("quantity") and part.of("alloy"))


#: What the words after "the same" limit it to.
_SCOPE_OF = {
    "size": "same size",
    "kind": "same alloy",
    "width": "same width",
    "wire": "same wire",
    "diameter": "same size",
    "aperture": "same opening",
}


def widen(part: Said) -> None:
    """Take "the same alloy and roll size" for what it names, and not for the whole line."""
    for n, item in enumerate(part.items):
        if (
            not {"same", "cloth", "same alloy", "same size", "same width", "same number"}
            & item.tags.keys()
        ):
            continue
        named = False
        for k, after in enumerate(part.items[n + 1 : n + 7], n + 2):
            role = after.tags.get("size", "")
            if role in _SCOPE_OF and k < len(part.items) and part.items[k].unit in MM_OF:
                break  # "the same in width 1.22 m" is another width
            if "count" in after.tags and after.kind == "word":
                part.marks.setdefault("cloth", []).append(after)
                named = True  # "same mesh and wire"
            elif role in _SCOPE_OF:
                part.marks.setdefault(_SCOPE_OF[role], []).append(after)
                named = True
            elif not (
                "and" in after.tags
                or "form" in after.tags
                or ("shape" in after.tags and not named)
                or after.text == ","
            ):
                break
        if named and "same" in item.tags:
            for mark in ("same", "ditto"):
                part.marks[mark] = [i for i in part.marks.get(mark, []) if i is not item]


def _names_none(part: Said) -> bool:
    """Whether an "as" is followed by a bare number that is no line's: "as 07 but in 316"."""
    after = [b for a, b in pairwise(part.items) if {"as", "same"} & a.tags.keys()]
    loose = {i.start for i in part.loose}
    return any(i.kind == "num" and not i.unit and i.start in loose for i in after)


def find_sources(build: Build, passage: Passage, part: Said, base: Draft) -> list[Draft]:  # noqa: PLR0911, PLR0912
    """Lines that a new one refers to."""
    if not build.present or not part.has(
        "same",
        "cloth",
        "same size",
        "same width",
        "same alloy",
        "same wire",
        "same opening",
        "ditto",
        "former",
        "latter",
    ):
        return []
    named = targets.named_labels(part.items, build.lines)
    for _, labels, _ in named:
        found = targets.by_label([one for one in labels if one != passage.label], build.lines)
        if found:
            return _of_alloy(found, base)
    if any(one != passage.label for _, labels, _ in named for one in labels):
        return []
    if finest := by_fineness(build, part):
        return finest
    ordinal = _ordinal(part)
    if ordinal and ordinal in part.marks and not build.cloths:
        placed = targets.by_order(Said(marks={ordinal: part.marks[ordinal]}), build.lines)
        if placed:
            return placed
    if part.has("same", "cloth"):
        some, astray = pointed_at(part, build.present)
        if some:
            base.facts = [f for f in base.facts if not (f.weak and f.name in ("form", "shape"))]
            return some[-1:]
        if astray:
            carried = {*FABRIC, "pair"} - {f.name for f in base.facts}
            base.doubts.append((frozenset(carried), f'"{astray}": which line is that?'))
    if _names_none(part):
        return []
    if several := _each_above(build, passage, part, base):
        return several
    ordered = (
        targets.by_order(part, build.present)
        if part.has("former", "latter") and not build.cloths and not part.has("item")
        else []
    )
    if ordered:
        return ordered
    if part.has("cloth") and not part.has("same"):
        fabric = [f for f in base.facts if f.name in FABRIC]
        found = targets.by_facts(fabric, build.lines)
        if found:
            return found[-1:]
        if not any("cloth" in i.tags and len(fold(i.text).split()) > 1 for i in part.items):
            return targets.by_words(base.words, build.lines)[-1:] if not base.has(*CLOTH) else []
        found = targets.by_words(base.words, build.lines)
        if found:
            return found[-1:]
        sized = part.has("same size", "same number", "same width", "same alloy")
        if (
            base.has(*CLOTH)
            and not sized
            and not any(fold(i.text).startswith(_SAME) for i in part.items if "cloth" in i.tags)
        ):
            return []
    shape = [f for f in base.facts if f.name == "shape"]
    if part.has("cloth", "same") and len(shape) > 1:
        found = [line for line in build.present if line.value("shape") == shape[-1].value]
        if found:
            base.facts = [f for f in base.facts if f is not shape[-1]]
            return found[-1:]
    spoken = [line for line in build.pointed if not line.gone]
    if spoken and part.has("cloth") and passage.mail > build.present[-1].mail:
        return spoken[-1:]
    return build.present[-1:]


def _each_above(build: Build, passage: Passage, part: Said, base: Draft) -> list[Draft]:
    """Lines above that are each ordered again in another alloy: "same again in 304, 1 of each"."""
    told = part.has("same") and part.has("each") and base.has("alloy")
    if not told or base.has(*CLOTH, "dim", "shape", "pair", "roll_length", "wire_diameter"):
        return []
    return [
        line
        for line in build.present
        if line.paragraph == passage.paragraph and line.has(*CLOTH) and line.has("quantity")
    ]


def _of_alloy(found: list[Draft], base: Draft) -> list[Draft]:
    """Those of the lines of one label that are of the alloy that is stated; one label names one."""
    alloys = base.of("alloy")
    if len(found) < 2 or len({line.label for line in found}) > 1 or not alloys:  # noqa: PLR2004
        return found
    return ([line for line in found if targets.matches(line, alloys[0])] or found)[-1:]


def _ordinal(part: Said) -> str:
    """Return the mark of an ordinal that names a line: "from the cloth of the first item"."""
    for one, after in pairwise(part.items):
        found = next(
            (m for m in ("former", "latter", "third", "fourth", "last") if m in one.tags), ""
        )
        if found and {"item", "one"} & after.tags.keys():
            return found
    return ""


#: How "the same cloth" begins, in each language.
_SAME = (
    "same",
    "gleich",
    "selb",
    "demselben",
    "dasselbe",
    "mem",
    "la mem",
    "dans la mem",
    "de la mem",
    "mism",
    "de la mism",
    "del mism",
    "la mism",
)


def refer_to(line: Draft, source: Draft, part: Said, build_cloths: bool) -> None:
    """Carry over what a reference carries: the whole line, or only its cloth, size, width."""
    origin = f"line {source.label}" if source.label else "an earlier line"
    pair_as_sizes(line, source)
    whole = part.has("same", "ditto") and not part.has("cloth")
    for mark, scope in SCOPES.items():
        if part.has(mark):
            line.fill(source.facts, origin, scope)
    if part.has("same size") and not part.has("same", "ditto") and not line.has(*CLOTH):
        line.fill(source.facts, origin, FABRIC)
    if part.has("same number") and not line.has("quantity"):
        line.fill(source.facts, origin, ("quantity",))
    if whole or (part.has("former", "latter") and not build_cloths and not line.has(*CLOTH)):
        same_form = not line.has("form") or source.value("form") in (None, line.value("form"))
        if (
            line.has("counted")
            and line.has("dim")
            and source.value("form") not in ("piece", line.value("form"))
        ):
            same_form = False  # "10 pcs same, 2 ft x 3 ft" are pieces of the roll's cloth
        names = {f.name for f in source.facts} - (
            set() if same_form else {"form", "shape", "dim", "roll_length", "quantity", "services"}
        )
        if line.value("shape") not in (None, source.value("shape")):
            names -= {"quantity", "dim"}
        line.fill(source.facts, origin, names)
    other_size(line, source, part)
    if part.has("cloth"):
        line.clothed_by = source
    shared = {f.name for f in line.facts if f.origin}
    line.doubts = line.doubts + [(names & shared, why) for names, why in source.doubts]
    line.notes.append(f"as {origin}")
