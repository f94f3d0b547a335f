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
from meshcore.weave.specification.agreement import agree, count_and_pitch_differ
from meshcore.weave.specification.matching import NO_SERIES
from meshcore.weave.specification.pairs import (
    BASES,
    FIELDS,
    NOMINAL_PAIRS,
    Sizes,
    all_physical,
    physical,
    solve,
)
from meshcore.weave.specification.telling import (
    tell_altered,
    tell_by_difference,
    tell_coarse,
    tell_open,
)

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
    mass_low, mass_high
        Least and greatest mass that the rounding of that pair leaves open, as shares of the
        nominal; 1 where it leaves none worth a price range.
    """

    pitch_m: FloatArray
    wire_diameter_m: FloatArray
    aperture_m: FloatArray
    open_area: FloatArray
    basis: IntArray
    mass_low: FloatArray
    mass_high: FloatArray


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
    Sizes are nominal: a count, a whole millimetre and a wire that was typed mean themselves. Where
    three or more are given and the typed pair gives the others as they were typed, it stands.
    Otherwise, and where no wire was typed, the sizes are held against the customary and standard
    series, and the one cloth within their rounding is meant. Failing that, they must agree within
    the rounding of what was typed; aperture with wire goes before wire with open area.

    A whole mesh count that the others contradict but round to stands for theirs (metric cloth is
    sold so), and the line is put up for review.

    What two sizes leave open, because one is only known by their difference, is priced as a
    range, and asked where the mass is open by more than ``OPEN_TO_ASK``.

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
        done.mass_low[rows], done.mass_high[rows] = part.mass_low, part.mass_high
    return done


def _at(column: QuantityColumn, rows: IntArray) -> QuantityColumn:
    return QuantityColumn(
        column.values[rows], column.half_width[rows], column.given[rows], column.texts[rows]
    )


def _refused(lines: int) -> Specification:
    pitch, wire, aperture, area = np.full((4, lines), np.nan)
    none = np.full(lines, NO_BASIS, dtype=np.int64)
    return Specification(pitch, wire, aperture, area, none, np.ones(lines), np.ones(lines))


def _alike(
    columns: Mapping[str, QuantityColumn], rows: IntArray | None, log: MessageLog
) -> Specification:
    """Complete lines that all give the same fields; `rows` are their numbers, None for all."""
    lines = log.lines if rows is None else len(rows)
    fields = tuple(columns)
    bases = [basis for basis in BASES if set(basis) <= set(fields)]
    if not bases:
        numbers = _numbers(rows, lines)
        log.add(numbers, refusals.too_few(fields))
        if len(fields) > 1:
            odd = np.flatnonzero(count_and_pitch_differ(columns))
            told = [refusals.count_and_pitch(columns, row) for row in odd.tolist()]
            log.add_each(numbers[odd], told)
        return _refused(lines)
    if fields not in NOMINAL_PAIRS:
        with np.errstate(all="ignore"):
            return _checked(columns, _numbers(rows, lines), log)
    with np.errstate(all="ignore"):
        sizes = solve(bases[0], {field: column.values for field, column in columns.items()})
    code = np.int64(BASES.index(bases[0]))
    exact = np.broadcast_to(np.float64(1.0), (lines,))
    if all_physical(sizes):
        return Specification(*sizes, np.broadcast_to(code, (lines,)), exact, exact)
    bad = ~physical(sizes)
    _refuse(bad, np.full(lines, code), None, columns, _numbers(rows, lines), log)
    return _blanked(bad, sizes, np.full(lines, code), exact, exact)


def _numbers(rows: IntArray | None, lines: int) -> IntArray:
    return np.arange(lines) if rows is None else rows


def _checked(
    columns: Mapping[str, QuantityColumn], rows: IntArray, log: MessageLog
) -> Specification:
    """Complete lines whose sizes have to be held against one another, or against the series."""
    agreement = agree(columns)
    bad = ~(physical(agreement.sizes) & agreement.agrees)
    _refuse(bad, agreement.basis, agreement.agrees, columns, rows, log)
    named = ~bad & (agreement.series != NO_SERIES)
    told = named & agreement.moved
    log.add_each(
        rows[told],
        [
            refusals.named_cloth(columns, row, agreement.sizes, int(agreement.series[row]))
            for row in np.flatnonzero(told).tolist()
        ],
    )
    plain = ~bad & ~named
    if len(columns) > len(BASES[0]):
        for code in np.unique(agreement.basis[plain]).tolist():
            used = plain & ~agreement.rounded_count & (agreement.basis == code)
            log.add(rows[used], refusals.best_pair(tuple(columns), BASES[code]))
    rounded = np.flatnonzero(plain & agreement.rounded_count)
    log.add_each(
        rows[rounded],
        [refusals.rounded_count(columns, row, agreement.sizes) for row in rounded.tolist()],
    )
    tell_coarse(columns, rows, agreement, plain, log)
    tell_altered(columns, rows, agreement.sizes, ~bad, log)
    asked, spread = tell_open(columns, rows, agreement, plain, log)
    low, high = (np.where(spread, m, 1.0) for m in (agreement.mass_low, agreement.mass_high))
    thin, left, least, most = tell_by_difference(
        columns, rows, agreement, ~bad & ~asked & ~spread, plain, log
    )
    low, high = np.where(left, least, low), np.where(left, most, high)
    return _blanked(bad | asked | thin, agreement.sizes, agreement.basis, low, high)


def _refuse(
    bad: BoolArray,
    basis: IntArray,
    agrees: BoolArray | None,
    columns: Mapping[str, QuantityColumn],
    rows: IntArray,
    log: MessageLog,
) -> None:
    """Say why of each line that cannot be completed."""
    if not bad.any():
        return
    unread = np.isnan([column.values for column in columns.values()]).any(axis=0)
    numbers = np.flatnonzero(bad & ~unread)
    with np.errstate(all="ignore"):
        messages = [
            refusals.impossible_alone(columns, row)
            or _at_odds(columns, row, BASES[basis[row]], agrees is None or bool(agrees[row]))
            for row in numbers.tolist()
        ]
    log.add_each(rows[numbers], messages)


def _blanked(
    bad: BoolArray, sizes: Sizes, basis: IntArray, low: FloatArray, high: FloatArray
) -> Specification:
    if not bad.any():
        return Specification(*sizes, basis, low, high)
    blanked = Sizes(*(np.where(bad, np.nan, size) for size in sizes))
    low, high = np.where(bad, 1.0, low), np.where(bad, 1.0, high)
    return Specification(*blanked, np.where(bad, NO_BASIS, basis), low, high)


def _at_odds(
    columns: Mapping[str, QuantityColumn], row: int, basis: tuple[str, str], agrees: bool
) -> Message:
    if agrees:
        return refusals.impossible_together(columns, row, basis)
    return refusals.contradiction(columns, row, basis)
