"""One stretch of a letter that is read as a whole."""

from __future__ import annotations

from dataclasses import dataclass

from meshcore.reading.letters.tables import Cell


@dataclass(frozen=True, slots=True)
class Passage:
    """One stretch of the letter that is read as a whole.

    Parameters
    ----------
    start, end
        Where it stands.
    kind
        ``item``, ``prose``, ``row`` or ``note``.
    label
        Its number or letter where it is numbered.
    paragraph
        Number of its paragraph.
    mail
        Number of its mail, the oldest first.
    ends_colon
        Whether more is to follow.
    speaker
        Who says it, in a chat.
    cells
        Start, end and heading of each cell of a row.
    word
        The word that stands before its label: "screen" of "Screen 1:".
    """

    start: int
    end: int
    kind: str = "prose"
    label: str = ""
    paragraph: int = 0
    mail: int = 0
    ends_colon: bool = False
    speaker: str = ""
    indent: int = 0
    body: int = 0
    cells: tuple[Cell, ...] = ()
    word: str = ""
