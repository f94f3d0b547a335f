"""What a cell says beside the alloy that it names: a second grade, a temper, "or equal"."""

from __future__ import annotations

import re

from meshcore.alloys.records import as_written
from meshcore.alloys.records.naming import normalise
from meshcore.alloys.records.registry import SEPARATORS, Registry
from meshcore.messages import Message
from meshcore.reading.vocabulary import words

#: Marks of a footnote (a square metre bears none), and a material number of a figure too few
#: that ends in nought.
_FOOTNOTE = re.compile(r"[*†‡]|(?<!m)[¹²³]\s*\)?$")
_SHORT_NUMBER = re.compile(r"1\.4\d0")
#: Most letters that a stroke parts from a grade's number: "316/L", "316/Ti".
_MOST_LETTERS = 2


def said_beside(registry: Registry, text: str, index: int) -> Message | None:
    """Return what a cell says beside the alloy that it was read as, for review; None if nothing.

    Parameters
    ----------
    registry, text
        As for `resolve`.
    index
        What `resolve` found.

    Examples
    --------
    >>> from meshcore.alloys.records.registry import installed_registry, resolve
    >>> known = installed_registry()
    >>> print(said_beside(known, "304/304L", resolve(known, "304/304L")).text)
    names 304 and 304L; taken as 304L. Write the one that is meant.
    >>> said_beside(known, "AISI 304", resolve(known, "AISI 304")) is None
    True
    """
    taken = registry.alloys[index].designation
    if _FOOTNOTE.search(text):
        said = f"taken as {taken}; the mark beside it may stand for a footnote. Check what it says."
        return Message("alloy", text, said, "review", code="alloy.marked")
    if _SHORT_NUMBER.fullmatch(text.strip()):
        said = (
            f"read as {text.strip()}0, which is {taken}: a last figure is missing, and may be "
            "another. Write the whole number."
        )
        return Message("alloy", text, said, "review", code="alloy.number_short")
    if "?" in text:
        said = (
            f"taken as {taken}, though the sender is not sure of it. Write the one that is meant."
        )
        return Message("alloy", text, said, "review", code="alloy.unsure")
    named = _named_each(registry, text)
    if named - {index}:
        every = " and ".join(registry.alloys[one].designation for one in sorted(named | {index}))
        said = f"names {every}; taken as {taken}. Write the one that is meant."
        return Message("alloy", text, said, "review", code="alloy.names_two")
    return _method(text, taken) or _says_more(registry, text, taken)


def _method(text: str, taken: str) -> Message | None:
    """Say that a way of making the metal leaves open which of them it is."""
    word = as_written.method(text)
    if not word:
        return None
    said = (
        f'taken as {taken}; "{word}" is said of wire with little zinc and with much, and of cloth '
        "that is dipped after weaving. Write the one that is meant, such as "
        f'"{words("alloy_method")[word]}".'
    )
    return Message("alloy", text, said, "review", code="alloy.method")


def _says_more(registry: Registry, text: str, taken: str) -> Message | None:
    more = () if normalise(text) in registry.names else as_written.says_more(text)
    if not more or as_written.is_meant_whole(text):
        return None
    shown = ", ".join(f'"{word}"' for word in more)
    said = (
        f"taken as {taken}; {shown} beside it changes nothing in the price. Write what it asks for "
        "in its own column."
    )
    return Message("alloy", text, said, "review", code="alloy.says_more")


def _named_each(registry: Registry, text: str) -> frozenset[int]:
    """Alloys that the parts of a text name, each by itself: two in "304/304L" and in "316/L"."""
    found: set[int] = set()
    stem = ""
    for part in filter(None, map(str.strip, SEPARATORS.split(text))):
        own = registry.names.get(normalise(as_written.without_asides(part)) or " ")
        joined = registry.names.get(normalise(stem + part) or " ") if stem else None
        if own is not None:
            found.add(own)
            stem = part
        elif joined is not None and part.isalpha() and len(part) <= _MOST_LETTERS:
            found.add(joined)
    return frozenset(found)
