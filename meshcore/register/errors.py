"""What can be wrong with a register, as errors that say what to do."""

from __future__ import annotations

from collections.abc import Sequence


class RecordsError(OSError):
    """A register that cannot be read or written, or something that is not in it."""


class ChangedMeanwhileError(RecordsError):
    """Somebody else changed a thing between its being opened and its being saved."""


class MissingRegisterError(RecordsError):
    """A register that is not there, where it was only to be read."""


class DoubtError(RecordsError):
    """A deed that something speaks against; it is done only on an explicit word.

    Parameters
    ----------
    doubts
        What speaks against it, a sentence each.
    """

    def __init__(self, doubts: Sequence[str]) -> None:
        self.doubts = tuple(doubts)
        super().__init__(f"{' '.join(doubts)} If it is to stand all the same, say so.")
