"""Texts of shapes made plain, before they are taken apart."""

from __future__ import annotations

import re

from meshcore.reading.numbers.lexing import plain
from meshcore.reading.numbers.phrases import without_tolerance

#: A stop between a word and the figures behind it, that may be their decimal point: "dia.8".
_STOP = re.compile(r"(?<=[^\W\d_øØ])\.(?=[1-9])")


def stops_parted(text: str) -> str:
    """Take a stop between a word and figures for the word's own.

    Examples
    --------
    >>> stops_parted("dia.200 mm"), stops_parted("dia.025 in")
    ('dia. 200 mm', 'dia.025 in')
    """
    return _STOP.sub(". ", text)


def points_parted(text: str) -> str:
    """Take a stop between a word and figures for a decimal point.

    Examples
    --------
    >>> points_parted("dia.8 in")
    'dia .8 in'
    """
    return _STOP.sub(" .", text)


#: A letter in brackets behind its size: "600(L) x 400(W) mm".
_LETTERED = re.compile(r"\s*\(([lwbhd])\)")


#: Which size is which, said behind them: "500 x 300 mm (WxH)".
_NAMED_BEHIND = re.compile(r"\s*\(\s*[wblhd]\s*[x×]\s*[wblhd]\s*\)")


def tidied(shape: str, dimensions: str) -> str:
    """Return a shape and its sizes as one plain text.

    Examples
    --------
    >>> tidied("disc", "dia.200 mm")
    'disc dia. 200 mm'
    """
    text = _NAMED_BEHIND.sub("", plain(stops_parted(f"{shape} {dimensions}")))
    return _LETTERED.sub(r" \1", without_tolerance(text))
