"""Numbers as a page shows them: in plain digits, whatever their size."""

from __future__ import annotations


def plain(value: float, digits: int = 3) -> str:
    """Write a number to so many significant digits, and all those before the point.

    Examples
    --------
    >>> plain(3178.2), plain(0.0421468), plain(100000.0, 4)
    ('3178', '0.0421', '100000')
    """
    rounded_up = 10.0**digits - 0.5
    return f"{value:.0f}" if abs(value) >= rounded_up else f"{value:.{digits}g}"
