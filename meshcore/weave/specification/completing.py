"""Any two of count, pitch, aperture, wire and open area give the rest.

Count and pitch are one size written two ways, so four sizes are free in two: pitch p, wire d,
aperture w = p − d and open area A = (w/p)². Every pair is a closed form.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.messages import Message, MessageLog
from meshcore.reading.columns import QuantityColumn
from meshcore.weave.specification import refusals
from meshcore.weave.specification.agreement import Agreement, agree
from meshcore.weave.specification.pairs import BASES, FIELDS, Sizes, all_physical, physical, solve

#: Relative change from the size typed to the size used that is put up for review, though the typed
#: digits allow it. A choice, no source: 2 % of the wire is 4 % of the mass.
WORTH_A_LOOK = 0.02

#: Basis of a line that is refused.
NO_BASIS = -1


@dataclass(frozen=True, slots=True)
class Specification:
    """Complete specification of each line; arrays of one length.

    Parameters
    ----------
    pitch_m, wire_diameter_m, aperture_m
        Sizes [m]; NaN where the line is refused. They may share memory with what was read and
        are not to be changed.
    open_area
        Share of the area that is open [-].
    basis
        Index into ``BASES`` of the pair that fixed the sizes; -1 where the line is refused.
    """

    pitch_m: FloatArray
    wire_diameter_m: FloatArray
    aperture_m: FloatArray
    open_area: FloatArray
    basis: IntArray


def complete(readings: Mapping[str, QuantityColumn], log: MessageLog) -> Specification:
    """Complete the specification of each line, or refuse it.

    Parameters
    ----------
    readings
        Columns as read, by field: ``mesh_count`` [1/m], ``pitch``, ``aperture``,
        ``wire_diameter`` [m], ``open_area`` [-]. A field may be missing altogether.
    log
        Receives a refusal for each line that is short of a size, contradicts itself or is not
        physical, and a note for each that gives more than two sizes. A size that was typed but
        could not be read has been refused by its reader, and is not refused again.

    Returns
    -------
    The specification, of the length of `log`.

    Notes
    -----
    Where three or more are given, they must agree within the rounding of what was typed: each
    pair is carried to its least and greatest with its half widths, which is exact since every
    size rises or falls steadily with each of the pair. Of the pairs that agree, the one used
    has the smallest relative uncertainty of d²/p, which the mass follows; where two come close
    it is the one that the trade names first, count and wire before the rest.

    A whole mesh count is counted, not measured, and is exact; if the others contradict it but
    agree with it as a rounded count (metric cloth is sold so), they stand and the line is put up
    for review.

    Examples
    --------
    >>> from meshcore.reading.columns import read_column
    >>> log = MessageLog(1)
    >>> done = complete({"mesh_count": read_column(["10 / in"], "count", "mesh_count", log),
    ...                  "wire_diameter": read_column(["0.025 in"], "length", "wire", log)}, log)
    >>> done.aperture_m.round(6).tolist(), BASES[done.basis[0]]
    ([0.001905], ('mesh_count', 'wire_diameter'))
    """
    columns = {f: readings[f] for f in FIELDS if f in readings and readings[f].given.any()}
    if all(column.given.all() for column in columns.values()):
        return _alike(columns, None, log)
    pattern = np.zeros(log.lines, dtype=np.uint8)
    for bit, column in enumerate(columns.values()):
        pattern |= column.given.astype(np.uint8) << bit
    done = _refused(log.lines)
    for code in np.flatnonzero(np.bincount(pattern)).tolist():
        rows = np.flatnonzero(pattern == code)
        present = {f: _at(c, rows) for bit, (f, c) in enumerate(columns.items()) if code >> bit & 1}
        part = _alike(present, rows, log)
        done.pitch_m[rows], done.wire_diameter_m[rows] = part.pitch_m, part.wire_diameter_m
        done.aperture_m[rows], done.open_area[rows] = part.aperture_m, part.open_area
        done.basis[rows] = part.basis
    return done


def _at(column: QuantityColumn, rows: IntArray) -> QuantityColumn:
    return QuantityColumn(
        column.values[rows], column.half_width[rows], column.given[rows], column.texts[rows]
    )


def _refused(lines: int) -> Specification:
    pitch, wire, aperture, area = np.full((4, lines), np.nan)
    return Specification(pitch, wire, aperture, area, np.full(lines, NO_BASIS, dtype=np.int64))


def _alike(
    columns: Mapping[str, QuantityColumn], rows: IntArray | None, log: MessageLog
) -> Specification:
    """Complete lines that all give the same fields; `rows` are their numbers, None for all."""
    lines = log.lines if rows is None else len(rows)
    fields = tuple(columns)
    bases = [basis for basis in BASES if set(basis) <= set(fields)]
    if not bases:
        log.add(_numbers(rows, lines), refusals.too_few(fields))
        return _refused(lines)
    if len(fields) > len(bases[0]):
        with np.errstate(all="ignore"):
            return _checked(columns, _numbers(rows, lines), log)
    with np.errstate(all="ignore"):
        sizes = solve(bases[0], {field: column.values for field, column in columns.items()})
    code = np.int64(BASES.index(bases[0]))
    if all_physical(sizes):
        return Specification(*sizes, np.broadcast_to(code, (lines,)))
    return _without(
        ~physical(sizes), sizes, np.full(lines, code), None, columns, _numbers(rows, lines), log
    )


def _numbers(rows: IntArray | None, lines: int) -> IntArray:
    return np.arange(lines) if rows is None else rows


def _checked(
    columns: Mapping[str, QuantityColumn], rows: IntArray, log: MessageLog
) -> Specification:
    """Complete lines that give more sizes than they need, if these agree."""
    found = agree(columns)
    bad = ~(physical(found.sizes) & found.agrees)
    for code in np.unique(found.basis[~bad]).tolist():
        used = ~bad & ~found.rounded_count & (found.basis == code)
        log.add(rows[used], refusals.best_pair(tuple(columns), BASES[code]))
    rounded = np.flatnonzero(~bad & found.rounded_count)
    log.add_each(
        rows[rounded],
        [refusals.rounded_count(columns, row, found.sizes) for row in rounded.tolist()],
    )
    _tell_coarse(columns, rows, found, ~bad, log)
    return _without(bad, found.sizes, found.basis, found, columns, rows, log)


def _tell_coarse(
    columns: Mapping[str, QuantityColumn],
    rows: IntArray,
    found: Agreement,
    good: BoolArray,
    log: MessageLog,
) -> None:
    """Put up for review the sizes that agree, yet are used at a value well off the typed one."""
    for field, column in columns.items():
        off = np.abs(found.sizes.of(field) / column.values - 1.0) > WORTH_A_LOOK
        said = found.rounded_count if field == "mesh_count" else np.zeros_like(good)
        coarse = np.flatnonzero(good & off & ~said)
        log.add_each(
            rows[coarse],
            [
                refusals.coarse(columns, row, field, BASES[found.basis[row]], found.sizes)
                for row in coarse.tolist()
            ],
        )


def _without(
    bad: BoolArray,
    sizes: Sizes,
    basis: IntArray,
    found: Agreement | None,
    columns: Mapping[str, QuantityColumn],
    rows: IntArray,
    log: MessageLog,
) -> Specification:
    """Blank the bad lines and say why of each."""
    if not bad.any():
        return Specification(*sizes, basis)
    unread = np.isnan([column.values for column in columns.values()]).any(axis=0)
    numbers = np.flatnonzero(bad & ~unread)
    agrees = None if found is None else found.agrees
    with np.errstate(all="ignore"):
        messages = [
            refusals.impossible_alone(columns, row)
            or _at_odds(columns, row, BASES[basis[row]], agrees is None or bool(agrees[row]))
            for row in numbers.tolist()
        ]
    log.add_each(rows[numbers], messages)
    blanked = Sizes(*(np.where(bad, np.nan, size) for size in sizes))
    return Specification(*blanked, np.where(bad, NO_BASIS, basis))


def _at_odds(
    columns: Mapping[str, QuantityColumn], row: int, basis: tuple[str, str], agrees: bool
) -> Message:
    if agrees:
        return refusals.impossible_together(columns, row, basis)
    return refusals.contradiction(columns, row, basis)
