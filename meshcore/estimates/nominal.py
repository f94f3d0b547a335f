"""Sizes that are called by a rounded name, and mean the one that is stocked."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.enquiry import ROLL
from meshcore.messages import Message, MessageLog
from meshcore.reading.tables.intake import EnquiryColumns
from meshcore.rounding import SLACK
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.rolls import nominal_widths

#: Whole centimetres are how widths are rounded, in whatever unit they are written: 1220 mm is
#: 1.22 m
#: (common practice, no source) [m].
_CENTIMETRE_M = 0.01


def rounded_to(width_m: FloatArray, half_m: FloatArray) -> FloatArray:
    """Half of the digit that each width is rounded to [m]: at least that of a whole centimetre.

    Examples
    --------
    >>> rounded_to(np.array([1.22, 1.221]), np.array([5e-4, 5e-4])).tolist()
    [0.005, 0.0005]
    """
    steps = width_m / _CENTIMETRE_M
    with np.errstate(invalid="ignore"):
        whole = np.abs(steps - np.round(steps)) <= SLACK * steps
    half: FloatArray = np.where(whole, np.fmax(half_m, 0.5 * _CENTIMETRE_M), half_m)
    return half


def with_nominal_widths(
    read: EnquiryColumns, policy: SupplyPolicy, log: MessageLog
) -> EnquiryColumns:
    """Take a roll's width for the stock width that it rounds: 1.22 m for 48 in."""
    width = read.width
    half = rounded_to(width.values, width.half_width)
    named = nominal_widths(width.values, half, np.array(policy.widths_m))
    rows = np.flatnonzero((read.form == ROLL) & ~np.isnan(named))
    if not len(rows):
        return read
    for row in rows.tolist():
        said = f"as rounded, the stock width of {named[row] * 1e3:.6g} mm, which is taken."
        log.add([row], Message("width", str(width.texts[row]), said, "note", code="width.nominal"))
    values = width.values.copy()
    values[rows] = named[rows]
    return replace(read, width=replace(width, values=values))
