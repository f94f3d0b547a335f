"""Numbers in the reasons of verdicts, as people write them."""

from __future__ import annotations

import math


def figure(value: float, digits: int = 3) -> str:
    """Write a number to so many digits, without powers of ten.

    Examples
    --------
    >>> figure(3770.4), figure(21.1111, 4), figure(0.0123456)
    ('3,770', '21.11', '0.0123')
    """
    if not value or not math.isfinite(value):
        return f"{value:g}"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    return f"{round(value, places):,.12g}"
