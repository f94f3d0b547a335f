"""Boxes to tick in forms: what is ticked stands, what is not asks for nothing."""

from __future__ import annotations

import re
from collections.abc import Callable

#: A box with a mark in it, and an empty one with what it offers, up to the next box.
_TICKED = re.compile(r"\[[xX✓✔]\]|\([xX✓✔]\)|[☑☒]")
_EMPTY = re.compile(r"(?:\[ ?\]|\( ?\)|☐)[^\n\[\]☐☑☒]*?(?=\s*(?:\[|\([xX✓✔ ]?\)|[☐☑☒]|\n|$))")


def without_unticked(text: str, ignore: Callable[[int, int, str], None] | None = None) -> str:
    """Return the text with blanks for what a form offers and nobody ticked.

    Examples
    --------
    >>> without_unticked("Material: [ ] 304  [x] 316  [ ] brass").split()
    ['Material:', '316']
    """
    if not _TICKED.search(text):
        return text
    for pattern, why in ((_EMPTY, "not ticked"), (_TICKED, "a tick")):
        for found in pattern.finditer(text):
            if ignore is not None:
                ignore(found.start(), found.end(), why)
        text = pattern.sub(lambda found: " " * len(found[0]), text)
    return text
