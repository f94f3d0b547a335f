"""Lines that follow the change of another: those of its cloth, and those it is told of too."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import FABRIC, Fact, Said
from meshcore.reading.letters.reading import read_passage
from meshcore.reading.vocabulary import fold

_ORIGIN = "a correction"
#: What says in brackets that a change holds for others too: "(so the panels as well)".
_TOO = frozenset({"too", "as well", "aswell", "also", "likewise", "auch", "ebenso", "ebenfalls",
                  "aussi", "egalement", "tambien", "igualmente", "same for", "same"})  # fmt: skip


def told_of_others(build: Build, said: Said) -> tuple[Said, list[Draft]]:
    """Take brackets out of a change that say of which other lines it holds too.

    Returns
    -------
    What the change says without them, and those lines; the lines are none where no bracket does.
    """
    items = said.items
    low = next((n for n, i in enumerate(items) if i.text == "("), -1)
    high = next((n for n, i in enumerate(items) if n > low >= 0 and i.text == ")"), -1)
    inside = items[low + 1 : high] if high > 0 else []
    if not inside or any(i.kind == "num" and not i.spelled for i in inside):
        return said, []
    if not any(fold(i.text) in _TOO for i in inside):
        return said, []
    lines = list(aim_of(Said(items=list(inside)), build.present, build.lines).lines)
    if not lines:
        return said, []
    return read_passage([*items[:low], *items[high + 1 :]]), lines


def follow(lines: Sequence[Draft], said: Said) -> None:
    """Set in lines what a change says of the cloth, which holds for them too."""
    facts = [replace(f, origin=_ORIGIN) for f in said.facts if f.name in FABRIC]
    for line in lines if facts else ():
        line.put(facts)
        line.notes.append(f"corrected: {', '.join(f.text for f in facts)}")


def cloths_of(build: Build) -> dict[int, list[Fact]]:
    """Return what each line says of its cloth, by the identity of the line."""
    return {id(line): [f for f in line.facts if f.name in FABRIC] for line in build.present}


def doubt_followers(build: Build, said: Said, before: dict[int, list[Fact]]) -> None:
    """Ask whether lines that are cut from a line's cloth follow it, where it alone was changed.

    An alloy that is told of a form, "the rolls in 316", is not told of the pieces beside them.
    """
    labelled = bool(targets.named_labels(said.items, build.lines))
    now = cloths_of(build)
    for line in build.present:
        source = line.clothed_by
        if source is None or before.get(id(source)) == now.get(id(source)):
            continue
        if before.get(id(line)) != now.get(id(line)):
            continue
        old = {(f.name, f.start) for f in before.get(id(source), ())}
        new = [f for f in now.get(id(source), ()) if (f.name, f.start) not in old]
        new = [f for f in new if labelled or f.name != "alloy"]
        names = {f.name for f in new if line.has(f.name) and not targets.matches(line, f)}
        if names:
            shown = ", ".join(f.text for f in new)
            why = f'"{shown}" is said of the line whose cloth it is of: of this one too?'
            line.doubts = [*line.doubts, (frozenset(names), why)]


#: Ordinals by which one more is asked for: "add a fifth roll".
_ORDINALS = ("second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
_MORE = frozenset({"add", "please add", "another", "more", "further", "extra", "plus", "additional",
                   "weitere", "weiteren", "noch", "hinzu", "dazu", "ajoutez", "ajouter", "encore",
                   "anadan", "anadir", "agreguen", "otros", "otro", "mas", "added"})  # fmt: skip
_TO = frozenset({"to", "for", "of", "on", "zu", "fur", "bei", "a", "pour", "au", "para"})


def adds_to_line(build: Build, said: Said) -> bool:
    """Count more of a line that is named: "add another two rolls to item 2"; False where none is."""  # noqa: E501
    counts, line, lead = said.of("quantity"), *_added_to(build, said)
    ordinal = next((n for n, one in enumerate(_ORDINALS, 2) if one in lead), 0)
    if line is None or len(counts) > 1 or not (counts or ordinal):
        return False
    old = line.of("quantity")
    forms = [f.value for f in said.of("form")]
    if not old or any(line.value("form") not in (None, form) for form in forms):
        return False
    fact, number = old[-1], counts[0] if counts else old[-1]
    total = float(fact.value) + (1.0 if ordinal else float(number.value))
    why = f"one more makes {total:g}: how many in all?" if ordinal not in (0, total) else ""
    shown = next((i.text for i in said.items if i.start == number.start), "1")
    line.put([replace(number, name="quantity", value=total, text=f"{total:g}", item=None, why=why,
                      weak=False, origin=f"{fact.text} and {shown} more")])  # fmt: skip
    line.notes.append(f"corrected: {shown} more")
    return True


def _added_to(build: Build, said: Said) -> tuple[Draft | None, list[str]]:
    """Return the line that more is added to by its label, and the words before it."""
    told = {"quantity", "form", "shape", "counted"}
    if {f.name for f in said.facts} - told or not build.present or said.loose:
        return None, []
    named = targets.named_labels(said.items, build.lines)
    if len(named) != 1 or said.has("withdraw", "unlike", "same", "cloth", "each"):
        return None, []
    lead = [fold(i.text) for i in said.items[: named[0][0]]]
    lines = targets.by_label(named[0][1], build.lines)
    adds = bool(lead) and lead[-1] in _TO and bool(_MORE & set(lead))
    return (lines[0], lead) if adds and len(lines) == 1 else (None, [])
