"""Items that a letter names again to change them, take them back or take them up again."""

from __future__ import annotations

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.amending import amend_lines
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.contrasts import with_contrasts
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.reading import read_passage


def retract(build: Build, passage: Passage, said: Said) -> bool:
    """Withdraw what "scrap that" names, or what was asked for just before it."""
    aim = aim_of(said, build.present, build.lines, passage.label)
    before = [line for line in build.opened if line.mail == passage.mail]
    lines = list(aim.lines) or before
    for line in lines:
        line.gone = True
        line.notes.append("withdrawn")
    return bool(lines)


def said_again(build: Build, passage: Passage, said: Said) -> list[Draft]:
    """Lines of a label that comes again to change them: "Item 2: delete", "1. make it 6"."""
    if not passage.label or passage.cells:
        return []
    same = [line for line in build.present if line.label == passage.label]
    if any(line.start == passage.start for line in same):
        return []
    changes = said.has("withdraw", "correct", "unlike", "instead", "restore")
    changes = changes or (said.has_any("put") and not said.cloth())
    whole = said.cloth() and any(f.name in ("form", "dim") for f in said.facts)
    worked = bool(said.facts) and all(f.name == "services" for f in said.facts)
    changes = changes or worked
    later = bool(same) and passage.mail > max(line.mail for line in same)
    return same if same and (changes or later) and not (whole and not changes) else []


def apply_again(build: Build, said: Said, lines: list[Draft]) -> bool:
    """Withdraw lines, or set in them what is said of them again; False where nothing is said."""
    if said.has("withdraw") and not [f for f in said.facts if f.name != "services"]:
        for line in lines:
            line.gone = True
            line.notes.append("withdrawn")
        return True
    told = with_old(said)
    parts = _parts(told)
    if len(parts) > 1:
        done = [amend_lines(build, read_passage(part), list(lines)) for part in parts]
        return any(done) or not said.facts
    return amend_lines(build, told, lines) or not said.facts


def _parts(said: Said) -> list[list[Item]]:
    """Stretches between commas, where more than one takes back a value of its own."""
    parts: list[list[Item]] = [[]]
    for item in said.items:
        if item.text in (",", ";"):
            parts.append([])
        else:
            parts[-1].append(item)
    own = [part for part in parts if any("unlike" in i.tags for i in part)]
    return parts if len(own) > 1 else []


def with_old(said: Said) -> Said:
    """Read a passage again with its contrasts: "5 not 3"."""
    contrasted = with_contrasts(said.items)
    return read_passage(contrasted) if contrasted != list(said.items) else said


def restore(build: Build, passage: Passage, said: Said) -> None:
    """Take up again what was withdrawn: "item 3 is back on"."""
    labels = [
        one
        for _, found, _ in targets.named_labels(said.items, build.lines)
        for one in found
        if one != passage.label
    ]
    for line in build.lines:
        if line.gone and line.label and line.label in labels:
            line.gone = False
            line.notes.append("asked for again")
