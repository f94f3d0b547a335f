"""Numbers of a passage that count one thing."""

from __future__ import annotations

from dataclasses import dataclass

from meshcore.reading.letters.item import Item


@dataclass(frozen=True, slots=True)
class Counted:
    """Numbers that count one thing: more than one is a price break."""

    numbers: tuple[Item, ...]
    first: int
    last: int
    noun: int
    weak: bool = False
    pieces: bool = False
    summed: bool = False
    why: str = ""
