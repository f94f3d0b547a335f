"""Answers to the mill's questions, between quoted lines or in a chat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.correcting import bare_quantity
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import FABRIC, Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.placing import SIZES
from meshcore.reading.letters.pointing import pointed_at
from meshcore.reading.letters.reading import read_passage
from meshcore.reading.vocabulary import fold

_GAUGES = frozenset({"SWG", "BWG", "AWG"})


def answer(build: Build, question: Sequence[Item], said: Said, about: Sequence[Draft] = ()) -> bool:
    """Apply an answer to the line that its question is about; False where it says nothing.

    `about` are the lines that the question itself says over again; without them its words tell.
    """
    lines = build.lines
    groups = targets.named_labels(said.items, lines)
    if len(groups) > 1 and not groups[0][0]:
        ends = [first for first, _, _ in groups[1:]] + [len(said.items)]
        parts = [said.items[one[0] : end] for one, end in zip(groups, ends, strict=True)]
        told = [answer(build, (), read_passage(part)) for part in parts]
        return any(told)
    present = [line for line in lines if not line.gone]
    named = [one for _, labels, _ in targets.named_labels(question, lines) for one in labels]
    named += [one for _, labels, _ in targets.named_labels(said.items, lines) for one in labels]
    facts = [f for f in said.facts if not f.weak] or _agreed(question, said)
    facts = [f for f in facts if not (f.name in ("form", "shape") and _is_name(f, present))]
    about = [line for line in about if not line.gone] or _pointed(question, present)
    source = _cloth_of(question, said, lines) or _cloth_like(question, said, present, about)
    if source is not None:
        named = named[:1]
    asked = targets.by_label(named, lines) if named else []
    if not named:
        found = targets.by_words(targets.own_words(said.items), present)
        asked = found if 0 < len(found) < len(present) else _open_ones(present, facts)
        pointed = aim_of(said, present, lines)
        said_of = [f for f in pointed.rest(facts) if f.name not in ("form", "shape", "counted")]
        if 0 < len(pointed.lines) < len(present) and said_of:
            asked, facts = list(pointed.lines), said_of
        elif about:
            asked = list(about)
    if not named and said.has("all") and facts and {f.name for f in facts} <= {"services"}:
        asked = present  # "degrease all, please"
    if not asked:
        return False
    build.answered = list(asked)
    said_something = source is not None
    for line in asked:
        if source is not None:
            line.fill(source.facts, "an answer", FABRIC)
        said_something |= _meaning(line, said) | _gauge(line, said)
        whole = [
            i
            for n, i in enumerate(said.items)
            if i.whole and n not in said.dropped and not i.tags.get("alloy")
        ]
        if not facts and len(whole) == 1 and not line.has("quantity"):
            one = whole[0]
            line.put(
                [
                    Fact(
                        "quantity",
                        max(one.values),
                        one.text,
                        one.start,
                        one.end,
                        one,
                        origin="an answer",
                    )
                ]
            )
            said_something = True
        elif facts:
            line.put([replace(f, origin="an answer") for f in facts])
            if said.has("correct") and len(whole) == 1 and not said.of("quantity"):
                line.put(bare_quantity(said, lines))
            said_something = True
    return said_something


def _cloth_of(question: Sequence[Item], said: Said, lines: Sequence[Draft]) -> Draft | None:
    """Return the line whose cloth an answer agrees to: "line 3: from the cloth of line 2?" - "yes"."""  # noqa: E501
    labels = [one for _, some, _ in targets.named_labels(question, lines) for one in some]
    words = [fold(i.text) for i in said.items if i.kind == "word"]
    agreed = bool(_YES & set(words)) or said.has("cloth", "same")
    if len(labels) != 2 or not agreed or not any("cloth" in i.tags for i in question):  # noqa: PLR2004
        return None
    return next(iter(targets.by_label(labels[1:], lines)), None)


def _is_name(fact: Fact, present: Sequence[Draft]) -> bool:
    """Whether a form or shape only names lines that there are: "3.1 for the panels only"."""
    return any(line.value(fact.name) == fact.value for line in present)


def _pointed(question: Sequence[Item], present: Sequence[Draft]) -> list[Draft]:
    """Lines that a question points at by what they are: "you give no grade for the panels"."""
    lines = aim_of(Said(items=list(question)), present, present).lines
    return list(lines) if len(lines) < len(present) else []


def _cloth_like(
    question: Sequence[Item], said: Said, present: Sequence[Draft], about: Sequence[Draft]
) -> Draft | None:
    """Return the line that a question asks whether its own is like: "the same cloth as the discs?" - "yes"."""  # noqa: E501
    words = {fold(i.text) for i in said.items if i.kind == "word"}
    agreed = bool(_YES & words) and not said.has("not")
    if not agreed or not about:
        return None
    others = [line for line in present if not any(line is one for one in about)]
    some, _ = pointed_at(read_passage(question), others)
    return some[0] if len(some) == 1 else None


def with_question(question: Sequence[Item], said: Said) -> None:
    """Add to an answer what only its question tells: "Wire diameter?" - "2 mm"; "6 mm: opening or pitch?" - "opening"."""  # noqa: E501
    known = {*SIZES, "width", "length", "diameter"}
    roles = [i.tags["size"] for i in question if i.tags.get("size") in known]
    own = [i.tags["size"] for i in said.items if i.tags.get("size") in SIZES]
    beside = {f.name for f in said.facts} <= {"alloy", "weave", "services"}
    if len(said.loose) == 1 and beside and len(set(roles)) == 1:
        read = read_passage(said.items, hint=SIZES.get(roles[0], roles[0]))
        said.facts, said.loose = read.facts, read.loose
        return
    if not roles and any("count" in i.tags for i in question) and not said.facts:
        whole = [i for i in said.items if i.whole]
        if len(whole) == 1 and len(said.items) == 1:
            one = whole[0]
            item = replace(one, unit="/in")
            said.facts.append(Fact("mesh_count", "", one.text, one.start, one.end, item))
            said.loose = []
            return
    if len(said.loose) == len(roles) == len(set(roles)) and not said.facts:
        told = [
            read_passage([one], hint=SIZES.get(role, role))
            for one, role in zip(said.loose, roles, strict=True)
        ]
        said.facts = [f for read in told for f in read.facts]
        said.loose = [i for read in told for i in read.loose]
        return
    sizes = [i for i in question if i.kind == "num" and i.values and i.unit]
    if len(set(own)) == 1 and own[0] in roles and not said.facts and len(sizes) == 1:
        one = sizes[0]
        said.facts.append(
            Fact(SIZES[own[0]], "", one.text, one.start, one.end, one, origin="the question before")
        )


#: Words that agree to what is asked, and those that do not.
_YES = frozenset({"yes", "yep", "yeah", "correct", "ok", "okay", "right", "ja", "genau", "stimmt",
                  "oui", "si", "exactly", "indeed", "y"})  # fmt: skip


def _agreed(question: Sequence[Item], said: Said) -> list[Fact]:
    """Return what a question offers, where the answer only agrees: "plain for all?" - "yes"."""
    words = [fold(i.text) for i in said.items if i.kind == "word"]
    if not _YES & set(words) or said.dropped or said.has("not", "correct", "unlike"):
        return []
    asked = read_passage(question)
    told = [f for f in asked.facts if not f.why]
    single = [f for f in told if f.name in ("weave", "alloy", "services", "wire_diameter")]
    named = [f.name for f in single if f.name != "services"]
    choice = asked.has("or") or len(named) != len(set(named))
    return [] if choice else single


def _open_ones(present: Sequence[Draft], facts: Sequence[Fact]) -> list[Draft]:
    """Lines that lack what an answer says: all of them are asked about, else the last."""
    names = {f.name for f in facts} - {"services"}
    lacking = [line for line in present if names and not any(line.has(name) for name in names)]
    return lacking or list(present[-1:])


def _meaning(line: Draft, said: Said) -> bool:
    """Tell read "The clear opening": settle a mesh that may be opening or pitch."""
    role = next(
        (i.tags["size"] for i in said.items if i.tags.get("size") in ("aperture", "pitch")), ""
    )
    open_ones = line.of("hole_or_pitch")
    if not role or not open_ones:
        return False
    line.facts = [
        replace(f, name=role, origin="an answer") if f is open_ones[0] else f for f in line.facts
    ]
    return True


def _gauge(line: Draft, said: Said) -> bool:
    """Read "Yes, SWG": settle which gauge was meant."""
    name = next((i.tags["unit"] for i in said.items if i.tags.get("unit") in _GAUGES), "")
    wires = [f for f in line.of("wire_diameter") if f.item is not None and f.item.unit == "gauge"]
    if not name or not wires:
        return False
    line.facts = [
        replace(f, item=replace(f.item, unit=name), why="", origin="an answer")
        if f in wires and f.item is not None
        else f
        for f in line.facts
    ]
    return True
