"""Who speaks in a letter, and which passages are questions to the buyer."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from meshcore.reading.letters.lexicon import Lexicon
from meshcore.reading.letters.passages import Passage
from meshcore.reading.letters.tables import is_price_break


def quoted_questions(passages: Sequence[Passage], body: str) -> dict[int, Passage]:
    """Quoted questions that are answered in between: by their start, and by that of the answer, negative."""  # noqa: E501
    ordered = sorted(passages, key=lambda one: one.start)
    out: dict[int, Passage] = {}
    for one, after in pairwise(ordered):
        if after.mail > one.mail and body[one.start : one.end].rstrip().endswith("?"):
            out[one.start] = one
            out[-after.start] = one
    if out:
        mail = next(iter(out.values())).mail
        out |= {one.start: one for one in ordered if one.mail == mail}
    return out


def what_follows(passages: Sequence[Passage], n: int) -> str:
    """Whether a list follows a passage, or sub-items set in under it."""
    if n + 1 == len(passages):
        return ""
    one, after = passages[n], passages[n + 1]
    if after.cells and is_price_break(after.cells) and not one.cells:
        return "breaks"
    if one.kind == "item" and after.kind == "item" and after.indent > one.indent:
        return "sub"
    return (
        "list"
        if after.kind in ("item", "row") and one.kind != after.kind and after.mail == one.mail
        else ""
    )


def is_the_mill(speaker: str, words: Lexicon) -> bool:
    """Whether a speaker of a chat is of the mill."""
    phrases = words.phrases
    return any(
        _MILL in tags
        for phrase, tags in phrases.get(speaker.split(maxsplit=1)[0] if speaker else "", ())
    )


#: Words in the field of a mail's speaker that are the mill's own.
_MILL = "mill"
