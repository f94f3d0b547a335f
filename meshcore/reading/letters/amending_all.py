"""A change of all lines at once: "all lengths are 25 m, not 30"."""

from __future__ import annotations

from dataclasses import replace

from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.amending import amend_lines
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import FABRIC, Fact, Said
from meshcore.reading.letters.resolve import MM_OF
from meshcore.reading.vocabulary import fold

_ORIGIN = "a correction"
#: Words for a side of rolls and strips, as many sizes are called: "all lengths".
_SIDES = {"lengths": "length", "length": "length", "widths": "width", "width": "width",
          "langen": "length", "lange": "length", "breiten": "width", "breite": "width",
          "longueurs": "length", "longueur": "length", "largeurs": "width", "largeur": "width",
          "largos": "length", "largo": "length", "anchos": "width", "ancho": "width",
          "longitudes": "length", "anchuras": "width"}  # fmt: skip


def amend_all(build: Build, said: Said) -> bool:
    """Apply what is said of all lines; False where it says nothing that lines take."""
    if not said.has("all") or said.has("withdraw", "same", "cloth", "except", "former", "latter"):
        return False
    if any(not f.weak for f in said.of("quantity")) or said.cloth():
        return False
    if aim_of(said, build.present, build.lines).lines:
        return False
    olds = [said.items[n] for n in said.dropped if said.items[n].kind == "num"]
    if olds and "alloy" not in olds[0].tags:
        return amend_lines(build, said, list(build.present))
    side = next((_SIDES[fold(i.text)] for i in said.items if fold(i.text) in _SIDES), "")
    sizes = [f for f in said.of("dim") if f.role in ("width", "length")]
    loose = [i for i in said.loose if i.unit in MM_OF]
    if side and not sizes and len(loose) == 1:
        one = loose[0]
        sizes = [Fact("dim", "", one.text, one.start, one.end, one, side)]
    facts = [f for f in said.facts if f.name in FABRIC or f.name == "services"]
    if not (side or sizes) or len(said.of("dim")) > len(sizes):
        return False
    lines = [line for line in build.present if line.value("form") in ("roll", "strip")]
    for line in lines:
        for size in sizes:
            _put_side(line, size)
    return bool(lines) and bool(sizes) and not facts


def _put_side(line: Draft, size: Fact) -> None:
    """Set one side of a roll in the place of the one that it said before."""
    old = [f for f in line.of("dim") if line.place_of(f) == size.role]
    other = [replace(f, role=line.place_of(f)) for f in line.of("dim") if f not in old]
    line.old += old
    line.facts = [f for f in line.facts if f.name not in ("dim", "roll_length")]
    line.facts += [*other, replace(size, origin=_ORIGIN)]
    line.notes.append(f"corrected: {size.text}")
