"""The words that letters are read by: the trade's vocabulary and the letters' own, by language."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources

from meshcore.reading.vocabulary import fold, words

#: A word, a number or a sign, as phrases of the word files are cut up too.
PART = re.compile(r"\d+/(?:2|3|4|8|16|32|64)(?!\d)|\d+(?:[.,]\d+)*|[^\W\d_]+|[^\s\w]|_")
#: Languages of the word files; English words of the trade are understood in every letter.
LANGUAGES = ("en", "de", "fr", "es")
#: Tables whose English words count in letters of any language: trade words travel.
_TRAVELS = frozenset(
    {"alloy", "weave", "form", "shape", "service", "unit", "count", "other", "size"}
)
#: Tables of the vocabulary → the letters' name for them.
_SHARED = {"alloy": "alloy", "weave": "weave", "unit_length": "unit"}
#: As many signs of a letter as tell its language.
_TOLD_BY = 20_000
#: Units of length of the vocabulary that a letter may write after a number.
_UNITS = frozenset({"mm", "cm", "m", "µm", "in", "ft", "yd", "thou"})

#: English words of units that are small words of other languages.
_NOT_ABROAD = frozenset({"in", "ins", "in."})

Tags = Mapping[str, str]


@dataclass(frozen=True)
class Lexicon:
    """Phrases by their first word, longest first; each with its kinds and meanings."""

    phrases: Mapping[str, tuple[tuple[tuple[str, ...], Tags], ...]]
    near: Mapping[str, str]


@cache
def _file(language: str) -> Mapping[str, Mapping[str, list[str]]]:
    folder = resources.files("meshcore.reading.letters").joinpath("words")
    return tomllib.loads(folder.joinpath(f"{language}.toml").read_text(encoding="utf-8"))


@cache
def _stop_words() -> Mapping[str, frozenset[str]]:
    return {one: frozenset(map(fold, _file(one)["stop"]["is"])) for one in LANGUAGES}


#: Tables whose words tell a language where a letter has few small words.
_TELLING = ("alloy", "form", "shape", "size", "service", "quantity")
#: A shorter word may be of any language.
_SHORTEST_TOLD = 4


@cache
def _own_words() -> Mapping[str, frozenset[str]]:
    """Words of the trade that only one language has."""
    every = {
        one: {
            fold(phrase)
            for kind in _TELLING
            for written in _file(one).get(kind, {}).values()
            for phrase in written
            if phrase.isalpha() and len(phrase) >= _SHORTEST_TOLD
        }
        for one in LANGUAGES
    }
    return {
        one: frozenset(
            word for word in words_ if sum(word in others for others in every.values()) == 1
        )
        for one, words_ in every.items()
    }


def language_of(text: str) -> str:
    """Tell a letter's language by its small words; English where nothing tells.

    Examples
    --------
    >>> language_of("bitte bieten Sie uns an, 2 Rollen mit Draht 0,5"), language_of("10 mesh")
    ('de', 'en')
    """
    own = _own_words()
    seen = [fold(word) for word in re.findall(r"[^\W\d_]+", text[:_TOLD_BY])]
    counts = {
        one: sum(word in stops or word in own[one] for word in seen)
        for one, stops in _stop_words().items()
    }
    return max(LANGUAGES, key=lambda one: (counts[one], one == "en"))


#: Tens that take units after or before them, and those that French counts on from by twenty.
_TENS, _BY_TWENTY = range(20, 100, 10), {60: 20, 80: 20}


def _compounds(file: Mapping[str, Mapping[str, list[str]]]) -> list[tuple[str, str]]:
    """Numbers that are put together of tens and units, each with its value: "zweiunddreißig"."""
    written = file["number"]
    out = []
    for ten in _TENS:
        most = _BY_TWENTY.get(ten, 10) if "quatre-vingts" in written.get("80", ()) else 10
        for unit in range(1, most):
            for pattern in file["compound"]["is"]:
                out += [
                    (pattern.format(ten=a, unit=b), str(ten + unit))
                    for a in written.get(str(ten), ())
                    for b in written.get(str(unit), ())
                    if " " not in a + b
                ]
    return out


@cache
def lexicon(language: str) -> Lexicon:  # noqa: PLR0912
    """Return the words for a letter in a language."""
    found: dict[tuple[str, ...], dict[str, str]] = {}
    for spoken in dict.fromkeys((language, "en", *LANGUAGES)):
        for kind, table in _file(spoken).items():
            if kind == "compound":
                continue
            if spoken == language or (spoken == "en" and kind in _TRAVELS):
                for meaning, written in table.items():
                    # What a word says is a tag of its own: one word may say two things.
                    tag = meaning if kind == "say" else kind
                    for phrase in written:
                        if spoken != language and phrase in _NOT_ABROAD:
                            continue
                        found.setdefault(cut(phrase), {}).setdefault(tag, meaning)
    for phrase, meaning in _compounds(_file(language)):
        found.setdefault(cut(phrase), {}).setdefault("number", meaning)
    for topic, kind in _SHARED.items():
        for phrase, meaning in words(topic).items():
            if language != "en" and phrase in _NOT_ABROAD:
                continue
            if cut(phrase) == ("double",):
                continue  # "double oh nine" is a telephone number
            if (kind != "unit" or meaning in _UNITS) and cut(phrase) not in found:
                found[cut(phrase)] = {kind: meaning}
    by_first: dict[str, list[tuple[tuple[str, ...], Tags]]] = {}
    for key, tags in found.items():
        if key:
            by_first.setdefault(key[0], []).append((key, tags))
    ordered = {first: tuple(sorted(of, key=lambda p: -len(p[0]))) for first, of in by_first.items()}
    return Lexicon(ordered, _nearly(found))


def cut(phrase: str) -> tuple[str, ...]:
    """Cut a phrase into folded parts.

    Examples
    --------
    >>> cut("S/S 316L"), cut("Maschen/cm")
    (('s', '/', 's', '316', 'l'), ('maschen', '/', 'cm'))
    """
    return tuple(PART.findall(fold(phrase.replace("ø", "Ø").replace("⌀", "Ø"))))


#: Words shorter than this are not guessed at: too many others are one letter away.
_SHORTEST_GUESSED = 6


def _nearly(found: Mapping[tuple[str, ...], object]) -> dict[str, str]:
    """Words with one letter left out, for those that are mistyped; none that fit two words."""
    near: dict[str, str | None] = {}
    for key, tags in found.items():
        for word in key:
            if len(word) >= _SHORTEST_GUESSED and word.isalpha():
                for short in _less_one(word):
                    other = near.get(short, word)
                    alike = other is not None and len(key) == 1 and found.get((other,)) == tags
                    near[short] = word if other == word else other if alike else None
    known = {word: word for key in found for word in key}
    return {short: word for short, word in near.items() if word} | known


def _less_one(word: str) -> list[str]:
    return [word[:n] + word[n + 1 :] for n in range(len(word))]


def guess(word: str, near: Mapping[str, str]) -> str:
    """Return the known word that a mistyped one is a letter away from, or the word itself."""
    if len(word) < _SHORTEST_GUESSED or not word.isalpha():
        return word
    if word in near:
        return near[word]
    hits = {near[short] for short in _less_one(word) if short in near}
    close = [known for known in hits if _one_slip(word, known)]
    return close[0] if len(close) == 1 else word


def _one_slip(word: str, known: str) -> bool:
    """Whether one letter too many, or two swapped, parts two words of one beginning."""
    if word[0] != known[0]:
        return False
    if len(word) != len(known):
        return len(word) == len(known) + 1 and known in _less_one(word)
    wrong = [n for n, (a, b) in enumerate(zip(word, known, strict=True)) if a != b]
    swapped = len(wrong) == 2 and wrong[1] == wrong[0] + 1 and word[wrong[0]] == known[wrong[1]]  # noqa: PLR2004
    return swapped and word[wrong[1]] == known[wrong[0]]
