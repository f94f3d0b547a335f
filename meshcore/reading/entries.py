"""Entries of a settings file read one by one, all that is wrong with them gathered."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from meshcore.messages import Message
from meshcore.reading.texts import POINT, read_text
from meshcore.units import Kind

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Entries:
    """Sections of a file as they were parsed, and what is wrong with them so far.

    Parameters
    ----------
    data
        Section → key → entry.
    wrong
        One text for each entry that cannot stand, with what is due there.

    Examples
    --------
    >>> entries = Entries({"rolls": {"width": "1.2 m", "length": "100"}})
    >>> entries.size("rolls", "width"), entries.size("rolls", "length")
    (1.2, nan)
    >>> entries.wrong
    ['rolls.length: read "100" — a number without its unit. Write "100 mm" or "100 in".']
    """

    data: Mapping[str, Any]
    wrong: list[str] = field(default_factory=list)

    def section(self, name: str) -> Mapping[str, Any]:
        """Return a section; an empty one where there is none."""
        section = self.data.get(name)
        if isinstance(section, dict):
            return section
        self.wrong.append(f"{name}: the section is missing.")
        return {}

    def plain(self, section: str, key: str, kind: type[T], missing: T) -> T:
        """Return an entry that is of a type as it stands; `missing` where it is not."""
        entry = self.section(section).get(key)
        if isinstance(entry, kind):
            return entry
        self.wrong.append(f"{section}.{key}: read {entry!r}; a {kind.__name__} is due.")
        return missing

    def size(
        self, section: str, key: str, kind: Kind = "length", *, above_zero: bool = False
    ) -> float:
        """Return a size in SI units; NaN where it cannot be read."""
        return self.read(f"{section}.{key}", self.section(section).get(key), kind, above_zero)

    def sizes(
        self, section: str, key: str, *, above_zero: bool = False, needed: bool = False
    ) -> list[float]:
        """Return a list of lengths [m]."""
        entries, where = self.section(section).get(key), f"{section}.{key}"
        if not isinstance(entries, list) or (needed and not entries):
            self.wrong.append(f'{where}: read {entries!r}; a list such as ["36 in"] is due.')
            return []
        return [self.read(where, entry, "length", above_zero) for entry in entries]

    def read(self, where: str, entry: object, kind: Kind, above_zero: bool) -> float:
        """Return what one entry says; NaN where that cannot be."""
        reading = read_text(str(entry), kind, where, hints=POINT)
        if isinstance(reading, Message):
            self.wrong.append(str(reading))
            return math.nan
        if reading.value < 0 or (above_zero and reading.value == 0):
            due = "is to be above zero" if above_zero else "cannot be negative"
            self.wrong.append(f"{where}: read {entry!r}; it {due}.")
        return reading.value
