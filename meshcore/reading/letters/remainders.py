"""What a change says that no line took: the lines it may concern are asked about."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import states
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, Fact, Said
from meshcore.reading.letters.item import Item
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
            known = [*build.lines, *(Draft(line.old) for line in build.lines)]
            names &= {
                f.name
                for f in said.facts
                if f.start not in taken and not any(targets.matches(one, f) for one in known)
            }
            names -= {f.name for f in said.facts if f.start in taken}
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


#: A new value stands within so many words of the old one (our choice).
_NEAR = 9


def taken_back_still(
    build: Build, read: Sequence[tuple[Passage, Said]]
) -> list[tuple[Draft, frozenset[str], str]]:
    """Lines that still say what a passage takes back, as nothing near it was put in its place.

    "Au lieu de deux rouleaux il n'en faut plus qu'un", where the new count was not read.
    """
    out: list[tuple[Draft, frozenset[str], str]] = []
    held = [(f.start, f.name) for line in build.present for f in line.facts if not f.why]
    for passage, said in read:
        if passage.cells or not said.has("unlike"):
            continue
        for n in said.dropped:
            old = said.items[n]
            if old.kind != "num" or "alloy" in old.tags or not _compared(said, n):
                continue
            if old.spelled and old.values == (1.0,):
                continue  # "the last lot was a pain"
            low = said.items[max(n - _NEAR, 0)].start
            high = said.items[min(n + _NEAR, len(said.items) - 1)].end
            near = {name for start, name in held if low <= start < high}
            for line in build.present:
                names = _saying(line, old) if line.start != passage.start else frozenset()
                if names - near:
                    why = f'"{old.text}" is taken back: what instead?'
                    out.append((line, names - near, why))
    return out


def _compared(said: Said, n: int) -> bool:
    """Whether an item stands under an "instead of", and is not only denied."""
    for k in range(n, max(n - 4, -1), -1):
        if k not in said.dropped:
            return False
        if "unlike" in said.items[k].tags:
            return True
    return False


def _saying(line: Draft, old: Item) -> frozenset[str]:
    """Names of the facts of a line that state a number."""
    names = {f.name for f in line.facts if f.name in _FIELDS and f.item is not None}
    told = {f.name for f in line.facts if f.name in names and not f.why and _states(f, old)}
    return frozenset(told)


def _states(fact: Fact, old: Item) -> bool:
    if fact.name == "quantity":
        return old.whole and float(fact.value) in old.values
    return bool(old.unit) and states(fact, old)
