"""An alloy scrapped in one sentence and named anew in the next: "Scrap the brass. Both in 304."."""

from __future__ import annotations

from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.passage import Passage

_BARE = frozenset({"alloy", "form", "shape", "counted"})


def alloy_in_its_place(build: Build, passage: Passage, said: Said) -> bool:
    """Put another alloy in the place of one that was scrapped before in this mail.

    The lines that were taken back with it stand again: those that the sentence names, or all.
    """
    mail, lines = build.scrapped
    alloys = {str(f.value) for f in said.of("alloy")}
    if mail != passage.mail or not lines or len(alloys) != 1 or said.has("withdraw", "not"):
        return False
    if {f.name for f in said.facts if not f.weak} - _BARE:
        return False
    named = [line for line in lines if _is_named(line, said)]
    others = [line for line in build.present if _is_named(line, said)]
    if others and not named:
        return False
    fact = said.of("alloy")[-1]
    for line in named or lines:
        line.gone = False
        line.notes = [note for note in line.notes if note != "withdrawn"]
        line.put([replace(fact, origin="a correction")])
        line.notes.append(f"corrected: {fact.text}")
    build.scrapped = (-1, [])
    return True


def _is_named(line: Draft, said: Said) -> bool:
    """Whether a sentence names a line by its form, its shape or a word of its own."""
    if targets.own_words(said.items) & line.words:
        return True
    return any(line.value(f.name) == f.value for f in said.facts if f.name in ("form", "shape")
               and not (f.name == "form" and f.value == "piece"))  # fmt: skip
