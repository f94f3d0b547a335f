"""Candidates beside the grid: the sizes of the line itself with others, and cloth on hand."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.rounding import SLACK
from meshcore.units import METRES_PER_INCH
from meshcore.weave.cloth import ClothColumns, WeaveRule
from meshcore.weave.geometry.specifications import specifications
from meshcore.weave.search.grid import (
    AS_ASKED,
    ON_HAND,
    PROPERTIES,
    USUAL_COUNTS_PER_IN,
    Grid,
    joined,
    judged,
    wires,
)
from meshcore.weave.search.meant import Meaning
from meshcore.weave.specification.series import (
    customary_wires,
    distinct,
    nearest_of,
    standard_apertures,
    standard_wires,
)

#: A size that was reckoned from others is rounded more often than one that was typed [-].
_ROUNDED = 10.0
#: A grid of no candidate.
NOTHING = Grid(
    specifications(np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0)),
    np.zeros(0, dtype=np.int64),
    np.zeros((len(PROPERTIES), 0)),
    np.zeros(0),
)


def as_asked(
    asked: ClothColumns, rules: tuple[tuple[str, WeaveRule], ...], codes: tuple[int, ...]
) -> Grid:
    """Each size asked for with every other of the grid, so that a held size holds exactly."""
    aperture, wire, pitch = (
        column[np.isfinite(column)]
        for column in (asked.aperture_m, asked.wire_diameter_m, asked.pitch_m)
    )
    some_wires = distinct(np.concatenate([customary_wires(), standard_wires()]))
    some_pitches = METRES_PER_INCH / np.array(USUAL_COUNTS_PER_IN)
    with_wire, with_aperture = (
        np.append(some_wires, wire),
        np.append(standard_apertures(), aperture),
    )
    sizes = [
        (with_wire, with_wire + size) for size in aperture
    ] + [
        (with_wire, np.full(len(with_wire), size)) for size in pitch
    ] + [
        (np.full(len(others), size), others)
        for size in wire
        for others in (with_aperture + size, some_pitches)
    ]  # fmt: skip
    if not sizes:
        return NOTHING
    all_wires, all_pitches = (np.concatenate(column) for column in zip(*sizes, strict=True))
    open_mesh = all_wires < all_pitches
    all_wires, all_pitches = all_wires[open_mesh], all_pitches[open_mesh]
    series = np.full(len(all_wires), AS_ASKED, dtype=np.int64)
    return joined([judged(rules, code, all_wires, all_pitches, series) for code in codes])


def as_meant(
    meant: Sequence[Meaning], rules: tuple[tuple[str, WeaveRule], ...], codes: tuple[int, ...]
) -> Grid:
    """Cloth that sizes may have been meant as, of what a list has: a wire with a count or aperture.

    A wire of another gauge is a size of its own, and needs no list.
    """
    wire = np.array([one.wire_m for one in meant])
    pitch = np.array([one.pitch_m for one in meant])
    known_wires = distinct(np.concatenate([customary_wires(), wires()]))
    listed = np.array([one.by_gauge for one in meant], dtype=np.bool_) | (
        _is_among(wire, known_wires)
        & (
            _is_among(pitch - wire, standard_apertures())
            | _is_among(pitch, METRES_PER_INCH / np.array(USUAL_COUNTS_PER_IN)[::-1])
        )
    )
    if not listed.any():
        return NOTHING
    series = np.full(int(listed.sum()), AS_ASKED, dtype=np.int64)
    return joined([judged(rules, code, wire[listed], pitch[listed], series) for code in codes])


def _is_among(sizes: FloatArray, known: FloatArray) -> BoolArray:
    same: BoolArray = np.abs(nearest_of(known, sizes) / sizes - 1.0) < SLACK * _ROUNDED
    return same


def stocked(
    on_hand: Sequence[tuple[int, float, float]],
    rules: tuple[tuple[str, WeaveRule], ...],
    codes: tuple[int, ...],
) -> Grid:
    """Cloth on hand, of the weaves to choose from."""
    parts = [
        judged(rules, weave, np.array([wire]), np.array([pitch]), np.array([ON_HAND]))
        for weave, wire, pitch in on_hand
        if weave in codes
    ]
    return joined(parts) if parts else NOTHING
