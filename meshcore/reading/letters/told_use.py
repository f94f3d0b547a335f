"""What a letter says that its cloth is for, kept as the line's remark: the weave depends on it."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.finished import Finished
from meshcore.reading.uses import use_named

#: Uses that call for another weave than plain (common practice, no source).
_TELLING = frozenset({"screening"})


def note_uses(lines: Sequence[Draft], done: Sequence[Finished], text: str) -> None:
    """Add to the remark of each line the word in it that says what its cloth is for.

    Parameters
    ----------
    lines, done
        The lines, and what is finished of them.
    text
        The letter's text that they were read in.
    """
    for line, one in zip(lines, done, strict=True):
        word, use = use_named(text[line.start : line.end])
        if use in _TELLING:
            one.cells["note"] = "; ".join(part for part in (one.cells.get("note"), word) if part)
