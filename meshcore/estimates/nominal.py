"""Sizes that are called by a rounded name, and mean the one that is stocked."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from meshcore.enquiry import ROLL
from meshcore.messages import Message, MessageLog
from meshcore.reading.tables.intake import EnquiryColumns
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.rolls import nominal_widths


def with_nominal_widths(
    read: EnquiryColumns, policy: SupplyPolicy, log: MessageLog
) -> EnquiryColumns:
    """Take a roll's width for the stock width that it rounds: 1.22 m for 48 in."""
    width = read.width
    named = nominal_widths(width.values, width.half_width, np.array(policy.widths_m))
    rows = np.flatnonzero((read.form == ROLL) & ~np.isnan(named))
    if not len(rows):
        return read
    for row in rows.tolist():
        said = f"as rounded, the stock width of {named[row] * 1e3:.6g} mm, which is taken."
        log.add([row], Message("width", str(width.texts[row]), said, "note", code="width.nominal"))
    values = width.values.copy()
    values[rows] = named[rows]
    return replace(read, width=replace(width, values=values))
