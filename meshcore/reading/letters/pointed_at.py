"""What a sentence says of lines that it points at: "the 30 mesh in 316 please"."""

from __future__ import annotations

from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.amending import amend_lines
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.facts import CLOTH, Said
from meshcore.reading.letters.passage import Passage
from meshcore.reading.vocabulary import fold

#: What says of a line how it is to be, after the words that point at it.
_BE = frozenset({"be", "is", "are", "needs", "need", "should", "must", "shall", "can", "ist",
                 "sind", "soll", "sollen", "est", "sont", "doit", "es", "son", "debe"})  # fmt: skip


#: Within so many words of what points at it (our choice).
_MOST_BEING = 3


def says_how(build: Build, passage: Passage, said: Said) -> bool:
    """Set what is said of lines pointed at: "the 100 mesh one only needs to be 15 m long"."""
    if passage.kind in ("item", "row") or said.has("same", "cloth", "withdraw", "all", "not"):
        return False
    aim = aim_of(said, build.present, build.lines, passage.label)
    told = [f for f in aim.rest(said.facts) if f.name not in ("form", "shape", "counted")]
    names = {f.name for f in told}
    if not aim.lines or len(aim.lines) == len(build.present) or not told or len(names) > 1:
        return False
    if (
        not names <= {"dim", "wire_diameter", "alloy"}
        or len(told) > 1
        or not all(line.has(*names) for line in aim.lines)
    ):
        return False
    if "dim" in names and not told[0].role:
        return False
    last = max(n for n, i in enumerate(said.items) if i.start in aim.used)
    after = said.items[last + 1 : last + 1 + _MOST_BEING]
    being = any(_BE & set(fold(i.text).split()) for i in after)
    return being and amend_lines(build, said, list(aim.lines), aim)


def sets_counts(build: Build, passage: Passage, said: Said) -> bool:
    """Set what a clause counts of the lines that it points at: "leave the 32s at four"."""
    aim = aim_of(said, build.present, build.lines, passage.label)
    names = {f.name for f in aim.rest(said.facts)}
    if not aim.lines or len(aim.lines) == len(build.present) or said.has("withdraw", "same"):
        return False
    if not all(line.has("quantity") for line in aim.lines):
        return False
    counts = names <= {"quantity", "counted", "form", "shape"}
    return counts and amend_lines(build, said, list(aim.lines), aim)


def speaks_of_lines(build: Build, passage: Passage, said: Said) -> bool:
    """Whether a sentence says more of lines that it points at: "the 30 mesh in 316 please"."""
    if passage.kind in ("item", "row") or said.has(
        "same", "cloth", "except", "all", "quote", "rest"
    ):
        return False
    aim = aim_of(said, build.present, build.lines, passage.label)
    loose = [i for i in said.loose if i.start not in aim.used]
    if loose or any(not f.weak for f in said.of("quantity")):
        return False
    rest = [f for f in aim.rest(said.facts) if f.name not in ("form", "shape", "counted")]
    names = {f.name for f in rest}
    if not aim.lines or len(aim.lines) == len(build.present):
        return False
    return bool(names) and not names & {*CLOTH, "dim", "quantity", "pair"}
