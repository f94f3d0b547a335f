"""The unit in a heading: in brackets, or bare after the name."""

from __future__ import annotations

import re
from functools import lru_cache

from meshcore.reading.tables.heading_words import counted_words, folded
from meshcore.reading.texts import tidy

#: Unit as a heading writes it, folded → the unit as the reader of cells knows it.
_LENGTHS: dict[str, str] = {
    "mm": "mm", "cm": "cm", "m": "m", "µm": "µm", "μm": "µm", "um": "µm", "µ": "µm", "μ": "µm",
    "micron": "µm", "microns": "µm", "in": "in", "ins": "in", "inch": "in", "inches": "in",
    '"': "in", "''": "in", "″": "in", "”": "in", "ft": "ft", "feet": "ft", "foot": "ft",
    "'": "ft", "′": "ft", "’": "ft", "yd": "yd", "yds": "yd", "yards": "yd", "thou": "thou",
    "mil": "thou", "mils": "thou", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "mtr": "m", "mtrs": "m", "lfm": "m", "ml": "m", "zoll": "in", "fuss": "ft", "fuß": "ft",
    "pouce": "in", "pouces": "in", "pied": "ft", "pieds": "ft", "pulgada": "in",
    "pulgadas": "in", "pulg": "in", "pie": "ft", "pies": "ft", "lm": "m",
}  # fmt: skip
_SHARES = {"%": "%", "percent": "%", "pct": "%", "prozent": "%"}
_GAUGES = {"swg": "SWG", "iswg": "SWG", "awg": "AWG", "bwg": "BWG", "b&s": "AWG"}
_COUNTED = frozenset({"roll", "strip", "piece"})
_PER = r"(?:per|/|je|pro|par|por|p\.?|1/|auf)"
_COUNT = re.compile(
    rf"^\s*(?:{_PER}\s*)(?:(?:lin(?:ear|eal)?\.?|running)\s*)?"
    r"(?P<length>in|ins|inch|inches|\"|''|″|zoll|pouce|pouces|pulgada|pulg|cm|mm|m)\.?$"
)
_COUNTED_NOUN = re.compile(r"\s*(?:mesh(?:es)?|openings?|maschen|mailles?|mallas?|hilos)\s*")
_BRACKETED = re.compile(r"^(?P<name>.*?)\s*[\[({](?P<unit>[^\])}]*)[\])}]\s*$")
_TAIL = re.compile(r"^(?P<name>.*?\S)(?:[\s,;:/]+|(?<=\w)(?=[\"'″]))(?:in\s+|en\s+)?(?P<unit>\S+)$")


@lru_cache(maxsize=4096)
def unit_word(text: str) -> str:
    """Return the unit that a text names, as cells are read with; empty if it names none.

    Examples
    --------
    >>> unit_word("Zoll"), unit_word("per inch"), unit_word("/cm"), unit_word("SWG")
    ('in', '/ in', '/ cm', 'SWG')
    >>> unit_word("rolls"), unit_word("m²"), unit_word("see note")
    ('roll', 'm2', '')
    """
    plain = tidy(text).casefold().strip(" .:").removeprefix("in ").removeprefix("en ").strip()
    plain = plain or tidy(text).casefold().strip(" .:")
    for table in (_LENGTHS, _SHARES, _GAUGES):
        if plain in table:
            return table[plain]
    count = _COUNT.match(_COUNTED_NOUN.sub("", plain))
    if count:
        return f"/ {_LENGTHS[count['length']]}"
    if plain in _COUNTED:
        return plain
    return counted_words().get(folded(plain)) or AMOUNTS.get(folded(plain), "")


#: Units of an amount that is no count of pieces, folded → its short name.
AMOUNTS: dict[str, str] = {
    "m2": "m2", "m²": "m2", "sqm": "m2", "sq m": "m2", "qm": "m2", "square metres": "m2",
    "square meters": "m2", "ft2": "ft2", "sqft": "ft2", "sq ft": "ft2", "sf": "ft2",
    "square feet": "ft2", "kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg",
    "lb": "lb", "lbs": "lb", "pounds": "lb", "t": "t", "ton": "t", "tonne": "t", "tonnes": "t",
    "to": "t", "g": "g", "lin m": "m", "linear m": "m", "linear metres": "m", "rm": "m",
    "running metres": "m", "lfdm": "m", "lfd m": "m", "lin ft": "ft", "linear feet": "ft",
    "lf": "ft", "metros": "m", "mètres": "m", "metres lineaires": "m", "mts": "m", "metro": "m",
}  # fmt: skip


@lru_cache(maxsize=4096)
def split_unit(heading: str) -> tuple[str, str, str]:
    """Split a heading into its name, its unit, and what else stood in brackets.

    Examples
    --------
    >>> split_unit("Wire (in)"), split_unit("Aperture mm"), split_unit("Mesh per inch")
    (('wire', 'in', ''), ('aperture', 'mm', ''), ('mesh', '/ in', ''))
    >>> split_unit("Maschen/Zoll"), split_unit("SWG"), split_unit("Width (see drawing)")
    (('maschen', '/ in', ''), ('swg', '', ''), ('width', '', 'see drawing'))
    """
    plain = tidy(heading).casefold().rstrip(" :")
    bracketed = _BRACKETED.match(plain)
    if bracketed:
        inside = bracketed["unit"].strip()
        unit = unit_word(inside)
        name = bracketed["name"]
        if unit:
            return folded(name), unit, ""
        outer = split_unit(name)
        return outer[0], outer[1], inside
    per = re.match(
        rf"^(?P<name>.*?\w)\s*(?P<unit>(?:/|\b{_PER}\s)\s*[^/]+)$", plain.replace("_", " ")
    )
    if per and unit_word(per["unit"]):
        return folded(per["name"]), unit_word(per["unit"]), ""
    tail = _TAIL.match(plain.replace("_", " "))
    if tail:
        unit = unit_word(tail["unit"])
        if unit and (unit not in ("roll", "strip", "piece") or len(tail["unit"]) > 1):
            return folded(tail["name"]), unit, ""
    return folded(plain), "", ""
