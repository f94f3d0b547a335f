"""The mass of a coating beside a metal: "galvanized 40 g/m²"."""

from __future__ import annotations

import re

from meshcore.reading.numbers.lexing import tidy
from meshcore.reading.numbers.numerals import NUMBER, readings

_MASS = re.compile(
    rf"[(,;]?\s*(?:class\s+[a-d]\s+)?(?P<mass>{NUMBER})\s*g\s*/\s*m\s*(?:2|²)\s*\)?", re.IGNORECASE
)


def without_coating(text: str) -> tuple[str, float | None]:
    """Part a text into what is coated and the mass of its coating [g/m²]; None where none is said.

    Examples
    --------
    >>> without_coating("galvanized 40 g/m²"), without_coating("316L")
    (('galvanized', 40.0), ('316L', None))
    """
    plain = tidy(text)
    found = _MASS.search(plain)
    read = readings(found["mass"]) if found else ()
    if found is None or len(read) != 1:
        return plain, None
    return f"{plain[: found.start()]} {plain[found.end() :]}".strip(), read[0].value
