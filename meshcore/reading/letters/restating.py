"""A cloth stated again with another size: a correction in a chat, else a question."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact, Said
from meshcore.reading.letters.passage import Passage


def restate(build: Build, passage: Passage, part: Said, facts: Sequence[Fact]) -> bool:
    """Put, or ask about, what is said again of the last line with one size changed.

    "12 mm opening, 2.5 mm wire", said after "12 mm opening, 9 mm wire", corrects the wire where
    the same speaker says so or the words are a correction. Elsewhere both wires are asked about.
    """
    if not {f.name for f in facts} <= set(FABRIC) or not any(f.name in CLOTH for f in facts):
        return False
    if passage.kind in ("item", "row") or part.has("same", "cloth", "all", "rest"):
        return False
    sure = bool(passage.speaker) or part.has("correct")
    found = False
    for line in build.opened[-1:]:
        other = [f for f in facts if _differs(line, f)]
        same = any(f.name in CLOTH and targets.matches(line, f) for f in facts)
        if line.gone or not same or not other:
            continue
        found = True
        if sure:
            line.put([replace(f, origin="a correction") for f in other])
            line.notes.append(f"corrected: {', '.join(f.text for f in other)}")
            continue
        for fact in other:
            line.facts = [
                replace(f, why=f'"{f.text}" and "{fact.text}" are both stated')
                if f.name == fact.name
                else f
                for f in line.facts
            ]
    return found


def _differs(line: Draft, fact: Fact) -> bool:
    """Whether a line says another size of that name."""
    return line.has(fact.name) and fact.item is not None and not targets.matches(line, fact)
