"""Units as people write them, in any language of the word files."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from meshcore.reading.vocabulary import fold, follows_words, words
from meshcore.units import (
    ANGLES_RAD,
    AREAS_M2,
    LENGTHS_M,
    MASSES_KG,
    SHARES,
    Kind,
)

#: Kind → topic of the word files, and what each unit is in SI.
_UNITS: Mapping[str, tuple[str, Mapping[str, float]]] = {
    "length": ("unit_length", LENGTHS_M),
    "area": ("unit_area", AREAS_M2),
    "mass": ("unit_mass", MASSES_KG),
    "angle": ("unit_angle", ANGLES_RAD),
    "share": ("unit_share", SHARES),
}
#: What stands between a count and its length: "meshes per inch", "/ cm", "1/in".
_PER_NUMBER = re.compile(r"^(?P<number>\d+(?:[.,]\d+)?)\s*(?P<unit>.+)$")
_AROUND_SLASH = re.compile(r"\s*/\s*")
#: The ways that a unit registry writes what is one over a length.
_INVERSE = re.compile(r"^(?:1\s*/\s*)?(?P<unit>[^\W\d]+)\s*(?:\^|\*\*)?\s*(?:-|⁻)\s*[1¹]$")


@lru_cache(maxsize=2048)
def unit_of(word: str, kind: str) -> str | None:
    """Return the one name of a unit that somebody wrote; None if it is none of that kind.

    Examples
    --------
    >>> unit_of("Zoll", "length"), unit_of("lfd. m", "length"), unit_of("kg", "length")
    ('in', 'm', None)
    """
    topic, _ = _UNITS[kind]
    plain = fold(word).replace(". ", " ")
    return words(topic).get(plain)


@lru_cache(maxsize=2048)
def unit_factor(unit: str, kind: Kind) -> float | None:
    """Factor from `unit` to the SI unit of `kind`; None if it is not such a unit.

    Examples
    --------
    >>> unit_factor("in", "length"), unit_factor("kg", "length"), unit_factor("/ cm", "count")
    (0.0254, None, 100.0)
    >>> round(unit_factor("Maschen/Zoll", "count") * 0.0254, 12)
    1.0
    """
    if kind == "number":
        return 1.0 if not unit.strip() or counted(unit) else None
    if kind == "count":
        return _count_factor(unit)
    name = unit_of(unit, kind)
    return None if name is None else _UNITS[kind][1][name]


def counted(word: str) -> str | None:
    """Return what a word counts, such as ``roll`` or ``piece``; None where it counts nothing.

    Examples
    --------
    >>> counted("Stk."), counted("Rollen"), counted("kg")
    ('piece', 'roll', None)
    """
    return words("counted").get(fold(word))


def _count_factor(unit: str) -> float | None:
    """Return the counts a metre in one count of this unit."""
    plain = _AROUND_SLASH.sub("/", fold(unit))
    if plain in _bare_counts():
        return 1.0 / LENGTHS_M["in"]
    if inverse := _INVERSE.match(plain):
        return _per_length(inverse["unit"])
    for noun in ("", *words("count_noun")):
        if plain.startswith(noun) and (rest := plain[len(noun) :].strip()):
            for per in sorted(words("per"), key=len, reverse=True):
                if rest.startswith(per):
                    found = _per_length(rest[len(per) :].strip())
                    if found is not None:
                        return found
    return None


def _bare_counts() -> Mapping[str, str]:
    return words("count_unit")


def _per_length(text: str) -> float | None:
    """One over a length such as ``inch``, ``25.4 mm`` or ``10 cm``."""
    numbered = _PER_NUMBER.match(text)
    many = float(numbered["number"].replace(",", ".")) if numbered else 1.0
    name = unit_of(numbered["unit"] if numbered else text, "length")
    return None if name is None or not many else 1.0 / (many * LENGTHS_M[name])


follows_words(unit_of.cache_clear)
follows_words(unit_factor.cache_clear)
