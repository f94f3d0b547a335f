"""Words that stand over columns, as headings are compared."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from functools import lru_cache

from meshcore.reading import vocabulary

_BETWEEN = re.compile(r"[\s_.:,*\-]+")


@lru_cache(maxsize=65536)
def folded(text: str) -> str:
    """Fold a heading to what is compared: case, accents, dots, hyphens and underscores aside.

    Examples
    --------
    >>> folded(" Wire_Dia. "), folded("Draht-Ø"), folded("Größe"), folded("Qté")
    ('wire dia', 'draht ø', 'grosse', 'qte')
    """
    plain = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(c for c in plain if not unicodedata.combining(c)).replace("⌀", "ø")
    return _BETWEEN.sub(" ", bare.replace("∅", "ø")).strip()


def heading_words() -> Mapping[str, str]:
    """Return each folded word that may stand over a column, and the column that it means."""
    return _folded(vocabulary.words("heading"))


def counted_words() -> Mapping[str, str]:
    """Return each folded word for things counted ("rolls"), and the form that it implies."""
    return _folded(vocabulary.words("heading_counted"))


def beside_words() -> Mapping[str, str]:
    """Return the folded words beside a heading that change nothing about it."""
    return _folded(vocabulary.words("heading_beside"))


def folded_words(topic: str) -> Mapping[str, str]:
    """Return each folded word of a topic of headings, and its meaning."""
    return _folded(vocabulary.words(topic))


#: Words that only join others in a heading.
_JOINING = frozenset({"de", "del", "du", "des", "of", "the", "der", "la", "le", "el"})


def loose(name: str) -> str:
    """Leave out of a heading the words that only join others.

    Examples
    --------
    >>> loose("diametro de alambre"), loose("no part")
    ('diametro alambre', 'no part')
    """
    return " ".join(word for word in name.split() if word not in _JOINING)


def loose_words(topic: str) -> Mapping[str, str]:
    """Return the words of a topic of headings as `loose` puts them; none that means two things."""
    return _loosened(id(_folded(vocabulary.words(topic))), topic)


@lru_cache(maxsize=16)
def _loosened(_vocabulary: int, topic: str) -> Mapping[str, str]:
    found: dict[str, set[str]] = {}
    for word, meaning in _folded(vocabulary.words(topic)).items():
        found.setdefault(loose(word), set()).add(meaning)
    return {word: next(iter(each)) for word, each in found.items() if len(each) == 1}


_FOLDED: dict[int, tuple[Mapping[str, str], Mapping[str, str]]] = {}


def _folded(words: Mapping[str, str]) -> Mapping[str, str]:
    """Fold the keys of a topic; once for each table that the vocabulary keeps."""
    kept = _FOLDED.get(id(words))
    if kept is None or kept[0] is not words:
        kept = (words, {folded(word): meaning for word, meaning in words.items()})
        _FOLDED[id(words)] = kept
    return kept[1]
