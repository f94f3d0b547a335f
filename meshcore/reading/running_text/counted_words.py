"""Words that a quantity counts by, and whether they are of the line's form and shape."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from meshcore.reading.shape_texts import written
from meshcore.reading.vocabulary import fold, follows_words, words

#: Form of a line → forms whose things are not counted on it: strip comes in rolls too, and
#: "pieces" may be anything (common practice, no source).
_NOT_COUNTED_ON: Mapping[str, frozenset[str]] = {
    "roll": frozenset({"sheet", "disc", "strip"}),
    "strip": frozenset({"sheet", "disc"}),
    "piece": frozenset({"roll", "strip"}),
}


@lru_cache(maxsize=65536)
def counts_another(text: str, form: str) -> str:
    """Return the word of a quantity that counts things of another form than the line's.

    Examples
    --------
    >>> counts_another("3 sheets", "roll"), counts_another("3 pcs", "roll")
    ('sheets', '')
    """
    others = _NOT_COUNTED_ON.get(form, frozenset())
    said = (fold(word) for word in re.findall(r"[^\W\d_]+", text))
    return next((word for word in said if words("counted").get(word) in others), "")


def counts_rolls(text: str) -> bool:
    """Whether a quantity counts rolls.

    Examples
    --------
    >>> counts_rolls("10 rolls"), counts_rolls("10")
    (True, False)
    """
    said = (fold(word) for word in re.findall(r"[^\W\d_]+", text))
    return any(words("counted").get(word) == "roll" for word in said)


@lru_cache(maxsize=65536)
def counts_another_shape(text: str, shape: str, dimensions: str) -> tuple[str, str]:
    """Return the word of a quantity that counts pieces of another shape, and the line's shape.

    Examples
    --------
    >>> counts_another_shape("12 discs", "rectangle", "500 x 300 mm")
    ('discs', 'rectangle')
    >>> counts_another_shape("12 blanks", "disc", "200 mm"), counts_another_shape("4", "disc", "")
    (('', ''), ('', ''))
    """
    named = shape_counted(text)
    found = written(shape, dimensions) if named else None
    own = found[0] if found else words("shape").get(fold(shape.partition(":")[0]), "")
    if not (named and own) or _basic(words("shape")[named]) == _basic(own):
        return "", ""
    return named, own


def shape_counted(text: str) -> str:
    """Return the word of a quantity that counts things of one shape; empty where none does."""
    said = (fold(word) for word in re.findall(r"[^\W\d_]+", text))
    kinds = words("counted")
    return next((w for w in said if kinds.get(w) in _OF_ONE_SHAPE and w in words("shape")), "")


#: Things counted that have a shape of their own; blanks and pieces may have any.
_OF_ONE_SHAPE = frozenset({"disc", "sheet"})


def _basic(shape: str) -> str:
    """Shape by what is round of it and what is not: a square is a sheet, a ring a disc."""
    return "round" if shape in ("disc", "ring") else "flat" if shape in _FLAT else shape


_FLAT = frozenset({"rectangle", "square", "rounded rectangle", "notched rectangle",
                   "rectangle with holes"})  # fmt: skip


follows_words(counts_another.cache_clear)
follows_words(counts_another_shape.cache_clear)
