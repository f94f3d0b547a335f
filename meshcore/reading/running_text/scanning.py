"""A text from which parts are taken, each once."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache

from meshcore.reading.vocabulary import fold, follows_words, phrases

#: What stands where a part was taken: no letter, digit or space, so nothing matches over it.
TAKEN = "¦"


@dataclass(slots=True)
class Scan:
    """A text, and the fields that were found in it.

    Parameters
    ----------
    text
        The text, tidied.
    low
        The same in small letters, with what was taken struck out.
    fields
        Enquiry column → text.
    unread
        Parts that were understood to be nothing that can be used.
    """

    text: str
    low: str = ""
    fields: dict[str, str] = field(default_factory=dict)
    unread: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        # One small letter for each capital, so that places agree.
        self.low = "".join(c.lower() if len(c.lower()) == 1 else c for c in self.text)

    def bare(self) -> str:
        """Return what is left in small letters without accents, of the same length."""
        return _bare(self.low)

    def part(self, start: int, end: int) -> str:
        """Return a part as it was typed, without what was lifted out of it."""
        kept = (
            c if self.low[start + n] != " " else " " for n, c in enumerate(self.text[start:end])
        )
        return " ".join("".join(kept).split())

    def left(self) -> str:
        """Return the text as it was typed, with what was taken struck out."""
        return "".join(c if self.low[n] not in (TAKEN, " ") else self.low[n]
                       for n, c in enumerate(self.text))  # fmt: skip

    def search(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        """Find a pattern in what is left."""
        return pattern.search(self.low)

    def search_phrase(self, phrase: str) -> re.Match[str] | None:
        """Find folded words in what is left, whatever their accents."""
        matched = _phrase(phrase).search(_bare(self.low))
        return matched if matched and matched.end() <= len(self.low) else None

    def put(self, name: str, text: str, found: re.Match[str]) -> None:
        """Put a text into a field that is free, and strike out where it was found."""
        self.fields.setdefault(name, text.strip())
        self.blank(*found.span())

    def take(self, pattern: re.Pattern[str]) -> str:
        """Take the first part of a pattern; empty where there is none."""
        found = self.search(pattern)
        if not found:
            return ""
        part = self.part(*found.span())
        self.blank(*found.span())
        return part.strip()

    def lift(self, pattern: re.Pattern[str]) -> None:
        """Lift every part of a pattern out as unread; what is beside it stands together."""
        while found := self.search(pattern):
            self.unread.append(self.part(*found.span()))
            self.blank(*found.span(), sign=" ")

    def blank(self, start: int, end: int, sign: str = TAKEN) -> None:
        """Strike out a part; with a space for `sign`, what is beside it stands together."""
        self.low = self.low[:start] + sign * (end - start) + self.low[end:]

    def leave(self, start: int, end: int) -> None:
        """Leave a part unread, as it was typed."""
        self.unread.append(self.part(start, end))
        self.blank(start, end)

    def denial_before(self, start: int) -> int:
        """Return how many letters before a place deny what stands there; 0 where nothing does."""
        found = _denial(before=True).search(_bare(self.low[:start]))
        return start - found.start() if found else 0

    def denial_after(self, end: int) -> int:
        """Return how many letters after a place deny what stands there: "weld not required"."""
        found = _denial(before=False).match(_bare(self.low[end:]))
        return found.end() if found else 0

    def is_free(self, start: int, end: int) -> bool:
        """Whether nothing of a part was taken."""
        return TAKEN not in self.low[start:end]


@lru_cache(maxsize=2)
def _denial(*, before: bool) -> re.Pattern[str]:
    """Return what denies a thing before it ("no", "without"), or behind it ("not required")."""
    if before:
        every = "|".join(re.escape(phrase) for phrase in phrases("denial"))
        return re.compile(rf"(?<![\w.])(?:{every})\.?\s+$")
    every = "|".join(re.escape(phrase) for phrase in phrases("no") if " " in phrase)
    return re.compile(rf"\s*[:\-]?\s*(?:{every})(?!\w)")


follows_words(_denial.cache_clear)


@lru_cache(maxsize=4096)
def _phrase(phrase: str) -> re.Pattern[str]:
    either = re.escape(phrase).replace("ss", "(?:ss|ß)")
    return re.compile(rf"(?<![\w.]){either}(?!\w)")


@lru_cache(maxsize=1024)
def _bare(text: str) -> str:
    """Text without accents, of the same length."""
    return "".join(folded if len(folded := fold(c)) == 1 else c for c in text)
