"""What can be wrong with a register, as errors that say what to do."""

from __future__ import annotations


class RecordsError(OSError):
    """A register that cannot be read or written, or something that is not in it."""


class ChangedMeanwhileError(RecordsError):
    """Somebody else changed a thing between its being opened and its being saved."""
