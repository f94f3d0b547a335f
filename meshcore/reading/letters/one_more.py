"""Where a line takes its cloth from when no word refers to another: the line above it."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Said
from meshcore.reading.letters.passage import Passage
from meshcore.reading.vocabulary import fold


def cloth_above(build: Build, passage: Passage, one: Draft) -> Draft | None:
    """Return the line above that names its cloth before it counts: "16 mesh, 304: 20 pcs"."""
    last = build.opened[-1] if build.opened else None
    if last is None or last.gone or passage.kind != "note" or last.paragraph != passage.paragraph:
        return None
    if passage.speaker or build.heads[-1] or not one.has("dim"):
        return None
    cloth = [f.start for f in last.facts if f.name in CLOTH and (not f.origin or f.origin == ABOVE)]
    counts = [f.start for f in last.of("quantity")]
    first = bool(cloth and counts) and min(cloth) < min(counts)
    return last if first else None


#: From where a line takes the cloth of the line above.
ABOVE = "the line above"


#: What belongs to a cloth that is named before it is counted: the next one named has its own.
JUST_NAMED = frozenset({*CLOTH, "wire_diameter", "pair"})


_IT = frozenset({"of it", "of this", "of that", "davon", "hiervon", "de celle-ci", "de ella",
                 "de esta", "of which"})  # fmt: skip


def of_it(part: Said) -> bool:
    """Whether goods are counted of the cloth just named: "of it we take two rolls"."""
    return any(fold(i.text) in _IT for i in part.items[:6] if "cloth" in i.tags)


def both_rolls(one: Draft, other: Draft) -> bool:
    """Whether two rolls of one sentence differ in their length only: "a full and a half roll"."""
    return (
        one.value("form") == other.value("form") == "roll"
        and one.has("roll_length")
        and other.has("roll_length")
        and not one.has("dim")
    )


def is_one_more(part: Said, line: Draft) -> bool:
    """Whether a part counts more of the line before in another cloth: "und noch 1 in Masche 16"."""
    first = [i for i in part.items if i.kind != "mark"][:2]
    return (
        any("also" in i.tags for i in first)
        and line.has(*CLOTH)
        and not line.has("form", "shape", "dim", "roll_length")
    )


def is_one_more_size(passage: Passage, part: Said, line: Draft, lines: Sequence[Draft]) -> bool:
    """Whether a part counts more of the line before in another size: "also 50 of dia 140"."""
    first = [i for i in part.items if i.kind != "mark"][:2]
    also = bool(lines) and any("also" in i.tags for i in first)
    if line.has("form", "shape") and (
        (lines[-1:] and lines[-1].paragraph != passage.paragraph) or line.has("services")
    ):
        return False
    return also and line.has("dim") and not line.has(*FABRIC, "roll_length", "pair")
