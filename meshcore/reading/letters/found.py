"""One thing of the head of a letter: words of its own, and where they stand."""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Found:
    """One thing of the head: the letter's own words, and where they stand."""

    text: str
    start: int
    end: int


def first_found(pattern: re.Pattern[str], text: str) -> Found | None:
    """Return the first thing that a pattern finds."""
    found = pattern.search(text)
    return None if found is None else trimmed(found["text"], found.start("text"))


#: A day that is written with a dot after its month: "30.06.".
_DOTTED = re.compile(r"(?<![\d.])\d{1,2}\.\d{1,2}$")


def trimmed(text: str, start: int) -> Found:
    """Return words without the signs around them, and where they stand."""
    lead = len(text) - len(text.lstrip(" \t\n,:"))
    kept = text[lead:].rstrip(" \t\n,.:-")
    if _DOTTED.search(kept) and text[lead + len(kept) :].startswith("."):
        kept += "."
    return Found(kept, start + lead, start + lead + len(kept))
