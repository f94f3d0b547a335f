"""A piece of cloth as a solid: warp and shute, each wire a closed surface in its place.

The wires lie along the very paths from which the library takes their length
(`meshcore.weave.geometry.path`), so the solid's volume times the density is the mass of the cloth.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.enquiry import WEAVES
from meshcore.weave.geometry.centreline import Segment
from meshcore.weave.geometry.interlacing import interlacing
from meshcore.weave.geometry.laying import WIRE_SETS, WireSet, laid_wire, sampled
from meshcore.weave.solids.sweep import WireSurface, swept

#: Pitches that a piece has at least each way, so that its interlacing shows (our choice).
PITCHES = 6
#: Most pitches each way: a file of more would be for looks alone (our choice).
MOST_PITCHES = 60


@dataclass(frozen=True, slots=True)
class Facets:
    """How finely a surface is divided.

    Parameters
    ----------
    sides
        Corners of a wire's section [-]; a multiple of 4.
    chord_rad
        Greatest angle of a bend between one section and the next [rad]. A chord is shorter than
        its arc by chord²/24 of it.
    """

    sides: int
    chord_rad: float


#: For files: arcs are short by 0.02 % at most, corners stand out by 0.3 % of the radius.
FINE = Facets(32, np.radians(4.0))
#: For the screen: arcs are short by 0.08 % at most, corners stand out by 1.3 % of the radius.
COARSE = Facets(16, np.radians(8.0))


@dataclass(frozen=True, slots=True)
class PlacedWire:
    """One wire of a piece of cloth.

    Parameters
    ----------
    wire_set, number
        Which wire, counted from 0.
    phase
        Wires of one set and phase have one surface, `ClothSolid.surfaces`.
    """

    wire_set: WireSet
    number: int
    phase: int


@dataclass(frozen=True, slots=True)
class ClothSolid:
    """A square piece of cloth, whole repeats each way, x along the shute and y along the warp.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    wire_diameter_m, pitch_m
        [m]
    pitches
        Wires each way [-].
    surfaces
        For each set of wires its different surfaces, laid along x with their first crossing at 0.
    """

    weave: int
    wire_diameter_m: float
    pitch_m: float
    pitches: int
    surfaces: Mapping[WireSet, tuple[WireSurface, ...]]

    def wires(self) -> Iterator[PlacedWire]:
        """Every wire, the warp first."""
        for wire_set in WIRE_SETS:
            for number in range(self.pitches):
                yield PlacedWire(wire_set, number, number % len(self.surfaces[wire_set]))

    def points_m(self, wire: PlacedWire) -> FloatArray:
        """Corners of one wire's surface in its place [m], the piece's middle at the origin."""
        return self.laid_m(wire.wire_set, wire.phase) + self.offset_m(wire)

    def laid_m(self, wire_set: WireSet, phase: int) -> FloatArray:
        """Corners of a surface turned into its set's direction, about the piece's middle [m]."""
        x, y, z = self.surfaces[wire_set][phase].points_m.T
        along = x - 0.5 * (self.pitches - 1) * self.pitch_m
        if wire_set == "shute":
            return np.stack([along, y, z], axis=1)
        # A quarter turn, which leaves triangles anticlockwise.
        return np.stack([-y, along, z], axis=1)

    def offset_m(self, wire: PlacedWire) -> FloatArray:
        """Where a wire lies across its own direction [m]; x, y and z."""
        across = (wire.number - 0.5 * (self.pitches - 1)) * self.pitch_m
        return np.array([across, 0.0, 0.0] if wire.wire_set == "warp" else [0.0, across, 0.0])

    @property
    def side_m(self) -> float:
        """Length and width of the piece [m]."""
        return self.pitches * self.pitch_m

    @property
    def triangles(self) -> int:
        """Triangles of all surfaces [-]."""
        return sum(len(self.surfaces[wire.wire_set][wire.phase].triangles) for wire in self.wires())

    @property
    def volume_m3(self) -> float:
        """Volume of all wires [m³]."""
        return sum(self.volume_of(name) for name in WIRE_SETS)

    def volume_of(self, wire_set: WireSet) -> float:
        """Volume of the wires of one direction [m³]."""
        one = [surface.volume_m3 for surface in self.surfaces[wire_set]]
        return sum(one[wire.phase] for wire in self.wires() if wire.wire_set == wire_set)

    def mass_per_area(self, density_kg_m3: float) -> float:
        """Mass of the solid over the area of its piece [kg/m²]."""
        return self.volume_m3 * density_kg_m3 / self.side_m**2


def cloth_solids(
    weave: IntArray,
    wire_diameter_m: FloatArray,
    pitch_m: FloatArray,
    pitches: int = PITCHES,
    facets: Facets = FINE,
) -> tuple[ClothSolid, ...]:
    """Make a solid of each line's cloth.

    Parameters
    ----------
    weave
        Index into ``WEAVES``, one a line.
    wire_diameter_m, pitch_m
        Sizes [m], one a line.
    pitches
        Wires wanted each way [-]; rounded up to whole repeats of the weave.
    facets
        How finely the surfaces are divided.

    Returns
    -------
    One solid a line.

    Raises
    ------
    ValueError
        If there is no such weave, a size is not positive, a wire is beyond the jam, or `pitches`
        is not from 1 to ``MOST_PITCHES``.

    Examples
    --------
    >>> [solid] = cloth_solids(np.array([0]), np.array([0.635e-3]), np.array([2.54e-3]))
    >>> solid.pitches, round(solid.mass_per_area(7930.0), 3)
    (6, 2.041)
    """
    if not 1 <= pitches <= MOST_PITCHES:
        raise ValueError(f"a piece has 1 to {MOST_PITCHES} pitches, got {pitches}")
    sizes = zip(weave.tolist(), wire_diameter_m.tolist(), pitch_m.tolist(), strict=True)
    return tuple(_solid(code, wire, pitch, pitches, facets) for code, wire, pitch in sizes)


def _solid(weave: int, wire: float, pitch: float, pitches: int, facets: Facets) -> ClothSolid:
    if not 0 <= weave < len(WEAVES):
        raise ValueError(f"weave must index WEAVES, 0 to {len(WEAVES) - 1}, got {weave}")
    phases = len(interlacing(weave))
    whole = -(-pitches // phases) * phases
    surfaces: dict[WireSet, tuple[WireSurface, ...]] = {
        wire_set: tuple(
            _surface(laid_wire(weave, wire_set, phase, whole, wire, pitch), wire, facets)
            for phase in range(phases)
        )
        for wire_set in WIRE_SETS
    }
    return ClothSolid(weave, wire, pitch, whole, surfaces)


def _surface(axis: Sequence[Segment], wire: float, facets: Facets) -> WireSurface:
    return swept(*sampled(axis, facets.chord_rad), wire, facets.sides)
