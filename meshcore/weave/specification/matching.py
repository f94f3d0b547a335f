"""Sizes held against the customary and standard series, to see whether they name one cloth."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.rounding import SLACK
from meshcore.weave.specification.pairs import Sizes, bases_of, extent, solve
from meshcore.weave.specification.series import (
    SERIES,
    STANDARD_SIZES,
    Cloths,
    cloths,
    nearest_of,
    standard_apertures,
    standard_wires,
)
from meshcore.weave.specification.stated import Stated, is_standard

#: Code of lines that name no cloth of any series.
NO_SERIES = -1


def name_cloth(said: Stated) -> tuple[Sizes, IntArray]:
    """Find the one cloth of a series that is within the rounding of every size stated.

    Parameters
    ----------
    said
        Sizes that fix a specification, two or more.

    Returns
    -------
    Its sizes, and the code of its series; NaN and ``NO_SERIES`` where there is none, or where
    there are several, which names none.

    Notes
    -----
    Apertures of ISO 565 with wires of R20 are asked first where such sizes were typed, or the typed
    sizes give them as they are, and the rounding holds one of each; then the series, those of a
    lower rank together and first; then the standard sizes for the other lines.
    """
    basis = bases_of(tuple(said.values))[0]
    low, high = extent(basis, said.values, said.nearest)
    lines = len(low.pitch)
    pitch, wire = np.full(lines, np.nan), np.full(lines, np.nan)
    code = np.full(lines, NO_SERIES, dtype=np.int64)
    standard_pitch, standard_wire, standard = _of_standard_sizes(basis, said)
    first = standard & typed_standard(said)
    just_pitch, just_wire, just = _just_standard(basis, said)
    standard_pitch = np.where(just, just_pitch, standard_pitch)
    standard_wire = np.where(just, just_wire, standard_wire)
    first |= just
    open_rows = ~first
    for rank in sorted({series.rank for series in SERIES}):
        series = cloths(rank)
        fitting, place = _among(series, said, low, high)
        one = open_rows & (fitting == 1)
        pitch[one], wire[one] = series.pitch[place[one]], series.wire_diameter[place[one]]
        code[one] = series.series[place[one]]
        open_rows &= fitting == 0
    one = first | (standard & open_rows)
    pitch[one], wire[one] = standard_pitch[one], standard_wire[one]
    code[one] = _listed_as(standard_pitch, standard_wire)[one]
    return _sizes(pitch, wire), code


def _listed_as(pitch: FloatArray, wire: FloatArray) -> IntArray:
    """Code of the series of the first rank that lists each cloth, or of the standard sizes."""
    known = cloths(min(series.rank for series in SERIES))
    code = np.full(len(pitch), STANDARD_SIZES, dtype=np.int64)
    first = np.searchsorted(known.pitch, pitch * (1.0 - SLACK))
    end = np.searchsorted(known.pitch, pitch * (1.0 + SLACK), side="right")
    for step in range(int((end - first).max(initial=0))):
        rows = np.flatnonzero(first + step < end)
        place = (first + step)[rows]
        same = np.abs(known.wire_diameter[place] - wire[rows]) <= SLACK * pitch[rows]
        code[rows[same]] = known.series[place[same]]
    return code


def typed_standard(said: Stated) -> BoolArray:
    """Lines of which every aperture and wire that was typed is a standard size, and some is."""
    masks = [
        is_standard(field, said.values[field])
        for field in ("aperture", "wire_diameter")
        if field in said.values
    ]
    return np.logical_and.reduce(masks) if masks else np.zeros(1, dtype=np.bool_)


def _of_standard_sizes(
    basis: tuple[str, str], said: Stated
) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Pitch and wire of the one pair of standard sizes in each line's rounding, if it is one."""
    low, high = extent(basis, said.values, said.meant)
    aperture, aperture_found = _only(standard_apertures(), *_span("aperture", said, low, high))
    drawn, wire_found = _only(standard_wires(), *_span("wire_diameter", said, low, high))
    pitch = aperture + drawn
    return pitch, drawn, aperture_found & wire_found & _fits(pitch, drawn, said)


#: Sizes that two others give come this near to the standard ones that are meant [-]: an open area
#: is mostly written to the whole per cent.
_JUST = 2e-3


def _just_standard(
    basis: tuple[str, str], said: Stated
) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Pitch and wire of the standard pair that the typed sizes give as it is: 2.5 mm and 64 %."""
    solved = solve(basis, said.values)
    # Of pitch and aperture the wire is only a difference, which their rounding leaves open.
    found = np.full(len(solved.pitch), "open_area" in basis)
    aperture = nearest_of(standard_apertures(), solved.aperture)
    wire = nearest_of(standard_wires(), solved.wire_diameter)
    for near, size in ((aperture, solved.aperture), (wire, solved.wire_diameter)):
        found &= np.abs(near / size - 1.0) <= _JUST
    pitch = aperture + wire
    return pitch, wire, found & _fits(pitch, wire, said)


def _sizes(pitch: FloatArray, wire: FloatArray) -> Sizes:
    return solve(("pitch", "wire_diameter"), {"pitch": pitch, "wire_diameter": wire})


def _among(series: Cloths, said: Stated, low: Sizes, high: Sizes) -> tuple[IntArray, IntArray]:
    """How many cloths of the series fit each line, and the place of the last that does."""
    first = np.searchsorted(series.pitch, low.pitch * (1.0 - SLACK))
    end = np.searchsorted(series.pitch, high.pitch * (1.0 + SLACK), side="right")
    fitting, place = np.zeros(len(first), dtype=np.int64), np.zeros(len(first), dtype=np.int64)
    for step in range(int((end - first).max(initial=0))):
        rows = np.flatnonzero(first + step < end)
        candidate = (first + step)[rows]
        fits = _fits(series.pitch[candidate], series.wire_diameter[candidate], said, rows)
        fitting[rows[fits]] += 1
        place[rows[fits]] = candidate[fits]
    return fitting, place


def _fits(
    pitch: FloatArray, wire: FloatArray, said: Stated, rows: IntArray | slice = slice(None)
) -> BoolArray:
    """Whether each cloth is within the rounding of what its line states."""
    return agrees_with(_sizes(pitch, wire), _at(said.values, rows), _at(said.nearest, rows))


def _at(columns: Mapping[str, FloatArray], rows: IntArray | slice) -> dict[str, FloatArray]:
    return {field: column[rows] for field, column in columns.items()}


def agrees_with(
    sizes: Sizes, values: Mapping[str, FloatArray], halves: Mapping[str, FloatArray]
) -> BoolArray:
    """Whether sizes are those stated, each within its own half width."""
    fits = np.ones(sizes.pitch.shape, dtype=np.bool_)
    for field, value in values.items():
        slack = halves[field] * (1.0 + 1e3 * SLACK) + SLACK * value
        fits &= np.abs(sizes.of(field) - value) <= slack
    return fits


def _span(field: str, said: Stated, low: Sizes, high: Sizes) -> tuple[FloatArray, FloatArray]:
    """Range of a size: of its own rounding where it was typed, else of what the others leave."""
    if field in said.values:
        value, half = said.values[field], said.nearest[field]
        return value - half, value + half
    return low.of(field), high.of(field)


def _only(sizes: FloatArray, low: FloatArray, high: FloatArray) -> tuple[FloatArray, BoolArray]:
    """Return the first standard size of each range, and whether it is the only one there."""
    first = np.searchsorted(sizes, low * (1.0 - SLACK))
    end = np.searchsorted(sizes, high * (1.0 + SLACK), side="right")
    return sizes[np.minimum(first, len(sizes) - 1)], end - first == 1
