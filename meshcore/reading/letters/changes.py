"""What takes back or changes lines already read: withdrawals and corrections."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.assemble import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, Fact, Said
from meshcore.reading.letters.items import Item
from meshcore.reading.letters.passages import Passage
from meshcore.reading.letters.reading import read_passage


def change(build: Build, passage: Passage, said: Said) -> bool:
    """Apply a passage as a withdrawal or a correction; False where it is neither."""
    if said.has("withdraw") and _takes_back_words(said):
        return False
    if said.has("withdraw") and passage.kind in ("item", "row") and not _names(build, passage, said):
        return True
    if said.has("withdraw") and passage.kind not in ("item", "row"):
        build.absent += _absent(build, said)
    if not build.present:
        return said.has("withdraw")
    if said.has("except"):
        return False
    if passage.kind in ("item", "row") and not said.has("withdraw") and passage.mail == _newest(build) \
            and (passage.label or not _names(build, passage, said)):  # fmt: skip
        return False
    if _counts_named(build, said):
        return True
    if not said.has("withdraw", "correct", "unlike", "instead") and not _names(build, passage, said):
        return False
    clauses = _clauses(said.items)
    if len(clauses) > 1 and not passage.label:
        told = [read_passage(clause) for clause in clauses]
        if not any(_changes(build, passage, one) for one in told):
            return False
        for one in told:
            if not _apply(build, passage, one):
                _leave(build, passage, one)
        return True
    return _apply(build, passage, said)


def _absent(build: Build, said: Said) -> list[str]:
    """Labels of a withdrawal that no line has yet: "leave out item 3 below"."""
    known = {line.label for line in build.lines}
    return [one for _, labels, _ in targets.named_labels(said.items, build.lines) for one in labels if one not in known]


def _counts_named(build: Build, said: Said) -> bool:
    """Take "only 4 of the 5 mm" for the quantity of the lines with that opening, wire or count."""
    counts = [f for f in said.of("quantity") if not f.weak]
    if len(counts) == 1 and said.has("the", "correct") and not any(f.name in (*CLOTH, "dim", "alloy") for f in said.facts):
        shapes = [f for f in said.facts if f.name == "shape"]
        at = next((n for n, i in enumerate(said.items) if i is counts[0].item), 0)
        following = said.items[at + 1 : at + 4]
        if shapes and len(following) > 1 and any("the" in i.tags for i in following):
            found = targets.by_facts(shapes[:1], build.lines)
            for line in found:
                _correct(line, said, counts, build.lines)
            return bool(found)
    if len(counts) != 1 or not said.loose or not said.has("the") or any(f.name in (*CLOTH, "dim", "form") for f in said.facts):
        return False
    for item in said.loose:
        for name in ("aperture", "mesh_count", "pitch", "wire_diameter"):
            found = [line for line in build.present if targets.matches(line, Fact(name, "", "", 0, 0, item))]
            if found and len(found) < len(build.present):
                for line in found:
                    _correct(line, said, counts, build.lines)
                return True
    return False


def _takes_back_words(said: Said) -> bool:
    """Whether a withdrawal takes back only the words before it, in a passage that counts something.

    "25 off, edges welded.. no leave that, just cut edges" is still a line; "the 4 rolls are not
    required" is none, nor is "forget the 2 rolls".
    """
    mark = said.marks["withdraw"][0]
    counts = [f for f in said.of("quantity") if not f.weak and f.end <= mark.start]
    if not counts:
        return False
    at = next((n for n, i in enumerate(said.items) if i.start >= counts[0].start), 0)
    if at and "the" in said.items[at - 1].tags:
        return False
    before = [f for f in said.of("services") if f.end <= mark.start]
    if not before:
        return False
    said.facts = [f for f in said.facts if f is not before[-1]]
    return True


def _names(build: Build, passage: Passage, said: Said) -> bool:
    return bool(_named(build, passage, said))


def _named(build: Build, passage: Passage, said: Said) -> list[Draft]:
    found: list[Draft] = []
    for _, labels, _ in targets.named_labels(said.items, build.lines):
        if passage.label and passage.label in labels:
            continue
        found += targets.by_label(labels, build.lines)
    return found


def _changes(build: Build, passage: Passage, said: Said) -> bool:
    return said.has("withdraw", "correct", "unlike", "instead") or _names(build, passage, said)


def _leave(build: Build, passage: Passage, said: Said) -> None:
    if said.facts:
        from meshcore.reading.letters.assemble import cut_chunks, opens  # noqa: PLC0415 - the two call each other

        for facts, _ in cut_chunks(said):
            rest = [f for f in facts if f.name != "quantity"]
            quantities = [f for f in facts if f.name == "quantity"]
            if opens(build, passage, said, rest, quantities, False):
                build.unread.append((passage.start, passage.end, "stands among changes"))


def _clauses(items: Sequence[Item]) -> list[list[Item]]:
    """Part a sentence of changes at commas and "and", each part with a change or a line of its own."""
    parts: list[list[Item]] = [[]]
    for n, item in enumerate(items):
        stop = item.text in ",;!:" or item.text == "." and not (n + 1 < len(items) and items[n + 1].kind == "num")
        cut = item.kind == "mark" and stop or "and" in item.tags and item.kind == "word"
        between_labels = n and n + 1 < len(items) and items[n - 1].kind == "num" and items[n + 1].kind == "num" \
            and not items[n - 1].unit and not items[n + 1].unit  # fmt: skip
        if cut and not between_labels:
            parts.append([])
        else:
            parts[-1].append(item)
    merged: list[list[Item]] = []
    for part in parts:
        tags = {tag for item in part for tag in item.tags}
        own = {"withdraw", "correct", "unlike", "instead"} & tags or any("item" in i.tags for i in part) and len(part) > 1
        if own or not merged:
            merged.append(list(part))
        else:
            merged[-1] += part
    if len(merged) > 1 and not any({"withdraw", "correct", "unlike"} & i.tags.keys() for i in merged[0]) \
            and not any("item" in i.tags for i in merged[0]):  # fmt: skip
        merged[1] = merged[0] + merged[1]
        merged.pop(0)
    return [part for part in merged if part]


def _apply(build: Build, passage: Passage, said: Said) -> bool:
    named = _named(build, passage, said)
    if said.has("withdraw"):
        return _withdraw(build, said, named)
    if passage.kind in ("item", "row") and (passage.label or not named) and passage.mail == _newest(build):
        return False
    facts = [f for f in said.facts if not (f.name == "quantity" and f.weak)]
    if named and said.has("same") and len(facts) and not said.has("correct"):
        return _as_another(build, said, named, facts)
    if not named and not said.has("correct", "unlike", "instead"):
        return False
    if not named and passage.mail == _newest(build) and passage.paragraph == _paragraph(build) \
            and not said.has("unlike") and any(f.name in CLOTH for f in facts):  # fmt: skip
        return False
    if not facts and not said.has("unlike") and not _bare_quantity(said, build.lines):
        return bool(named)
    lines = named or _meant(build, passage, said, facts)
    if not lines:
        _doubt(build, passage, said, facts)
        return False
    for line in lines:
        _correct(line, said, facts, build.lines)
    return True


def _doubt(build: Build, passage: Passage, said: Said, facts: Sequence[Fact]) -> None:
    """Put up for asking what a correction changes that cannot be placed."""
    names = frozenset(f.name for f in facts)
    if passage.mail != _newest(build) and names and said.has("correct", "unlike", "instead"):
        shown = " ".join(i.text for i in said.items if i.kind != "nl")
        build.doubtful.append((names, f'a correction that may concern it: "{shown}"'))


def _newest(build: Build) -> int:
    return build.present[-1].mail if build.present else 0


def _paragraph(build: Build) -> int:
    return build.present[-1].paragraph if build.present else 0


def _old(said: Said) -> list[Fact]:
    """What a comparison names as it was: "instead of 3 rolls"."""
    if not said.has("unlike"):
        return []
    kept = {n for n in range(len(said.items)) if n not in said.dropped}
    gone = [i for n, i in enumerate(said.items) if n not in kept and "unlike" not in i.tags]
    return [f for f in read_passage(gone).facts if f.name != "services"]


def _meant(build: Build, passage: Passage, said: Said, facts: list[Fact]) -> list[Draft]:
    """Lines that a correction without a number means."""
    present = build.present
    if said.has("all") and not said.has("former", "latter", "last"):
        return present
    ordered = targets.by_order(said, present)
    if ordered:
        return ordered
    old = _old(said)
    if old:
        found = targets.by_facts(old, present)
        if found:
            return found
    narrow = targets.by_width(said, build.lines if said.has("instead") else present)
    if narrow:
        for line in narrow:
            line.gone = False
        return narrow
    described = [f for f in facts if any(targets.matches(line, f) for line in present)
                 and f.name in (*CLOTH, "alloy", "shape", "form")]  # fmt: skip
    if described and len(described) < len(facts):
        found = targets.by_facts(described, present)
        if found and len(found) < len(present) or len(present) == 1:
            return found
    words = targets.own_words(said.items)
    found = targets.by_words(words, present)
    if found and len(found) < len(present):
        return found
    if said.has("all"):
        return present
    if passage.mail != _newest(build):
        return present if len(present) == 1 else []
    return build.opened[-1:] if build.opened and not build.opened[-1].gone else present[-1:]


def _correct(line: Draft, said: Said, facts: list[Fact], known: Sequence[Draft]) -> None:
    new = [f for f in facts if f.name not in ("form", "shape") or not line.has(f.name)]
    sizes = [f for f in new if f.name == "dim"]
    resized = any(not targets.matches(line, f) for f in sizes)
    told = [f for f in new if f.name == "quantity" or f.name == "dim" and resized or not targets.matches(line, f)]
    quantities = [f for f in told if f.name == "quantity"]
    if len(quantities) > 1:
        told = [f for f in told if f.name != "quantity"] + quantities[-1:]
    if not any(f.name == "quantity" for f in told):
        told += _bare_quantity(said, known)
    shown = ", ".join(f.text for f in told)
    line.put([replace(f, origin="a correction") for f in told])
    if shown:
        line.notes.append(f"corrected: {shown}")


def _bare_quantity(said: Said, known: Sequence[Draft]) -> list[Fact]:
    """A bare number in a correction is the quantity: "make that 5", "5 statt 3"."""
    labels = {n for a, _, b in targets.named_labels(said.items, known) for n in range(a, b)}
    for n, item in enumerate(said.items):
        if item.whole and n not in said.dropped and n not in labels and not item.tags.get("alloy"):
            before = said.items[n - 1] if n else None
            if before is not None and ("item" in before.tags or before.text == "." ):
                continue
            after = said.items[n + 1] if n + 1 < len(said.items) else None
            if any(f.item is item for f in said.facts) or after is not None and after.kind == "word" and not (
                    {"unlike", "form", "shape", "correct", "instead", "for", "not", "but"} & after.tags.keys()):  # fmt: skip
                continue
            return [Fact("quantity", max(item.values), item.text, item.start, item.end, item)]
    return []


def _as_another(build: Build, said: Said, named: list[Draft], facts: list[Fact]) -> bool:
    """"Items 2-4 as item 1 but 0.5 wire": the named lines take the rest from another."""
    groups = targets.named_labels(said.items, build.lines)
    subject = targets.by_label(groups[0][1], build.lines)
    source = targets.by_label(groups[1][1], build.lines) if len(groups) > 1 else []
    at = min(i.start for i in said.marks["same"])
    if said.items and groups[0][0] and said.items[groups[0][0]].start > at or not subject:
        return False
    first = build.lines.index(subject[0])
    before = source or [line for line in build.lines[:first] if not line.gone][-1:]
    for line in subject:
        line.put(facts)
        for other in before[:1]:
            line.fill(other.facts, f"line {other.label}".strip())
    return True


def _withdraw(build: Build, said: Said, named: list[Draft]) -> bool:
    every = [f for f in read_passage([replace(i, tags={k: v for k, v in i.tags.items() if k not in ("not", "unlike", "history")})
                                      for i in said.items]).facts if f.name != "services"]  # fmt: skip
    if not named and every and all(f.name == "services" for f in said.facts) and said.of("services"):
        return True
    lines = named or targets.by_order(said, build.present) or targets.by_width(said, build.present)
    both = targets.by_facts([f for f in every if f.name != "quantity"], lines or build.present)
    lines = both or (lines if named or not every else [])
    if not lines:
        words = targets.own_words(said.items)
        found = targets.by_words(words, build.present)
        lines = found if len(found) == 1 else []
    if len(lines) > 1 and not named and len(lines) == len(build.present) and len(lines) > 1 and not said.has("all"):
        lines = []
    if not lines and every and build.present and any(f.name in (*CLOTH, "alloy", "shape") for f in every):
        build.unread.append((said.items[0].start, said.items[-1].end, "a withdrawal that matches no line"))
    for line in lines:
        line.gone = True
        line.notes.append("withdrawn")
    return True
