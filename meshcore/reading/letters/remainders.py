"""What a change says that no line took: the lines it may concern are asked about."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, Fact, Said
from meshcore.reading.letters.passage import Passage

#: Fields that a change may concern.
_FIELDS = frozenset({*CLOTH, "alloy", "wire_diameter", "quantity", "dim"})


def changes_left(
    build: Build, read: Sequence[tuple[Passage, Said]], taken: set[int]
) -> list[tuple[frozenset[str], str, int]]:
    """Fields that untaken changes may concern, why they are asked, and in lines of which mails.

    Parameters
    ----------
    build, read
        The lines, and the passages as read.
    taken
        Starts of the facts that lines have taken.

    Returns
    -------
    For each passage the fields, the reason, and the mail: lines of that mail and of older ones are
    concerned.
    """
    out: list[tuple[frozenset[str], str, int]] = []
    newest = max((line.mail for line in build.present), default=0)
    for passage, said in read:
        above = passage.mail > newest
        changes = said.has("correct", "unlike", "instead")
        if not build.present or passage.cells or not (above or changes):
            continue
        if said.has("other", "refuse", "because") or said.has_any("later"):
            continue
        if any(line.start == passage.start for line in build.lines):
            continue  # it corrects what it asks for itself
        lines = build.present
        names = {f.name for f in said.facts if _is_left(f, taken, lines, above)}
        if passage.start in build.settled:
            names -= {f.name for f in said.facts if f.start in taken}
            known = [*build.lines, *(Draft(line.old) for line in build.lines)]
            names -= {f.name for f in said.facts if any(targets.matches(one, f) for one in known)}
        if names:
            shown = " ".join(i.text for i in said.items if i.kind != "nl")
            why = f'a correction that may concern it: "{shown}"'
            out.append((frozenset(names), why, passage.mail))
    return out


def _is_left(fact: Fact, taken: set[int], lines: Sequence[Draft], above: bool) -> bool:
    if fact.name not in _FIELDS or fact.start in taken or fact.weak or fact.why:
        return False
    first = min(line.start for line in lines)
    if (
        fact.name == "quantity"
        and (above or fact.start < first)
        and fact.item is not None
        and fact.item.spelled
    ):
        return False
    return not any(targets.matches(line, fact) for line in lines)
