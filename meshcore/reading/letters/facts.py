"""What a passage states, field by field, each with the words that state it."""

from __future__ import annotations

from dataclasses import dataclass, field

from meshcore.reading.letters.item import Item
from meshcore.reading.letters.shares import Share


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing stated.

    Parameters
    ----------
    name
        Enquiry column, or ``dim`` for a size of the form whose place is told by `role`.
    value
        Its one name (an alloy, a weave…), or the number of a quantity.
    text, start, end
        The words that state it, and where.
    item
        The amount, for sizes.
    role
        Which size of the form: ``width``, ``length``, ``diameter``… or empty.
    group
        Number of the pair or triple that it stands in, 0 for none.
    why
        Why it must be asked about; empty where it is plain.
    origin
        From where it is carried over; empty where the line states it itself.
    """

    name: str
    value: str | float
    text: str
    start: int
    end: int
    item: Item | None = None
    role: str = ""
    group: int = 0
    why: str = ""
    origin: str = ""
    weak: bool = False


@dataclass(slots=True)
class Said:
    """All that one passage says.

    Parameters
    ----------
    facts
        In the order of the text.
    quantities
        Groups of quantities: several numbers for one thing are a price break.
    marks
        What its words do: ``same``, ``all``, ``withdraw``, ``correct``…, each with its places.
    loose
        Amounts that no field took.
    silent
        Starts of the items that are denied or told of the past.
    shares
        How its count is parted by what is done to the pieces.
    apart
        Whether it is one of several clauses of a sentence, each with its own subject.
    """

    facts: list[Fact] = field(default_factory=list)
    marks: dict[str, list[Item]] = field(default_factory=dict)
    loose: list[Item] = field(default_factory=list)
    items: list[Item] = field(default_factory=list)
    dropped: set[int] = field(default_factory=set)
    silent: frozenset[int] = frozenset()
    shares: list[Share] = field(default_factory=list)
    apart: bool = False

    def has(self, *names: str) -> bool:
        """Whether any of these marks stands in the passage."""
        return any(self.marks.get(name) for name in names)

    def has_any(self, tag: str) -> bool:
        """Whether any word has this tag, also where it is told of the past or denied."""
        return any(tag in item.tags for item in self.items)

    def of(self, name: str) -> list[Fact]:
        """Return the facts of one name."""
        return [fact for fact in self.facts if fact.name == name]

    def cloth(self) -> bool:
        """Whether it says which cloth is meant."""
        return any(fact.name in CLOTH for fact in self.facts)


#: Fields that say which cloth is meant.
CLOTH = ("mesh_count", "pitch", "aperture", "open_area", "pair", "hole_or_pitch")
#: Fields of the cloth as such: what "the same cloth" carries over.
FABRIC = (*CLOTH, "wire_diameter", "weave", "alloy")
