"""The mass of a coating beside a metal: "galvanized 40 g/m²"."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.reading.numbers.lexing import tidy
from meshcore.reading.numbers.numerals import NUMBER, readings

_MASS = re.compile(
    rf"[(,;]?\s*(?:class\s+[a-d]\s+)?(?P<mass>{NUMBER})\s*g\s*/\s*m\s*(?:2|²)\s*\)?", re.IGNORECASE
)
_UNIT = re.compile(r"g\s*/\s*m", re.IGNORECASE)


def without_coating(text: str) -> tuple[str, float | None]:
    """Part a text into what is coated and the mass of its coating [g/m²]; None where none is said.

    Examples
    --------
    >>> without_coating("galvanized 40 g/m²"), without_coating("316L")
    (('galvanized', 40.0), ('316L', None))
    """
    plain = tidy(text)
    # The unit is looked for first: numbers are tried at every sign, in a long cell for long.
    found = _MASS.search(plain) if _UNIT.search(plain) else None
    read = readings(found["mass"]) if found else ()
    if found is None or len(read) != 1:
        return plain, None
    return f"{plain[: found.start()]} {plain[found.end() :]}".strip(), read[0].value


_KG_IN_A_GRAM = 1e-3


def coating_masses(texts: Sequence[str]) -> FloatArray:
    """Return the mass of coating that each text states [kg/m²]; NaN where it states none.

    Examples
    --------
    >>> coating_masses(["galvanized 40 g/m²", "316L"]).tolist()
    [0.04, nan]
    """
    said = [without_coating(text)[1] for text in texts]
    return np.array([math.nan if mass is None else mass * _KG_IN_A_GRAM for mass in said])
