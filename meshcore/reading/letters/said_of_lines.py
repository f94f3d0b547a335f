"""What a passage says of lines that are known by who asked for them, or by being alone."""

from __future__ import annotations

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.amending import amend_lines
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.correcting import (
    own_lines,
)
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, Fact, Said
from meshcore.reading.letters.passage import Passage

#: What a speaker may say of all that it asked for.
_OWN = frozenset({"alloy", "wire_diameter", "weave", "services"})


def of_own(build: Build, passage: Passage, said: Said) -> bool:
    """Apply what a speaker of a chat says of its own lines: "make mine 14", "316 for me"."""
    if said.has("same", "cloth", "withdraw", "not") or not {f.name for f in said.facts} <= _OWN:
        return False
    lines = own_lines(build, passage, said)
    alloys = {str(f.value) for f in said.of("alloy")}
    if len(alloys) > 1:
        for line in lines:
            shown = " and ".join(f.text for f in said.of("alloy"))
            line.doubts.append((frozenset({"alloy"}), f'"{shown}" are said of it: which?'))
        return bool(lines)
    return bool(lines) and amend_lines(build, said, lines)


def restates(build: Build, passage: Passage, said: Said) -> bool:
    """Whether a newer mail says of lines only what they say already: "the 316 one as quoted (2 rolls)"."""  # noqa: E501
    aim = aim_of(said, build.present, build.lines, passage.label)
    if not aim.lines or passage.mail <= max(line.mail for line in aim.lines) or said.loose:
        return False
    facts = [f for f in aim.rest(said.facts) if f.name != "counted"]
    if not said.facts or said.dropped or said.has("withdraw"):
        return False
    return all(_says(line, f) for line in aim.lines for f in facts)


def _says(line: Draft, fact: Fact) -> bool:
    if fact.item is not None and fact.name != "quantity":
        return targets.matches(line, fact)
    return any(one.value == fact.value for one in line.of(fact.name))


def answers_above(build: Build, passage: Passage, said: Said) -> bool:
    """Take what a mail says above the one line that it quotes for a change of it: "yes to the 316L"."""  # noqa: E501
    lines = build.present
    if len(lines) != 1 or passage.mail <= lines[0].mail or passage.kind in ("item", "row"):
        return False
    counts = any(not f.weak for f in said.of("quantity"))
    if said.has("withdraw", "same", "cloth", "both", "except") or counts or said.of("dim"):
        return False
    facts = [f for f in said.facts if f.name in ("alloy", "wire_diameter", "weave", *CLOTH)]
    if not facts or any(f.name in ("form", "shape") for f in said.facts):
        return False
    return amend_lines(build, said, [lines[0]])
