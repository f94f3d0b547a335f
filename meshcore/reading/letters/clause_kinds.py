"""What a clause of a change is: one more line, goods of another form, a further like line."""

from __future__ import annotations

from itertools import pairwise

from meshcore.reading.letters.build import Build
from meshcore.reading.letters.facts import FABRIC, Said
from meshcore.reading.letters.item import last_word


def is_further(said: Said) -> bool:
    """Whether a sentence counts more like a line, and says how they differ from it.

    "For press two we want the same panels, only three, with 2.5 mm wire rather than 3."
    """
    counted = [f for f in said.of("quantity") if not f.weak]
    changes = said.has("withdraw", "correct", "instead", "all")
    like = said.has("same") and said.has("unlike", "quote")
    return like and len(counted) == 1 and not changes and _differs(said)


def _differs(said: Said) -> bool:
    """Whether what is compared with stands behind a size or an alloy of its own."""
    unlike = said.marks.get("unlike", [])
    own = [f for f in said.facts if f.name in FABRIC or f.name == "dim"]
    return bool(unlike) and bool(own) and min(f.start for f in own) < unlike[0].start


def headed_out(said: Said) -> bool:
    """Whether goods stand behind a word that takes them back: "crossed out: 10 rolls 8 mesh"."""
    for item, after in pairwise(said.items[:_HEAD]):
        if "withdraw" in item.tags:
            return after.text in (":", "-") and bool(said.facts)
    return False


#: A word that takes back what follows stands among so many first words (our choice).
_HEAD = 4


def _is_new(said: Said) -> bool:
    """Whether a clause counts goods with a size and their cloth: "10 rings 200/150 from item 2"."""
    counted = any(not f.weak for f in said.of("quantity"))
    formed = any(f.name in ("form", "shape") for f in said.facts)
    words = {last_word(i) for i in said.items if i.kind == "word"}
    taken = said.has("cloth", "same") or bool(words & {"from", "aus"})
    changes = said.has("withdraw", "correct", "unlike", "instead")
    return counted and formed and bool(said.of("dim")) and taken and not changes


def of_other_form(build: Build, said: Said) -> bool:
    """Whether a passage counts goods with their size that are of no form that a line has."""
    if said.has("withdraw", "unlike") or not said.of("dim"):
        return False
    if not any(not f.weak for f in said.of("quantity")):
        return False
    forms = [f for f in said.of("form") if not f.weak]
    return bool(forms) and all(
        line.value("form") not in (None, f.value) for line in build.present for f in forms
    )


def adds(said: Said) -> bool:
    """Whether a passage of a correction asks for one more line: "add 10 discs of that"."""
    if _is_new(said):
        return True
    first = [i for i in said.items if i.kind == "word"][:2]
    return (
        any("also" in i.tags for i in first)
        and any(not f.weak for f in said.of("quantity"))
        and any(f.name in ("form", "shape") for f in said.facts)
        and not said.has("withdraw", "unlike")
        and not any("correct" in i.tags for i in first)
    )
