"""Building blocks for weave rules: a value held against a limit, and how both are written."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.weave.cloth import Judgement

#: Lengths below this are written in micrometres, as the trade does for fine cloth [m].
MICROMETRES_BELOW_M = 0.1e-3


def by_code(values: FloatArray, codes: IntArray) -> FloatArray:
    """Look up one value a line.

    Parameters
    ----------
    values
        One value a code.
    codes
        One code a line; -1 is the last of `values`.

    Returns
    -------
    One value a line; a read-only view of a single number where all lines have one code, as most
    lists do, which keeps a rule over a million lines cheap.

    Examples
    --------
    >>> by_code(np.array([0.5, 0.4]), np.array([1, 0, 1])).tolist()
    [0.4, 0.5, 0.4]
    """
    if len(codes) and (code := int(codes.min())) == int(codes.max()):
        return np.broadcast_to(values[code], codes.shape)
    by_line: FloatArray = values[codes]
    return by_line


def at_most(
    measured: FloatArray,
    limit: FloatArray | float,
    unit: str,
    advice: str,
    applies: BoolArray | None = None,
) -> Judgement:
    """Hold `measured` against an upper limit.

    Parameters
    ----------
    measured
        Value found, one a line, in `unit`.
    limit
        Greatest value allowed, one a line or one for all; NaN where there is none.
    unit
        ``"m"`` for lengths, empty for ratios.
    advice
        What a line outside the limit should do about it.
    applies
        Lines that the rule speaks of; without it, all that have a limit.

    Returns
    -------
    The judgement; the margin is the part of the limit that is left.

    Examples
    --------
    >>> judged = at_most(np.array([0.45]), 0.50, "", "Take a lighter wire.")
    >>> judged.margin.round(3).tolist()
    [0.1]
    """
    limits, speaks = _limits(measured, limit, applies)
    if not speaks.any():
        return _silent(measured, unit, advice)
    margin = measured / limits
    np.subtract(1.0, margin, out=margin)
    return Judgement(speaks, measured, limits, margin, unit, advice)


def at_least(
    measured: FloatArray,
    limit: FloatArray | float,
    unit: str,
    advice: str,
    applies: BoolArray | None = None,
) -> Judgement:
    """Hold `measured` against a lower limit; parameters as for `at_most`.

    Returns
    -------
    The judgement; the margin is the excess over the limit, as a share of it.

    Examples
    --------
    >>> judged = at_least(np.array([1.6]), 2.0, "", "Take a lighter wire.")
    >>> judged.margin.round(3).tolist()
    [-0.2]
    """
    limits, speaks = _limits(measured, limit, applies)
    if not speaks.any():
        return _silent(measured, unit, advice)
    margin = measured / limits
    margin -= 1.0
    return Judgement(speaks, measured, limits, margin, unit, advice)


def _limits(
    measured: FloatArray, limit: FloatArray | float, applies: BoolArray | None
) -> tuple[FloatArray, BoolArray]:
    limits = np.broadcast_to(np.asarray(limit, dtype=np.float64), measured.shape)
    if applies is not None:
        return limits, applies
    if limits.size and not any(limits.strides):
        return limits, np.broadcast_to(~np.isnan(limits.flat[0]), measured.shape)
    return limits, ~np.isnan(limits)


def _silent(measured: FloatArray, unit: str, advice: str) -> Judgement:
    """Judgement of a rule that speaks of no line; takes no memory whatever the lines."""
    nothing = np.broadcast_to(np.float64(np.nan), measured.shape)
    nowhere = np.broadcast_to(np.False_, measured.shape)
    return Judgement(nowhere, measured, nothing, nothing, unit, advice)


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
