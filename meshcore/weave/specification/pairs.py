"""Closed forms by which each pair of sizes gives the rest."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product
from typing import NamedTuple

import numpy as np

from meshcore.arrays import BoolArray, FloatArray

#: Sizes that an enquiry may give, by the names of its columns.
FIELDS: tuple[str, ...] = ("mesh_count", "pitch", "aperture", "wire_diameter", "open_area")

#: Pairs that fix the sizes, the first named preferred where two are equally well determined.
#: Count with pitch is not among them: they are one size.
BASES: tuple[tuple[str, str], ...] = (
    ("mesh_count", "wire_diameter"),
    ("pitch", "wire_diameter"),
    ("aperture", "wire_diameter"),
    ("mesh_count", "aperture"),
    ("pitch", "aperture"),
    ("mesh_count", "open_area"),
    ("pitch", "open_area"),
    ("aperture", "open_area"),
    ("wire_diameter", "open_area"),
)

#: Pairs of two sizes that are drawn and woven; every other pair leaves one to be derived.
NOMINAL_PAIRS = frozenset(
    {
        ("mesh_count", "wire_diameter"),
        ("pitch", "wire_diameter"),
        ("aperture", "wire_diameter"),
    }
)


class Sizes(NamedTuple):
    """Pitch, wire and aperture [m] and open area [-] of each line."""

    pitch: FloatArray
    wire_diameter: FloatArray
    aperture: FloatArray
    open_area: FloatArray

    def of(self, field: str) -> FloatArray:
        """Return the size that an enquiry calls `field`, in SI."""
        size: FloatArray = 1.0 / self.pitch if field == "mesh_count" else getattr(self, field)
        return size


def solve(basis: tuple[str, str], values: Mapping[str, FloatArray]) -> Sizes:
    """Sizes that follow from the two named in `basis`.

    Parameters
    ----------
    basis
        One of ``BASES``.
    values
        SI values of at least those two fields; arrays of one length. They are not judged:
        impossible ones give impossible sizes.

    Returns
    -------
    The sizes; those that were given are passed through unchanged.

    Notes
    -----
    With s = √A = w/p: w = s·p and d = (1 − s)·p, whence p = w/s and p = d/(1 − s). Where s is
    near 1, d = p − w loses as many digits as 1 − s is small; so does any arithmetic on it.

    Examples
    --------
    >>> sizes = solve(("aperture", "open_area"), {"aperture": np.array([3e-3]),
    ...                                           "open_area": np.array([0.5625])})
    >>> [round(float(s[0]), 6) for s in sizes]
    [0.004, 0.001, 0.003, 0.5625]
    """
    first, second = basis
    if first in ("mesh_count", "pitch"):
        pitch = 1.0 / values[first] if first == "mesh_count" else values[first]
        return _from_pitch(pitch, second, values[second])
    if second == "wire_diameter":
        aperture, wire = values[first], values[second]
        pitch = aperture + wire
        return Sizes(pitch, wire, aperture, np.square(aperture / pitch))
    area = values[second]
    share = np.sqrt(area)
    if first == "aperture":
        aperture = values[first]
        pitch = aperture / share
        return Sizes(pitch, (1.0 - share) * pitch, aperture, area)
    wire = values[first]
    pitch = wire / (1.0 - share)
    return Sizes(pitch, wire, share * pitch, area)


def bases_of(fields: tuple[str, ...]) -> list[tuple[str, str]]:
    """Return the pairs among some fields that fix the sizes, the preferred first."""
    return [basis for basis in BASES if set(basis) <= set(fields)]


def extent(
    basis: tuple[str, str], values: Mapping[str, FloatArray], halves: Mapping[str, FloatArray]
) -> tuple[Sizes, Sizes]:
    """Least and greatest sizes over the rounding of a pair; they lie at its corners."""
    corners = corners_of(basis, values, halves)
    low = Sizes(*(np.minimum.reduce(sizes) for sizes in zip(*corners, strict=True)))
    high = Sizes(*(np.maximum.reduce(sizes) for sizes in zip(*corners, strict=True)))
    return low, high


def corners_of(
    basis: tuple[str, str], values: Mapping[str, FloatArray], halves: Mapping[str, FloatArray]
) -> list[Sizes]:
    """Sizes at the four corners of a pair's rounding."""
    return [
        solve(
            basis,
            {f: values[f] + sign * halves[f] for f, sign in zip(basis, signs, strict=True)},
        )
        for signs in product((-1.0, 1.0), repeat=2)
    ]


def _from_pitch(pitch: FloatArray, field: str, value: FloatArray) -> Sizes:
    if field == "open_area":
        share = np.sqrt(value)
        return Sizes(pitch, (1.0 - share) * pitch, share * pitch, value)
    other = pitch - value
    aperture, wire = (other, value) if field == "wire_diameter" else (value, other)
    return Sizes(pitch, wire, aperture, np.square(aperture / pitch))


def all_physical(sizes: Sizes) -> bool:
    """Whether every line has a wire, an aperture and a finite pitch; quick, and often so."""
    aperture, wire = sizes.aperture, sizes.wire_diameter
    if not aperture.size:
        return True
    return bool(aperture.min() > 0.0 and wire.min() > 0.0 and sizes.pitch.max() < np.inf)


def physical(sizes: Sizes) -> BoolArray:
    """Lines that have a wire, an aperture and a finite pitch."""
    mask: BoolArray = (sizes.aperture > 0.0) & (sizes.wire_diameter > 0.0) & (sizes.pitch < np.inf)
    return mask
