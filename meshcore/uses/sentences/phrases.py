"""Words and phrases of the word files, found in a folded sentence."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from meshcore.reading.vocabulary import doubtful, follows_words, words

#: Stands in a word file for any ending.
_ANY_ENDING = "*"


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase in a sentence: what it means, how it is written there, and where."""

    meanings: tuple[str, ...]
    text: str
    start: int
    end: int


def meanings(topic: str) -> dict[str, tuple[str, ...]]:
    """Return the phrases of a topic, each with all that it may mean."""
    return {word: (meaning,) for word, meaning in words(topic).items()} | dict(doubtful(topic))


def phrases_in(sentence: str, topic: str) -> Iterator[Phrase]:
    """Yield the phrases of a topic in a folded sentence; of those that overlap, the longest.

    Examples
    --------
    >>> [(one.meanings, one.text) for one in phrases_in("washed gravel, damp", "use_choice")]
    [(('wet',), 'washed'), (('damp',), 'damp')]
    """
    pattern, known = _pattern(topic)
    for match in pattern.finditer(sentence):
        number = next(n for n, text in enumerate(match.groups()) if text is not None)
        yield Phrase(known[number], match.group(), *match.span())


def last_phrase(text: str, topic: str) -> Phrase | None:
    """Return the phrase that a text ends with, the longest; None where it ends with none."""
    return max((p for p in _ending(text, topic)), key=lambda p: p.end - p.start, default=None)


def _ending(text: str, topic: str) -> Iterator[Phrase]:
    for pattern, meant in _endings(topic):
        if match := pattern.search(text):
            yield Phrase(meant, match.group(), *match.span())


def first_phrase(text: str, topic: str) -> Phrase | None:
    """Return the phrase that a text begins with, the longest; None where it begins with none."""
    found = [
        Phrase(meant, match.group(), *match.span())
        for pattern, meant in _beginnings(topic)
        if (match := pattern.match(text))
    ]
    return max(found, key=lambda p: p.end - p.start, default=None)


def _written(word: str) -> str:
    return re.escape(word).replace(re.escape(_ANY_ENDING), r"\w*")


@cache
def _endings(topic: str) -> tuple[tuple[re.Pattern[str], tuple[str, ...]], ...]:
    """Patterns of the words of a topic at an end, kept: Python keeps fewer than there are."""
    return tuple(
        (re.compile(rf"(?<!\w){_written(word)}$"), meant) for word, meant in meanings(topic).items()
    )


@cache
def _beginnings(topic: str) -> tuple[tuple[re.Pattern[str], tuple[str, ...]], ...]:
    return tuple(
        (re.compile(rf"{_written(word)}(?!\w)"), meant) for word, meant in meanings(topic).items()
    )


@cache
def _pattern(topic: str) -> tuple[re.Pattern[str], tuple[tuple[str, ...], ...]]:
    every = meanings(topic)
    longest_first = sorted(every, key=lambda word: (-len(word), word))
    bodies = "|".join(f"({_written(word)})" for word in longest_first)
    known = tuple(every[word] for word in longest_first)
    return re.compile(rf"(?<!\w)(?:{bodies})(?!\w)"), known


for _kept in (_pattern, _endings, _beginnings):
    follows_words(_kept.cache_clear)
