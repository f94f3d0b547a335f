"""A cloth stated again with another size: a correction in a chat, else a question."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact, Said
from meshcore.reading.letters.item import first_word
from meshcore.reading.letters.passage import Passage
from meshcore.reading.vocabulary import fold


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


#: What may stand beside an alloy that somebody in a chat asks for in the place of another.
_BESIDE = frozenset({"pls", "please", "ok", "okay", "then", "right", "yes", "no", "sorry", "better",
                     "instead", "go", "with", "fine", "make", "it", "bitte", "dann", "ja", "nein",
                     "oui", "non", "alors", "si", "vale", "in", "and", "but"})  # fmt: skip


_AGREES = frozenset({"yes", "yep", "yeah", "ja", "oui", "si"})


def alloy_anew(build: Build, passage: Passage, said: Said) -> bool:
    """Put an alloy that is all that somebody in a chat says in the place of the last line's: "316 pls"."""  # noqa: E501
    alloys = {str(f.value) for f in said.facts}
    if not passage.speaker or {f.name for f in said.facts} != {"alloy"} or len(alloys) != 1:
        return False
    kept = [i for n, i in enumerate(said.items) if n not in said.dropped and i.kind == "word"]
    plain = all(
        {"alloy", "correct", "instead", "not"} & i.tags.keys() or fold(i.text) in _BESIDE
        for i in kept
    )
    line = next((one for one in build.opened[-1:] if not one.gone and one.has("alloy")), None)
    if not plain or line is None:
        return False
    if line.value("alloy") not in alloys:
        if first_word(said.items[0]) in _AGREES:
            return False  # it may answer a question about another line
        line.put([replace(said.facts[-1], origin="a correction")])
        line.notes.append(f"corrected: {said.facts[-1].text}")
    return True


def sums_up(build: Build, passage: Passage, said: Said) -> bool:
    """Whether somebody in a chat says over again how many of what is asked for: "right, 1 roll in brass"."""  # noqa: E501
    counts = [f for f in said.of("quantity") if not f.weak]
    if not passage.speaker or not counts or said.cloth() or said.of("dim"):
        return False
    if (
        said.dropped
        or said.loose
        or said.has_any("but")
        or said.has("same", "cloth", "correct", "withdraw", "instead", "each")
    ):
        return False
    if any("also" in i.tags for i in said.items[:2]) or not said.of("form"):
        return False
    told = [f for f in said.facts if f.name != "counted"]
    return any(all(_says(line, f) for f in told) for line in build.present)


def _says(line: Draft, fact: Fact) -> bool:
    return any(one.value == fact.value for one in line.of(fact.name))


def _differs(line: Draft, fact: Fact) -> bool:
    """Whether a line says another size of that name."""
    return line.has(fact.name) and fact.item is not None and not targets.matches(line, fact)
