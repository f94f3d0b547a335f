"""Which weaves are wanted for a use: those that are named, less those that are denied."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.enquiry import WEAVES
from meshcore.estimates.asked_use import AskedUse
from meshcore.messages import Message
from meshcore.reading.texts import is_blank
from meshcore.reading.vocabulary import fold, words


def wanted_weaves(text: str, asked: AskedUse, usual: Sequence[int]) -> tuple[int, ...] | Message:
    """Return the weaves that are wanted; none where any is.

    Parameters
    ----------
    text
        The one weave that is wanted, as typed; it goes before what a sentence names.
    asked
        The use as read, with the weaves that a sentence names and denies.
    usual
        Indices into ``WEAVES`` of those that the use has.
    """
    if not is_blank(text):
        return _usual((text,), usual)
    if asked.weaves:
        return _usual(asked.weaves, usual)
    if not any(WEAVES[code] in asked.no_weaves for code in usual):
        return ()
    left = tuple(code for code in usual if WEAVES[code] not in asked.no_weaves)
    mend = "all that are usual for this use are not wanted. Let one of them."
    return left or Message("weave", ", ".join(asked.no_weaves), mend, code="use.weave_denied")


def _usual(texts: Sequence[str], usual: Sequence[int]) -> tuple[int, ...] | Message:
    names = ", ".join(WEAVES[code] for code in usual)
    found = []
    for text in texts:
        named = text if text in WEAVES else words("weave").get(fold(text), "")
        if not named:
            mend = f"no weave known here. Write one of: {names}."
            return Message("weave", text, mend, code="use.weave_unknown")
        if WEAVES.index(named) not in usual:
            mend = f"not usual for this use. Write one of: {names}; or price that cloth by itself."
            return Message("weave", text, mend, code="use.weave_unusual")
        found.append(WEAVES.index(named))
    return tuple(found)
