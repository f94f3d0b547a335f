"""Numbers of sieves that stand beside an aperture: "4.75 mm (No. 4)"."""

from __future__ import annotations

import re

from meshcore.units import METRES_PER_INCH

_NUMBER = r"(?:(?:u\.?s\.?|astm)\s+)?(?:no\.?|nr\.?|n°|#|sieve(?: no\.?)?)\s*(?P<number>\d{1,3})"
_SIZE = r"(?P<size>[^()#]*\d[^()#]*)"
_BESIDE = tuple(
    re.compile(pattern)
    for pattern in (rf"{_SIZE}\s*\(\s*{_NUMBER}\s*\)", rf"{_NUMBER}\s*\({_SIZE}\)")
)
#: Sieve openings times their number, over an inch: of No. 4 it is 0.75, of No. 635 0.5
#: (ASTM E11, from memory).
_LEAST_SHARE, _GREATEST_SHARE = 0.45, 0.85


def beside_a_sieve(text: str) -> tuple[str, int] | None:
    """Part an aperture from the number of the sieve beside it; None where none stands there.

    Examples
    --------
    >>> beside_a_sieve("4.75 mm (no. 4)"), beside_a_sieve("#8 (2.36 mm)")
    (('4.75 mm', 4), ('2.36 mm', 8))
    >>> beside_a_sieve("4.75 mm (0.187 in)") is None
    True
    """
    for pattern in _BESIDE:
        found = pattern.fullmatch(text)
        if found and int(found["number"]):
            return found["size"].strip(), int(found["number"])
    return None


def is_of_the_sieve(aperture_m: float, number: int) -> bool:
    """Whether an aperture [m] can be that of a sieve of this number.

    Examples
    --------
    >>> is_of_the_sieve(4.75e-3, 4), is_of_the_sieve(75e-6, 200), is_of_the_sieve(2e-3, 20)
    (True, True, False)
    """
    return _LEAST_SHARE <= aperture_m * number / METRES_PER_INCH <= _GREATEST_SHARE
