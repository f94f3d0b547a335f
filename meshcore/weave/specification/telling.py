"""What is said of sizes that are used otherwise than typed, or left open by their rounding."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.messages import MessageLog, Severity
from meshcore.reading.columns import QuantityColumn
from meshcore.weave.specification import refusals
from meshcore.weave.specification.agreement import Agreement
from meshcore.weave.specification.off import size_off
from meshcore.weave.specification.pairs import BASES, Sizes
from meshcore.weave.specification.series import (
    customary_wires,
    distinct,
    nearest_of,
    standard_wires,
)
from meshcore.weave.specification.stated import half_widths, is_standard, stated

#: Greatest over least mass that the rounding of two sizes may leave, less one, and still be only
#: noted: 5 % either way is what weighing a roll against its nominal mass shows (common practice, no
#: source). It is in the price range all the same, from `OPEN_IN_RANGE` on, which is less than the
#: wire's own tolerance makes (a choice).
OPEN_AS_EXACT, OPEN_IN_RANGE = 0.10, 0.02
#: Beyond this the line is asked: no price range helps where a quarter either way is open. A choice.
OPEN_TO_ASK = 0.50


#: Relative change of a standard aperture that is worth a word: less is how it is rounded in another
#: unit, as 0.14 mm for 0.0055 in. A choice, no source.
_WELL_ALTERED = 0.009


def tell_altered(
    columns: Mapping[str, QuantityColumn],
    rows: IntArray,
    sizes: Sizes,
    good: BoolArray,
    log: MessageLog,
) -> None:
    """Put up for review an aperture of ISO 565 that was typed and is used as another."""
    if "aperture" not in columns:
        return
    typed = columns["aperture"].values
    altered = is_standard("aperture", typed) & (
        np.abs(sizes.aperture / typed - 1.0) > _WELL_ALTERED
    )
    altered &= good & ~size_off("aperture", sizes, typed)
    log.add_each(
        rows[altered],
        [
            refusals.aperture_altered(columns, row, sizes)
            for row in np.flatnonzero(altered).tolist()
        ],
    )


def tell_coarse(
    columns: Mapping[str, QuantityColumn],
    rows: IntArray,
    agreement: Agreement,
    good: BoolArray,
    log: MessageLog,
) -> None:
    """Put up for review the sizes that agree, yet are used at a value well off the typed one."""
    for field, column in columns.items():
        off = size_off(field, agreement.sizes, column.values)
        said = agreement.rounded_count if field == "mesh_count" else np.zeros_like(good)
        coarse = np.flatnonzero(good & off & ~said)
        log.add_each(
            rows[coarse],
            [
                refusals.coarse(columns, row, field, BASES[agreement.basis[row]], agreement.sizes)
                for row in coarse.tolist()
            ],
        )


def tell_open(
    columns: Mapping[str, QuantityColumn],
    rows: IntArray,
    agreement: Agreement,
    good: BoolArray,
    log: MessageLog,
) -> tuple[BoolArray, BoolArray]:
    """Ask for the size that rounding leaves open, or say what range is priced; both masks."""
    # A range that begins at no mass at all is open without end.
    low, high = agreement.mass_low, agreement.mass_high
    ratio = np.where(low > 0.0, high / low, np.inf) - 1.0
    asked = good & (ratio > OPEN_TO_ASK)
    spread = good & (ratio > OPEN_IN_RANGE) & ~asked
    if not (asked | spread).any():
        return asked, spread
    meant = stated(columns).meant
    numbers = np.flatnonzero(asked | spread)
    log.add_each(
        rows[numbers],
        [
            refusals.left_open(
                columns,
                row,
                BASES[agreement.basis[row]],
                meant,
                (float(low[row]), float(high[row])),
                _severity(float(ratio[row])),
            )
            for row in numbers.tolist()
        ],
    )
    return asked, spread


#: A wire by difference is taken for a customary one this near to it [-]: sizes are rounded.
NEAR_A_WIRE = 0.015
#: Wire over pitch below which what is left between two sizes is no wire of any cloth but a slip of
#: one of them. Half of what is sleazy; a choice.
LEAST_LEFT = 0.05


def tell_by_difference(
    columns: Mapping[str, QuantityColumn],
    rows: IntArray,
    agreement: Agreement,
    good: BoolArray,
    plain: BoolArray,
    log: MessageLog,
) -> tuple[BoolArray, BoolArray, FloatArray, FloatArray]:
    """Say of a wire that nobody typed, and that is all that two sizes leave, which it may be.

    Parameters
    ----------
    columns, rows, agreement, log
        As for `tell_open`.
    good, plain
        Lines that stand, and those of them that name no cloth of the series.

    Returns
    -------
    Lines that are asked, lines that are priced as a range, and the least and greatest mass of
    those as shares: with the customary wires on either side.
    """
    none = np.zeros_like(good)
    ones = np.ones(len(good))
    if "wire_diameter" in columns or "open_area" in columns:
        return none, none, ones, ones
    wire, pitch = agreement.sizes.wire_diameter, agreement.sizes.pitch
    known = distinct(np.concatenate((customary_wires(), standard_wires())))
    rounded = np.any([half_widths(column) > 0.0 for column in columns.values()], axis=0)
    good = good & rounded  # a program that states every digit means the wire that they leave
    asked = good & (wire < LEAST_LEFT * pitch)
    off = np.abs(nearest_of(known, np.where(good, wire, known[0])) / wire - 1.0) > NEAR_A_WIRE
    open_ones = good & plain & ~asked & off
    place = np.searchsorted(known, np.where(open_ones, wire, known[0]))
    below = known[np.clip(place - 1, 0, len(known) - 1)]
    above = known[np.clip(place, 0, len(known) - 1)]
    told = np.flatnonzero(asked | open_ones).tolist()
    log.add_each(
        rows[told],
        [
            refusals.by_difference(
                columns,
                row,
                BASES[agreement.basis[row]],
                float(wire[row]),
                None if asked[row] else (float(below[row]), float(above[row])),
            )
            for row in told
        ],
    )
    low, high = np.minimum(below / wire, 1.0) ** 2, np.maximum(above / wire, 1.0) ** 2
    return asked, open_ones, np.where(open_ones, low, 1.0), np.where(open_ones, high, 1.0)


def _severity(open_by: float) -> Severity:
    if open_by > OPEN_TO_ASK:
        return "refused"
    return "review" if open_by > OPEN_AS_EXACT else "note"
