"""Which lines a correction means, and what it changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.quantities import is_total
from meshcore.reading.letters.reading import read_passage
from meshcore.reading.vocabulary import fold


def _old(said: Said) -> list[Fact]:
    """Return what a comparison names as it was: "instead of 3 rolls"."""
    if not said.has("unlike"):
        return []
    kept = {n for n in range(len(said.items)) if n not in said.dropped}
    gone = [i for n, i in enumerate(said.items) if n not in kept and "unlike" not in i.tags]
    return [f for f in read_passage(gone).facts if f.name != "services"]


def _counted_before(said: Said, lines: Sequence[Draft]) -> list[Draft]:
    """Lines of the number that a contrast takes back, where it takes back no more: "5 not 3"."""
    gone = [said.items[n] for n in sorted(said.dropped) if said.items[n].kind == "num"]
    if len(gone) != 1 or not gone[0].whole or "alloy" in gone[0].tags:
        return []
    found = [line for line in lines if line.value("quantity") == max(gone[0].values)]
    return narrowed(found, said.facts)


def _taken_back(said: Said, facts: Sequence[Fact], lines: Sequence[Draft]) -> list[Draft] | None:
    """Lines that say the size or the number that a correction takes back; None where none is."""
    sized = _sized_before(said, facts)
    if sized is not None:
        return [line for line in lines if targets.matches(line, sized)]
    return _counted_before(said, lines) or None


def _sized_before(said: Said, facts: Sequence[Fact]) -> Fact | None:
    """Return the size that a comparison takes back: the 4 of "wire 5 instead of 4"."""
    gone = [n for n in sorted(said.dropped) if said.items[n].kind == "num"]
    if len(gone) != 1 or "alloy" in said.items[gone[0]].tags or not said.has("unlike"):
        return None
    before = [f for f in facts if f.item is not None and f.start < said.items[gone[0]].start]
    told = [f for f in before if f.name not in ("quantity", "dim")]
    if len(before) != 1 or not told or told[0].item is None:
        return None
    old = said.items[gone[0]]
    return replace(told[0], item=replace(old, unit=old.unit or told[0].item.unit))


def narrowed(lines: list[Draft], facts: Sequence[Fact]) -> list[Draft]:
    """Those of some lines that are also called what a correction calls them, if any is."""
    named = [f for f in facts if any(targets.matches(line, f) for line in lines)]
    return targets.by_facts(named, lines) or lines


def meant_lines(build: Build, passage: Passage, said: Said, facts: list[Fact]) -> list[Draft]:  # noqa: PLR0911
    """Lines that a correction without a number means."""
    present = build.present
    own = own_lines(build, passage, said)
    if own or (said.has("all") and not said.has("former", "latter", "last")):
        return own or present
    ordered = targets.by_order(said, present)
    if ordered:
        return ordered
    taken_back = _taken_back(said, facts, present)
    if taken_back is not None:
        return taken_back
    old = _old(said)
    if old:
        found = targets.by_facts(old, present)
        if found:
            return narrowed(found, [f for f in facts if f.name in ("form", "shape")])
    narrow = targets.by_width(said, build.lines if said.has("instead") else present)
    if narrow:
        for line in narrow:
            line.gone = False
        return narrow
    described = [
        f
        for f in facts
        if any(targets.matches(line, f) for line in present)
        and f.name in (*CLOTH, "alloy", "shape", "form")
    ]
    if described and len(described) < len(facts):
        found = targets.by_facts(described, present)
        if (found and len(found) < len(present)) or len(present) == 1:
            return found
    words = targets.own_words(said.items)
    found = targets.by_words(words, present)
    if found and len(found) < len(present):
        return found
    if said.has("all"):
        return present
    if passage.mail != newest_mail(build):
        return present if len(present) == 1 else build.answered
    return build.opened[-1:] if build.opened and not build.opened[-1].gone else present[-1:]


def correct_line(line: Draft, said: Said, facts: list[Fact], known: Sequence[Draft]) -> None:
    """Set what a correction says in the place of what the line said."""
    new = [f for f in facts if f.name not in ("form", "shape") or not line.has(f.name)]
    sizes = [f for f in new if f.name == "dim"]
    resized = any(not targets.matches(line, f) for f in sizes)
    told = [
        f
        for f in new
        if f.name == "quantity" or (f.name == "dim" and resized) or not targets.matches(line, f)
    ]
    quantities = [f for f in told if f.name == "quantity"]
    if len(quantities) > 1:
        told = [f for f in told if f.name != "quantity"] + quantities[-1:]
    if not any(f.name == "quantity" for f in told):
        told += bare_quantity(said, known)
    shown = ", ".join(f.text for f in told)
    line.put([replace(f, origin="a correction") for f in told])
    if shown:
        line.notes.append(f"corrected: {shown}")


#: A bare number from here on is the number of a paper, and counts no goods (our choice).
_NO_COUNT = 20_000.0


def bare_quantity(said: Said, known: Sequence[Draft]) -> list[Fact]:
    """Hold that a bare number in a correction is the quantity: "make that 5", "5 statt 3"."""
    bound = any(f.item is not None and f.name != "quantity" for f in said.facts)
    sized = any(i.tags.get("size") in _SIZED and "quantity" not in i.tags for i in said.items)
    if sized and not bound and not any("quantity" in i.tags for i in said.items):
        return []  # "the width should read 1250" changes no count
    labels = {n for a, _, b in targets.named_labels(said.items, known) for n in range(a, b)}
    for n, item in enumerate(said.items):
        counts = item.whole and max(item.values) < _NO_COUNT
        if counts and n not in said.dropped and n not in labels and not item.tags.get("alloy"):
            before = said.items[n - 1] if n else None
            if before is not None and ({"item", "all"} & before.tags.keys() or before.text == "."):
                continue
            if is_total(said.items, n):
                continue
            after = said.items[n + 1] if n + 1 < len(said.items) else None
            if any(f.item is item for f in said.facts) or (
                after is not None
                and after.kind == "word"
                and fold(after.text) not in ("of", "von", "de")
                and not (
                    {"unlike", "form", "shape", "correct", "instead", "for", "not", "but"}
                    & after.tags.keys()
                )
            ):
                continue
            return [Fact("quantity", max(item.values), item.text, item.start, item.end, item)]
    return []


#: Words for sizes: a bare number beside them is none of the count.
_SIZED = frozenset({"width", "length", "height", "wire", "aperture", "pitch", "diameter"})
_MINE = frozenset({"my", "mine", "our", "ours", "for me", "me", "meine", "mein", "mir", "mich",
                   "unsere", "mes", "moi", "mis", "mi"})  # fmt: skip


def own_lines(build: Build, passage: Passage, said: Said) -> list[Draft]:
    """Lines that the speaker of a chat asked for, where it speaks of its own: "cancel my discs"."""
    who = passage.speaker.split("(")[0].strip()
    if not who or not any(fold(i.text) in _MINE for i in said.items):
        return []
    return [line for line in build.present if line.speaker == who]


def newest_mail(build: Build) -> int:
    """Return the number of the mail that the last line stands in."""
    return build.present[-1].mail if build.present else 0


def last_paragraph(build: Build) -> int:
    """Return the paragraph that the last line stands in."""
    return build.present[-1].paragraph if build.present else 0


def put_in_doubt(build: Build, passage: Passage, said: Said, facts: Sequence[Fact]) -> None:
    """Put up for asking what a correction changes that cannot be placed."""
    names = frozenset(f.name for f in facts)
    if passage.mail != newest_mail(build) and names and said.has("correct", "unlike", "instead"):
        shown = " ".join(i.text for i in said.items if i.kind != "nl")
        build.doubtful.append((names, f'a correction that may concern it: "{shown}"'))


#: How "one of them" goes on after its number.
_OF_THEM = ("of them", "of these", "of those", "davon", "d'entre eux", "d'entre elles", "de ellos",
            "de ellas")  # fmt: skip


def doubt_some(build: Build, passage: Passage, said: Said) -> bool:
    """Ask how many of each where a correction is of some: "make one of them 50 mesh instead"."""
    if said.shares or said.has("withdraw"):
        return False
    changes = passage.mail > newest_mail(build) or said.has("correct", "unlike", "instead")
    told = [f for f in said.facts if f.name in FABRIC or f.name == "dim"]
    if not (changes and told and any(_is_some(said.items, n) for n in range(len(said.items)))):
        return False
    shown = " ".join(i.text for i in said.items if i.kind != "nl")
    names = frozenset({"quantity"} | {f.name for f in told})
    build.doubtful.append((names, f'"{shown}": said of some of them; how many of each?'))
    return True


def _is_some(items: Sequence[Item], n: int) -> bool:
    """Whether a number counts some of what was named, and more is said of them: "one of them in"."""  # noqa: E501
    if not items[n].whole:
        return False
    for k in range(n + 2, min(n + 5, len(items))):
        if " ".join(fold(i.text) for i in items[n + 1 : k]) in _OF_THEM:
            return items[k].kind in ("word", "num")
    return False


def counts_named(build: Build, said: Said) -> bool:
    """Take "only 4 of the 5 mm" for the quantity of the lines with that opening, wire or count."""
    counts = [f for f in said.of("quantity") if not f.weak]
    if (
        len(counts) == 1
        and said.has("the", "correct")
        and not any(f.name in (*CLOTH, "dim", "alloy") for f in said.facts)
    ):
        shapes = [f for f in said.facts if f.name == "shape"]
        at = next((n for n, i in enumerate(said.items) if i is counts[0].item), 0)
        following = said.items[at + 1 : at + 4]
        if shapes and len(following) > 1 and any("the" in i.tags for i in following):
            found = targets.by_facts(shapes[:1], build.lines)
            for line in found:
                correct_line(line, said, counts, build.lines)
            return bool(found)
    if (
        len(counts) != 1
        or not said.loose
        or not said.has("the")
        or any(f.name in (*CLOTH, "dim", "form") for f in said.facts)
    ):
        return False
    for item in said.loose:
        for name in ("aperture", "mesh_count", "pitch", "wire_diameter"):
            found = [
                line
                for line in build.present
                if targets.matches(line, Fact(name, "", "", 0, 0, item))
            ]
            if found and len(found) < len(build.present):
                for line in found:
                    correct_line(line, said, counts, build.lines)
                return True
    return False


def as_another(build: Build, said: Said, facts: list[Fact]) -> bool:
    """Read "Items 2-4 as item 1 but 0.5 wire": the named lines take the rest from another."""
    groups = targets.named_labels(said.items, build.lines)
    if not groups:
        return False
    subject = targets.by_label(groups[0][1], build.lines)
    source = targets.by_label(groups[1][1], build.lines) if len(groups) > 1 else []
    at = min(i.start for i in said.marks["same"])
    if (said.items and groups[0][0] and said.items[groups[0][0]].start > at) or not subject:
        return False
    first = build.lines.index(subject[0])
    before = source or [line for line in build.lines[:first] if not line.gone][-1:]
    for line in subject:
        line.put(facts)
        for other in before[:1]:
            line.fill(other.facts, f"line {other.label}".strip())
    return True
