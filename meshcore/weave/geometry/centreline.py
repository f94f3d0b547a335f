"""The path of one wire, piece by piece: lines and arcs over one repeat of the weave.

`meshcore.weave.geometry.path` derives the shapes and gives their lengths for whole tables; this
module lays out one wire, for drawing it and for checking those lengths by integration.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.enquiry import FLAT_TOP, INTERMEDIATE_CRIMP, LOCK_CRIMP, WEAVES, WELDED
from meshcore.weave.geometry.interlacing import interlacing
from meshcore.weave.geometry.path import (
    FLAT_TOP_ANGLE,
    FLAT_TOP_SPAN,
    INTERMEDIATE_CRIMPS,
    LOCK_ANGLE,
    LOCK_SPAN,
    half_waves,
    jam_wire_to_pitch,
)

#: Relative excess over the jam that is only rounding.
_DUST = 1e-12


@dataclass(frozen=True, slots=True)
class Line:
    """A straight piece from (x0, z0) to (x1, z1) [m]; x along the wire, z up from mid-plane."""

    x0: float
    z0: float
    x1: float
    z1: float

    @property
    def length(self) -> float:
        """Length [m]."""
        return math.hypot(self.x1 - self.x0, self.z1 - self.z0)

    def points(self, shares: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return x and z [m] at the given shares of the length, 0 to 1."""
        return self.x0 + shares * (self.x1 - self.x0), self.z0 + shares * (self.z1 - self.z0)


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular piece.

    Parameters
    ----------
    x, z
        Its centre [m].
    radius
        [m]
    start, end
        Directions from the centre [rad], anticlockwise from x towards z; clockwise where
        end < start.
    """

    x: float
    z: float
    radius: float
    start: float
    end: float

    @property
    def length(self) -> float:
        """Length [m]."""
        return self.radius * abs(self.end - self.start)

    def points(self, shares: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return x and z [m] at the given shares of the length, 0 to 1."""
        angle = self.start + shares * (self.end - self.start)
        return self.x + self.radius * np.cos(angle), self.z + self.radius * np.sin(angle)


Segment: TypeAlias = Line | Arc


def centreline(
    weave: int, wire_diameter_m: float, pitch_m: float, crimps: int = INTERMEDIATE_CRIMPS
) -> tuple[Segment, ...]:
    """Centre-line of one wire over one repeat, from a crossing where it lies over.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    wire_diameter_m, pitch_m
        Sizes [m].
    crimps
        Crimps a pitch of an intermediate crimp [-].

    Returns
    -------
    The pieces in order, each starting where the last ends. Crossings are at whole pitches from
    x = 0; the wire is at z = +d/2 where it lies over and at -d/2 where under, as the first row
    of `meshcore.weave.geometry.interlacing.interlacing` says. A welded wire stays at +d/2.

    Raises
    ------
    ValueError
        If there is no such weave, a size is not positive, or the wire is beyond the jam.

    Examples
    --------
    >>> wire = centreline(0, 0.635e-3, 2.54e-3)
    >>> round(sum(piece.length for piece in wire) / (2 * 2.54e-3), 5)
    1.03212
    """
    if not 0 <= weave < len(WEAVES):
        raise ValueError(f"weave must index WEAVES, 0 to {len(WEAVES) - 1}, got {weave}")
    if not (wire_diameter_m > 0.0 and pitch_m > 0.0):
        raise ValueError(f"sizes must be positive, got wire {wire_diameter_m}, pitch {pitch_m}")
    jam = jam_wire_to_pitch(weave, crimps)
    if wire_diameter_m > jam * pitch_m * (1.0 + _DUST):
        raise ValueError(
            f"{WEAVES[weave]}: a wire of {wire_diameter_m:g} m is beyond the jam at "
            f"{jam * pitch_m:g} m for a pitch of {pitch_m:g} m"
        )
    over = [bool(side) for side in interlacing(weave)[0]]
    sides = [0.5 * wire_diameter_m if side else -0.5 * wire_diameter_m for side in [*over, over[0]]]
    pieces: list[Segment] = []
    for number, (here, there) in enumerate(pairwise(sides)):
        x = number * pitch_m
        pieces += _between(weave, x, here, x + pitch_m, there, wire_diameter_m, crimps)
    return tuple(piece for piece in pieces if piece.length > _DUST * pitch_m)


def _between(
    weave: int, x0: float, z0: float, x1: float, z1: float, wire: float, crimps: int
) -> Iterator[Segment]:
    """Path from one crossing to the next."""
    if z0 == z1 or weave == WELDED:
        yield Line(x0, z0, x1, z1)
    elif weave == LOCK_CRIMP:
        span = 0.5 * float(LOCK_SPAN) * wire
        yield from _flank(x0, z0, x0 + span, 0.0, wire, float(LOCK_ANGLE))
        yield Line(x0 + span, 0.0, x1 - span, 0.0)
        yield from _flank(x1 - span, 0.0, x1, z1, wire, float(LOCK_ANGLE))
    elif weave == FLAT_TOP:
        span = float(FLAT_TOP_SPAN) * wire
        if z0 > z1:
            yield Line(x0, z0, x1 - span, z0)
            yield from _flank(x1 - span, z0, x1, z1, wire, float(FLAT_TOP_ANGLE))
        else:
            yield from _flank(x0, z0, x0 + span, z1, wire, float(FLAT_TOP_ANGLE))
            yield Line(x0 + span, z1, x1, z1)
    else:
        waves = half_waves(crimps) if weave == INTERMEDIATE_CRIMP else 1
        span = (x1 - x0) / waves
        angle = _crossing_angle(wire / span)
        for number in range(waves):
            start, end = (z0, z1) if number % 2 == 0 else (z1, z0)
            yield from _flank(x0 + number * span, start, x0 + (number + 1) * span, end, wire, angle)


def _crossing_angle(slenderness: float) -> float:
    """Angle of a plain crossing's arcs [rad], in Peirce's form."""
    sine = 2.0 * slenderness / math.hypot(1.0, slenderness)
    return math.asin(min(sine, 1.0)) - math.atan(slenderness)


def _flank(
    x0: float, z0: float, x1: float, z1: float, radius: float, angle: float
) -> Iterator[Segment]:
    """Two arcs and their common tangent, level at both ends."""
    up = math.copysign(1.0, z1 - z0)
    first = Arc(x0, z0 + up * radius, radius, -up * math.pi / 2, up * (angle - math.pi / 2))
    last = Arc(x1, z1 - up * radius, radius, up * (angle + math.pi / 2), up * math.pi / 2)
    reach, rise = radius * math.sin(angle), up * radius * (1.0 - math.cos(angle))
    yield first
    yield Line(x0 + reach, z0 + rise, x1 - reach, z1 - rise)
    yield last
