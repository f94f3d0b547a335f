"""Numbers in the reasons of verdicts, as people write them."""

from __future__ import annotations


def figure(value: float, digits: int = 3) -> str:
    """Write a number to so many digits, without powers of ten.

    Examples
    --------
    >>> figure(3770.4), figure(21.1111, 4), figure(0.0123456)
    ('3,770', '21.11', '0.0123')
    """
    return f"{float(f'{value:.{digits}g}'):,.12g}"
