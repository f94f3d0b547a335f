"""Building blocks for weave rules: a value held against a limit, and how both are written."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.weave.cloth import Judgement

#: Lengths below this are written in micrometres, as the trade does for fine cloth [m].
MICROMETRES_BELOW_M = 0.1e-3


def at_most(
    applies: BoolArray, measured: FloatArray, limit: FloatArray | float, unit: str, advice: str
) -> Judgement:
    """Hold `measured` against an upper limit.

    Parameters
    ----------
    applies
        Lines that the rule speaks of.
    measured
        Value found, one a line, in `unit`.
    limit
        Greatest value allowed, one a line or one for all; NaN where there is none.
    unit
        ``"m"`` for lengths, empty for ratios.
    advice
        What a line outside the limit should do about it.

    Returns
    -------
    The judgement; the margin is the part of the limit that is left.

    Examples
    --------
    >>> found = at_most(np.array([True]), np.array([0.45]), 0.50, "", "Take a lighter wire.")
    >>> found.margin.round(3).tolist()
    [0.1]
    """
    limits = np.broadcast_to(np.asarray(limit, dtype=np.float64), measured.shape)
    return Judgement(applies, measured, limits, 1.0 - measured / limits, unit, advice)


def at_least(
    applies: BoolArray, measured: FloatArray, limit: FloatArray | float, unit: str, advice: str
) -> Judgement:
    """Hold `measured` against a lower limit; parameters as for `at_most`.

    Returns
    -------
    The judgement; the margin is the excess over the limit, as a share of it.

    Examples
    --------
    >>> found = at_least(np.array([True]), np.array([1.6]), 2.0, "", "Take a lighter wire.")
    >>> found.margin.round(3).tolist()
    [-0.2]
    """
    limits = np.broadcast_to(np.asarray(limit, dtype=np.float64), measured.shape)
    return Judgement(applies, measured, limits, measured / limits - 1.0, unit, advice)


def length_text(metres: float) -> str:
    """Length as the trade writes it: micrometres when fine, else millimetres.

    Examples
    --------
    >>> length_text(0.635e-3), length_text(25e-6), length_text(0.05)
    ('0.635 mm', '25 µm', '50 mm')
    """
    if abs(metres) < MICROMETRES_BELOW_M:
        return f"{metres * 1e6:.4g} µm"
    return f"{metres * 1e3:.6g} mm" if abs(metres) >= 1.0 else f"{metres * 1e3:.4g} mm"


def value_text(value: float, unit: str) -> str:
    """Value with its unit, lengths by `length_text`.

    Examples
    --------
    >>> value_text(0.25, ""), value_text(0.019, "m"), value_text(12.5, "kg")
    ('0.25', '19 mm', '12.5 kg')
    """
    if unit == "m":
        return length_text(value)
    return f"{value:.4g} {unit}".rstrip()
