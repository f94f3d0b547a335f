"""One amount, word or mark of a passage."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from meshcore.reading.vocabulary import fold


@dataclass(frozen=True, slots=True)
class Item:
    """One amount, word or mark of a passage.

    Parameters
    ----------
    kind
        ``num``, ``word``, ``mark``, ``code`` or ``nl``.
    text, start, end
        As it stands in the plain text, and where.
    tags
        Kinds of word that it is, each with its meaning.
    values
        Every value that the digits can be read as.
    unit
        Unit of an amount by its one name; empty for a bare number.
    glued
        Whether it follows the item before without a space.
    """

    kind: str
    text: str
    start: int
    end: int
    tags: Mapping[str, str] = field(default_factory=dict)
    values: tuple[float, ...] = ()
    unit: str = ""
    glued: bool = False
    number: str = ""
    spelled: bool = False

    @property
    def whole(self) -> bool:
        """Whether it is a bare whole number."""
        return (
            self.kind == "num"
            and not self.unit
            and bool(self.values)
            and all(v == int(v) and v >= 1 for v in self.values)
        )


NO_TAGS: Mapping[str, str] = {}


def last_word(item: Item) -> str:
    """Return the last word of a phrase, folded; empty where there is none."""
    return (fold(item.text).split() or [""])[-1]


def first_word(item: Item) -> str:
    """Return the first word of a phrase, folded; empty where there is none."""
    return (fold(item.text).split() or [""])[0]
