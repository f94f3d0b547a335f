"""Lines and words that a letter takes back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.reading import read_passage


def takes_back_words(said: Said) -> bool:
    """Whether a withdrawal takes back only the words before it, in a passage that counts something.

    "25 off, edges welded.. no leave that, just cut edges" is still a line; "the 4 rolls are not
    required" is none, nor is "forget the 2 rolls".
    """
    mark = said.marks["withdraw"][0]
    if says_anew(said, mark):
        return True
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


def says_anew(said: Said, mark: Item) -> bool:
    """Put what is said after "scrap that" in the place of what was said before it."""
    after = [f for f in said.facts if f.start >= mark.end]
    names = {f.name for f in after if not (f.name in ("form", "shape") or f.weak)}
    before = [f for f in said.facts if f.end <= mark.start]
    told = {f.name for f in before}
    if not names or not names <= told or told <= names | {"form", "shape"}:
        return False
    last = {name: [f for f in before if f.name == name][-1] for name in names}
    gone = [f for f in before if f is last.get(f.name) or _beside(f, last)]
    said.facts = [f for f in before if f not in gone] + [
        f for f in after if f.name not in told or f.name in names
    ]
    return True


def _beside(fact: Fact, last: Mapping[str, Fact]) -> bool:
    """Whether a fact stands in one group with the last of its name: a pair of sizes."""
    other = last.get(fact.name)
    return other is not None and bool(fact.group) and fact.group == other.group


def labels_to_come(build: Build, said: Said) -> list[str]:
    """Labels of a withdrawal that no line has yet: "leave out item 3 below"."""
    known = {line.label for line in build.lines}
    return [
        one
        for _, labels, _ in targets.named_labels(said.items, build.lines)
        for one in labels
        if one not in known
    ]


def withdraw_lines(build: Build, said: Said, named: list[Draft], mail: int = -1) -> bool:
    """Withdraw the lines that a passage names or describes; True, as it is no more than that."""
    every = [
        f
        for f in read_passage(
            [
                replace(
                    i,
                    tags={k: v for k, v in i.tags.items() if k not in ("not", "unlike", "history")},
                )
                for i in said.items
            ]
        ).facts
        if f.name != "services"
    ]
    if (
        not named
        and every
        and all(f.name == "services" for f in said.facts)
        and said.of("services")
    ):
        return True
    lines = named or targets.by_order(said, build.present) or targets.by_width(said, build.present)
    both = targets.by_facts([f for f in every if f.name != "quantity"], lines or build.present)
    lines = both or (lines if named or not every else [])
    if not lines:
        words = targets.own_words(said.items)
        found = targets.by_words(words, build.present)
        lines = found if len(found) == 1 else []
    if (
        len(lines) > 1
        and not named
        and len(lines) == len(build.present)
        and len(lines) > 1
        and not said.has("all")
    ):
        lines = []
    if (
        not lines
        and every
        and build.present
        and any(f.name in (*CLOTH, "alloy", "shape") for f in every)
    ):
        build.unread.append(
            (said.items[0].start, said.items[-1].end, "a withdrawal that matches no line")
        )
    if lines and not named and {f.name for f in every} == {"alloy"}:
        build.scrapped = (mail, list(lines))
    for line in lines:
        line.gone = True
        line.notes.append("withdrawn")
    return True
