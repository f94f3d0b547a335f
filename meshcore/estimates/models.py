"""The cloth of each line as a solid, or why it has none."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.enquiry import WEAVES
from meshcore.estimates.results import Estimate, EstimateSet
from meshcore.messages import Message
from meshcore.units import METRES_PER_INCH
from meshcore.weave.cloth import ClothColumns, by_alloy, take_cloth
from meshcore.weave.geometry.mass import mass_per_area
from meshcore.weave.geometry.path import cloth_path
from meshcore.weave.judging.limits import length_text
from meshcore.weave.solids.clearance import least_axis_distance
from meshcore.weave.solids.cloth_solid import FINE, PITCHES, ClothSolid, Facets, cloth_solids

#: Columns whose refusals say why a cloth is none.
_CLOTH = ("mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "weave")
_MM3_PER_M3 = 1e9


@dataclass(frozen=True, slots=True)
class ClothModel:
    """One line's cloth as a solid, with what it is checked by.

    Parameters
    ----------
    line
        Place of the line in its list.
    solid
        The piece of cloth; None where there is none.
    message
        Why there is none; None where there is one.
    density_kg_m3
        Of the alloy [kg/m³]; NaN where it is unknown.
    mass_kg_m2
        Mass per area as the library has it by the path of the weave [kg/m²]; NaN likewise.
    axis_distance_m
        Least distance between the axes of warp and shute [m]: one wire where they touch.
    """

    line: int
    solid: ClothSolid | None
    message: Message | None
    density_kg_m3: float
    mass_kg_m2: float
    axis_distance_m: float

    def text(self) -> str:
        """Tell what the solid is, its mass beside the library's, and how near its wires come."""
        if self.solid is None:
            return str(self.message)
        solid = self.solid
        aperture = solid.pitch_m - solid.wire_diameter_m
        lines = [
            f"{WEAVES[solid.weave]}: {METRES_PER_INCH / solid.pitch_m:.4g} per inch, wire "
            f"{length_text(solid.wire_diameter_m)}, aperture {length_text(aperture)}",
            f"{solid.pitches} × {solid.pitches} wires on {length_text(solid.side_m)} × "
            f"{length_text(solid.side_m)}, {solid.triangles:,} triangles",
            f"volume {solid.volume_m3 * _MM3_PER_M3:.5g} mm³{self._mass()}",
            "least distance between the axes of warp and shute "
            f"{self.axis_distance_m / solid.wire_diameter_m:.4f} wires: where it is 1 they touch",
        ]
        return "\n".join(lines)

    def _mass(self) -> str:
        if self.solid is None or np.isnan(self.mass_kg_m2):
            return ""
        mass = self.solid.mass_per_area(self.density_kg_m3)
        return (
            f", so {mass:.4g} kg/m² at {self.density_kg_m3:.5g} kg/m³; reckoned "
            f"{self.mass_kg_m2:.4g} kg/m² ({mass / self.mass_kg_m2 - 1.0:+.3%})"
        )


def cloth_models(
    estimates: EstimateSet | Estimate, pitches: int = PITCHES, facets: Facets = FINE
) -> tuple[ClothModel, ...]:
    """Make a solid of the cloth of every line.

    Parameters
    ----------
    estimates
        The lines; or one of them.
    pitches
        Wires wanted each way [-]; rounded up to whole repeats of the weave.
    facets
        How finely the surfaces are divided.

    Returns
    -------
    One a line; a line whose cloth is not known or cannot be woven says why instead.

    Raises
    ------
    ValueError
        If `pitches` is out of range.

    Examples
    --------
    >>> import meshcore as mc
    >>> one = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304"))
    >>> [model] = mc.cloth_models(one)
    >>> model.solid.pitches, round(model.solid.mass_per_area(7930.0), 3), round(model.mass_kg_m2, 3)
    (6, 2.041, 2.041)
    """
    held = estimates.estimates if isinstance(estimates, Estimate) else estimates
    lines = [estimates.line] if isinstance(estimates, Estimate) else range(len(held))
    stopped = {line: _stopped(held, line) for line in lines}
    rows = np.array([line for line in lines if stopped[line] is None], dtype=np.int64)
    made = take_cloth(held.orders.cloth, rows)
    sizes = (made.weave, made.wire_diameter_m, made.pitch_m)
    density = by_alloy(made, lambda alloy: alloy.density_kg_m3)
    mass = _arc_mass(made, density)
    solids = zip(cloth_solids(*sizes, pitches, facets), density.tolist(), mass.tolist(),
                 least_axis_distance(*sizes).tolist(), strict=True)  # fmt: skip
    return tuple(
        ClothModel(line, None, message, *_UNKNOWN) if (message := stopped[line]) is not None
        else _made(line, *next(solids))
        for line in lines
    )  # fmt: skip


#: Density, mass and distance of a line that has no solid.
_UNKNOWN = (np.nan, np.nan, np.nan)


def _made(line: int, solid: ClothSolid, density: float, mass: float, distance: float) -> ClothModel:
    return ClothModel(line, solid, None, density, mass, distance)


def _arc_mass(cloth: ClothColumns, density_kg_m3: FloatArray) -> FloatArray:
    """Mass per area by the path of each weave, whichever rule the lines are priced by [kg/m²]."""
    path = cloth_path(cloth.weave, cloth.wire_diameter_m, cloth.pitch_m)
    return mass_per_area(cloth.wire_diameter_m, cloth.pitch_m, path.path_ratio, density_kg_m3)


def _stopped(estimates: EstimateSet, line: int) -> Message | None:
    """Why a line has no solid; None where it has."""
    cloth = estimates.orders.cloth
    sizes = (cloth.wire_diameter_m[line], cloth.pitch_m[line])
    refusals = [
        message
        for message in estimates.messages.get(line, [])
        if message.severity == "refused" and message.field in _CLOTH
    ]
    if refusals:
        return _because(refusals[0])
    if not np.isfinite(sizes).all() or cloth.weave[line] < 0:
        return Message(
            "wire_diameter", "", "no model, since the sizes of the cloth are not known. "
            "Give any two of mesh count, wire, aperture, pitch and open area.",
            code="model.no_sizes",
        )  # fmt: skip
    return None


def _because(refusal: Message) -> Message:
    return Message(
        refusal.field,
        refusal.read,
        f"no model, since the cloth is refused: {refusal.text}",
        code="model.cloth_refused",
    )
