"""One size left over in a part: the width or the length that it may be."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from meshcore.reading.letters.doubts import only_about
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import FABRIC, Fact, Said
from meshcore.reading.letters.item import first_word
from meshcore.reading.letters.resolve import MM_OF
from meshcore.reading.letters.sizing import either

#: Widths that rolls are offered in [mm]: what "the same again in 1.5 m" can mean (common practice).
_OFFERED_MM = (300.0, 3000.0)


def same_in(part: Said, rest: list[Fact]) -> None:
    """Take "same again in 1.5 m" for another width."""
    loose = [
        i
        for i in part.loose
        if i.unit in MM_OF and _OFFERED_MM[0] <= i.values[0] * MM_OF[i.unit] <= _OFFERED_MM[1]
    ]
    if part.has("same") and len(loose) == 1 and not any(f.name == "dim" for f in rest):
        one = loose[0]
        rest.append(Fact("dim", "", one.text, one.start, one.end, one, "width"))


#: No roll is offered shorter than this [mm]: a loose size from here on is its length.
_ROLL_MM = 4500.0


def length_left(part: Said, rest: list[Fact]) -> None:
    """Take the one long size left of a roll for its length: "1 m wide, 25 m"."""
    sizes = [f for f in rest if f.name == "dim"]
    loose = [i for i in part.loose if i.unit in MM_OF and i.values[0] * MM_OF[i.unit] >= _ROLL_MM]
    forms = {f.value for f in rest if f.name == "form"}
    rolled = "roll" in forms or (not forms and any(f.role == "width" for f in sizes))
    if not rolled or len(loose) != 1 or any(f.name == "roll_length" for f in rest):
        return
    if any(f.role == "length" for f in sizes) or len(sizes) > 1:
        return
    one = loose[0]
    at = next(n for n, item in enumerate(part.items) if item.start == one.start)
    why = either(part.items, at) or only_about(part, one)
    rest.append(Fact("dim", "", one.text, one.start, one.end, one, "length", why=why))


def fill_named_size(line: Draft, lines: Sequence[Draft], part: Said) -> None:
    """Give a line the size by which it names an earlier one: "5 of the 200 in opening 0.5"."""
    if line.has("dim", "roll_length"):
        return
    for before, item in pairwise(part.items):
        if "the" not in before.tags or not any(item is one for one in part.loose):
            continue
        for other in lines:
            sizes = [f for f in other.of("dim") if f.item is not None]
            if any(f.item and f.item.values == item.values for f in sizes):
                line.fill(other.facts, "the size that it names", ("form", "shape", "dim"))
                return


#: How a reference begins that points at goods just named: "rolls of this cloth".
_THIS = frozenset({"this", "that", "these", "dieses", "diesem", "dieser", "cette", "ce", "cet",
                   "esta", "este", "esa", "ese"})  # fmt: skip


def roll_of_roll(line: Draft, source: Draft, part: Said, lines: Sequence[Draft]) -> None:
    """Give a roll the sizes of the roll that it is like: "five rolls of this cloth", "same width"."""  # noqa: E501
    if line.value("form") != "roll":
        return
    if part.has("same width") and not line.has("dim"):
        sized = [one for one in lines if one.value("form") == "roll" and one.has("dim")]
        for one in sized[-1:]:
            line.fill(one.facts, "an earlier line", ("dim",))
    points = {first_word(i) for i in part.marks.get("cloth", [])}
    if not _THIS & points or line.has("dim", "roll_length") or source.value("form") != "roll":
        return
    own = [f for f in line.facts if f.name in FABRIC and not f.origin]
    if all(any(o.value == f.value for o in source.of(f.name)) for f in own if f.item is None):
        line.fill(source.facts, "an earlier line", ("dim", "roll_length"))


def late_length(line: Draft | None, part: Said) -> bool:
    """Give a roll without a length the one long size that is said of it later: "15 m will do"."""
    loose = [i for i in part.loose if i.unit in MM_OF and i.values[0] * MM_OF[i.unit] >= _ROLL_MM]
    if line is None or line.gone or len(loose) != 1 or len(part.loose) > 1:
        return False
    sizes = line.of("dim")
    if line.value("form") != "roll" or line.has("roll_length") or len(sizes) > 1:
        return False
    if any(f.role not in ("", "width") for f in sizes) or part.items[0].start != loose[0].start:
        return False
    one = loose[0]
    why = only_about(part, one)
    line.facts.append(Fact("dim", "", one.text, one.start, one.end, one, "length", why=why))
    return True
