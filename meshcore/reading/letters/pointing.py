"""What the words after "the same mesh as" point at: "the panels", "our middle deck"."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import is_article
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.item import Item
from meshcore.reading.vocabulary import fold

#: Words between a reference and what it points at.
_LEADS = frozenset({"as", "like", "que", "de", "wie", "bei", "como", "than", "with", "for", "our",
                    "my", "in", "on", "used", "der", "den", "die", "das", "les", "la", "le", "des",
                    "los", "las", "el", "fur", "pour", "para", "of"})  # fmt: skip
#: A pointing phrase has no more words than this (our choice).
_LONGEST = 4
#: What a cloth is called after what is made of it: "of the sheet material".
_STUFF = frozenset({"material", "cloth", "mesh", "gauze", "fabric", "stuff"})
_OF = frozenset({"of", "from", "aus", "in"})


def pointed_at(part: Said, lines: Sequence[Draft]) -> tuple[list[Draft], str]:
    """Return the lines that a reference names, and its words where it names something else.

    Parameters
    ----------
    part
        A passage that refers to another line.
    lines
        Lines that stand.
    """
    for mark in (*part.marks.get("cloth", ()), *part.marks.get("same", ())):
        tail = _tail([i for i in part.items if i.start >= mark.end])
        if not tail or not any({"form", "shape", "place"} & i.tags.keys() for i in tail):
            continue
        some, hit = list(lines), False
        for item in tail:
            left = [line for line in some if _is_called(line, item)]
            if left:
                some, hit = left, True
            elif {"form", "shape", "place"} & item.tags.keys():
                return [], " ".join(i.text for i in tail)
        if hit:
            return some, ""
    return [], ""


def _tail(after: Sequence[Item]) -> list[Item]:
    """Words that a reference points with; empty where it does not go on with "as the …"."""
    n = 0
    while n < len(after) and (is_article(after[n]) or fold(after[n].text) in _LEADS):
        n += 1
    if not n or n > _LONGEST:
        return []
    out: list[Item] = []
    for item in after[n : n + _LONGEST]:
        if item.kind in ("mark", "nl", "num") or {"but", "and"} & item.tags.keys():
            break
        out.append(item)
        if {"form", "shape"} & item.tags.keys():
            break
    return out


def _is_called(line: Draft, item: Item) -> bool:
    """Whether a word names what a line is, or is one of its own words."""
    shape = item.tags.get("shape")
    if shape is not None:
        return line.value("shape") == {"square": "rectangle"}.get(shape, shape) or (
            shape == "rectangle" and line.value("form") == "piece" and not line.has("shape")
        )
    if "form" in item.tags:
        return line.value("form") == item.tags["form"]
    return targets.stem(item.text) in line.words


def mark_stuff(part: Said) -> None:
    """Take "of the sheet material" for "of the same cloth as the sheets"."""
    for n in range(len(part.items) - 3):
        of, the, what, stuff = part.items[n : n + 4]
        named = {"form", "shape"} & what.tags.keys() and fold(stuff.text) in _STUFF
        if named and fold(of.text) in _OF and "the" in the.tags:
            part.marks.setdefault("cloth", []).append(of)
