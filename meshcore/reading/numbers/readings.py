"""What is known about a text before it is read, and what a reading is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from meshcore.messages import Message

#: The sign that a column or letter writes its decimals with; empty where nothing tells.
Mark = Literal["", ".", ","]


@dataclass(frozen=True, slots=True)
class Stated:
    """What a text states besides its own field: "8/2 mm" as an aperture states the wire.

    Parameters
    ----------
    field
        The enquiry column that it belongs to.
    value
        SI value; a quantity as it is.
    text
        How it would be written there, with its unit.
    """

    field: str
    value: float
    text: str


@dataclass(frozen=True, slots=True)
class Hints:
    """What the surroundings of a text tell about it.

    Parameters
    ----------
    decimal
        The decimal mark of the rest of the column or letter.
    form
        ``roll``, ``strip`` or ``piece`` where it is known: what is usual depends on it.
    takes
        Other fields that the text may state too; where it states any but these, it is refused.
    """

    decimal: Mark = ""
    form: str = ""
    takes: frozenset[str] = frozenset()


#: Nothing is known.
NO_HINTS = Hints()
#: Signs that decimals are written with.
MARKS: tuple[Mark, ...] = (".", ",")
#: A text of a program or a data file, which write the decimal point.
POINT = Hints(decimal=".")


@dataclass(frozen=True, slots=True)
class Reading:
    """One text as read.

    Parameters
    ----------
    value
        SI value.
    half_width
        Half of the last digit typed [SI]; 0 for fractions and gauges.
    unit
        The unit it was in, by its one name.
    said
        A note of how a doubtful text was understood; None where there was no doubt.
    also
        What the text states of other fields.
    """

    value: float
    half_width: float
    unit: str
    said: Message | None = None
    also: tuple[Stated, ...] = ()
