"""The words of the trade, by language: data files that a mill can add to."""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Callable, Mapping
from functools import cache, lru_cache
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from types import MappingProxyType

from meshcore.reading.settings_files import read_toml

#: Variable of the environment that names a mill's own word files, parted as PATH is.
OWN_WORDS = "MESHCORE_WORDS"
_OWN: list[Path] = []
_LANGUAGE = "language"
#: Words whose plain form is kept: a letter has the same ones looked at by many rules.
_WORDS_KEPT = 1 << 14
#: What empties the memory of functions that keep words; see `follows_words`.
_FOLLOWERS: list[Callable[[], None]] = []


class VocabularyError(ValueError):
    """A word file that cannot be read; the message names it and what would mend it."""


@lru_cache(maxsize=_WORDS_KEPT)
def fold(text: str) -> str:
    """Reduce a word to what is compared: one case, no accents, one space, no end stop.

    Examples
    --------
    >>> fold("  Köper  Bindung."), fold("Geschweißt"), fold("l.W.")
    ('koper bindung', 'geschweisst', 'l.w')
    """
    plain = unicodedata.normalize("NFKD", text.replace("µ", "μ").casefold())
    bare = "".join(c for c in plain if not unicodedata.combining(c))
    return " ".join(bare.split()).rstrip(".") or bare.strip()


def languages() -> tuple[str, ...]:
    """Languages that there are words of.

    Examples
    --------
    >>> languages()[:4]
    ('en', 'de', 'fr', 'es')
    """
    return tuple(dict.fromkeys(language for language, _ in _files()))


@cache
def words(topic: str, language: str = "") -> Mapping[str, str]:
    """Return the words of a topic, each with the one thing that it means.

    Parameters
    ----------
    topic
        A table of the word files, such as ``"weave"``, ``"unit_length"`` or ``"alloy"``.
    language
        Only the words of this language; of all languages without it.

    Returns
    -------
    Folded word → meaning. Words that mean two things are left out; see `doubtful`.

    Examples
    --------
    >>> words("weave")["koper"], words("weave", "en").get("koper"), words("unit_length")["zoll"]
    ('twilled', None, 'in')
    """
    every = _meanings(topic, language)
    return MappingProxyType({word: found[0] for word, found in every.items() if len(found) == 1})


@cache
def doubtful(topic: str, language: str = "") -> Mapping[str, tuple[str, ...]]:
    """Return the words of a topic that mean two things or more, each with all of them."""
    every = _meanings(topic, language)
    return MappingProxyType({word: found for word, found in every.items() if len(found) > 1})


@cache
def phrases(topic: str, language: str = "") -> tuple[str, ...]:
    """Return the words of a topic, longest first: how they are looked for in a text."""
    return tuple(sorted(_meanings(topic, language), key=lambda word: (-len(word), word)))


def topics() -> tuple[str, ...]:
    """Topics that there are words of.

    Examples
    --------
    >>> {"weave", "form", "alloy", "heading"} <= set(topics())
    True
    """
    return tuple(dict.fromkeys(topic for _, tables in _files() for topic in tables))


def add_words(path: str | Path) -> None:
    """Add a mill's own word file to those of this process; its words win over the bundled.

    Parameters
    ----------
    path
        A TOML file as those of ``meshcore/reading/words``: ``language``, and tables of words.

    Raises
    ------
    VocabularyError
        If the file cannot be read; nothing is added then.
    """
    _read(Path(path).name, Path(path))
    _OWN.append(Path(path))
    forget()


def forget() -> None:
    """Read the word files anew when next asked: they, or the environment, have changed."""
    for kept in (_files, words, doubtful, phrases):
        kept.cache_clear()
    for empty in _FOLLOWERS:
        empty()


def follows_words(empty: Callable[[], None]) -> None:
    """Say how the memory of a function that keeps words is emptied when they change."""
    _FOLLOWERS.append(empty)


def _meanings(topic: str, language: str) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    own = _own_words(topic, language)
    for spoken, tables in _files():
        if language and spoken != language:
            continue
        for meaning, written in tables.get(topic, {}).items():
            for word in map(fold, written):
                found[word] = tuple(dict.fromkeys((*found.get(word, ()), meaning)))
    return found | own


def _own_words(topic: str, language: str) -> dict[str, tuple[str, ...]]:
    """Words of the mill's own files: the last one said is what it means."""
    tables = [_read(path.name, path) for path in _own_paths()]
    return {
        fold(word): (meaning,)
        for spoken, table in tables
        if not language or spoken == language
        for meaning, written in table.get(topic, {}).items()
        for word in written
    }


def _own_paths() -> list[Path]:
    named = os.environ.get(OWN_WORDS, "")
    return [Path(part) for part in named.split(os.pathsep) if part] + _OWN


Tables = Mapping[str, Mapping[str, list[str]]]


@cache
def _files() -> tuple[tuple[str, Tables], ...]:
    """Language and tables of every bundled word file, English first."""
    folder = resources.files("meshcore.reading").joinpath("words")
    bundled = ("en.toml", "de.toml", "fr.toml", "es.toml")
    return tuple(_read(name, folder.joinpath(name)) for name in bundled) + tuple(
        _read(path.name, path) for path in _own_paths()
    )


def _read(name: str, source: Path | Traversable) -> tuple[str, Tables]:
    data = read_toml(source, name, VocabularyError)
    language = data.pop(_LANGUAGE, None)
    if not isinstance(language, str):
        raise VocabularyError(f'{name}: says no language. Write language = "en" at its head.')
    for topic, table in data.items():
        fits = isinstance(table, dict) and all(
            isinstance(written, list) and all(isinstance(word, str) for word in written)
            for written in table.values()
        )
        if not fits:
            raise VocabularyError(f'{name}: [{topic}] is written meaning = ["word", "word"].')
    return language, data
