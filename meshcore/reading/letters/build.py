"""The lines of a letter in the making, and what is shared by them."""

from __future__ import annotations

from dataclasses import dataclass, field

from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said


@dataclass(slots=True)
class Build:
    """The lines so far, and what is shared."""

    lines: list[Draft] = field(default_factory=list)
    heads: list[list[Fact]] = field(default_factory=lambda: [[]])
    general: list[tuple[Fact, frozenset[int]]] = field(default_factory=list)
    variants: list[Fact] = field(default_factory=list)
    doubtful: list[tuple[frozenset[str], str]] = field(default_factory=list)
    aside: list[tuple[int, int, str]] = field(default_factory=list)
    unread: list[tuple[int, int, str]] = field(default_factory=list)
    opened: list[Draft] = field(default_factory=list)
    left: list[Said] = field(default_factory=list)
    settled: set[int] = field(default_factory=set)
    open_clause: bool = False
    awaits: bool = False
    sets: list[float] = field(default_factory=list)
    each: bool = False
    bases: tuple[int, list[Draft]] | None = None
    cloths: dict[str, list[Fact]] = field(default_factory=dict)
    answered: list[Draft] = field(default_factory=list)
    tabled: int = 0
    pointed: list[Draft] = field(default_factory=list)
    corrects: tuple[int, str] | None = None
    absent: list[str] = field(default_factory=list)
    sized: tuple[int, list[Fact]] = (-1, [])
    topic: tuple[int, frozenset[str]] = (-1, frozenset())
    of_alloy: list[tuple[Fact, Fact]] = field(default_factory=list)
    scrapped: tuple[int, list[Draft]] = (-1, [])
    excepted: list[tuple[str, frozenset[str], Fact]] = field(default_factory=list)

    @property
    def present(self) -> list[Draft]:
        """Lines that are not withdrawn."""
        return [line for line in self.lines if not line.gone]
