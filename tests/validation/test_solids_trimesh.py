"""Files of solids as `trimesh` reads them, which knows nothing of cloth: closed, and of the mass.

What the library says of the mass comes from a closed form of the wire's length; trimesh takes the
volume of the triangles that it finds in the file. Chords of 4° are short of their arcs by at most
0.02 %, and STL and glTF hold numbers of 24 bits, 6·10⁻⁸ of the greatest coordinate: of a piece six
pitches wide, whose wires may be a fourteenth of a pitch, 6·10⁻⁶ of a wire. So 0.03 % would do;
0.2 % is what is promised.
"""

from __future__ import annotations

import io
from typing import Any

import numpy as np
import pytest
import trimesh
from solid_cloths import CLOTHS

from meshcore.enquiry import WEAVES
from meshcore.weave.geometry.interlacing import interlacing
from meshcore.weave.geometry.mass import mass_per_area
from meshcore.weave.geometry.path import cloth_path
from meshcore.weave.solids.clearance import least_axis_distance
from meshcore.weave.solids.cloth_solid import PITCHES, ClothSolid, cloth_solids
from meshcore.weave.solids.gltf import glb_bytes
from meshcore.weave.solids.stl import stl_bytes

#: What is promised of mass and volume.
PROMISED = 2e-3
DENSITY = 7930.0
#: Axes that are nearer than a wire by more than this share of it would be of wires run together.
SLACK = 1e-6


def solid_of(weave: int, wire: float, pitch: float, pitches: int = PITCHES) -> ClothSolid:
    [solid] = cloth_solids(np.array([weave]), np.array([wire]), np.array([pitch]), pitches)
    return solid


def library_mass(weave: int, wire: float, pitch: float) -> float:
    sizes = (np.array([weave]), np.array([wire]), np.array([pitch]))
    ratio = cloth_path(*sizes).path_ratio
    return float(mass_per_area(sizes[1], sizes[2], ratio, np.array([DENSITY]))[0])


@pytest.mark.parametrize(("number", "weave", "wire", "pitch"), CLOTHS)
def test_the_stl_is_closed_and_of_the_librarys_mass(
    number: int, weave: int, wire: float, pitch: float
) -> None:
    solid = solid_of(weave, wire, pitch)
    read: Any = trimesh.load(io.BytesIO(stl_bytes(solid)), file_type="stl")
    assert read.is_watertight, number
    assert read.is_winding_consistent
    assert len(read.faces) == solid.triangles
    side_mm = solid.side_m * 1e3
    mass = read.volume * 1e-9 * DENSITY / solid.side_m**2
    assert mass == pytest.approx(library_mass(weave, wire, pitch), rel=PROMISED)
    assert mass == pytest.approx(library_mass(weave, wire, pitch), rel=3e-4)
    # In millimetres, six pitches or whole repeats wide, and two wires thick.
    assert read.extents[2] == pytest.approx(2e3 * wire, rel=0.01)
    assert side_mm * (1.0 - 1e-6) <= read.extents[0] <= side_mm + 1e3 * wire
    # Every wire is a body of its own: none has been left out, none is there twice.
    assert read.body_count == 2 * solid.pitches


@pytest.mark.parametrize(("number", "weave", "wire", "pitch"), CLOTHS)
def test_the_glb_is_closed_and_of_the_librarys_mass(
    number: int, weave: int, wire: float, pitch: float
) -> None:
    solid = solid_of(weave, wire, pitch)
    scene: Any = trimesh.load(io.BytesIO(glb_bytes(solid)), file_type="glb")
    volume = {"warp": 0.0, "shute": 0.0}
    for node in scene.graph.nodes_geometry:
        transform, name = scene.graph[node]
        mesh = scene.geometry[name].copy()
        # Cut ends have normals of their own, so their corners stand there twice.
        mesh.merge_vertices(merge_norm=True, merge_tex=True)
        assert mesh.is_watertight, (number, node)
        mesh.apply_transform(transform)
        volume[name.split()[0]] += mesh.volume
    mass = sum(volume.values()) * DENSITY / solid.side_m**2
    assert mass == pytest.approx(library_mass(weave, wire, pitch), rel=PROMISED)
    # Square mesh: as much warp as shute.
    assert volume["warp"] == pytest.approx(volume["shute"], rel=1e-3)
    # In metres, y up: two wires high.
    assert scene.extents[1] == pytest.approx(2.0 * wire, rel=0.01)


@pytest.mark.parametrize(("number", "weave", "wire", "pitch"), CLOTHS)
def test_no_wire_runs_into_another(number: int, weave: int, wire: float, pitch: float) -> None:
    least = least_axis_distance(np.array([weave]), np.array([wire]), np.array([pitch]))[0]
    assert least >= wire * (1.0 - SLACK), number
    # They are cloth: somewhere they touch.
    assert least == pytest.approx(wire, rel=1e-6)


@pytest.mark.parametrize(("number", "weave", "wire", "pitch"), CLOTHS)
def test_the_surfaces_of_warp_and_shute_have_nothing_in_common(
    number: int, weave: int, wire: float, pitch: float
) -> None:
    """By boolean operations on the triangles, of one warp wire and the shute of a repeat."""
    repeat = len(interlacing(weave))
    solid = solid_of(weave, wire, pitch, repeat)
    # Corners of 32 sides stand out of the circle by 0.3 % of the radius, and so may overlap by
    # about that along a line of contact: far below a thousandth of wire³ at each crossing.
    surfaces = {
        (wire_of.wire_set, wire_of.number): trimesh.Trimesh(
            solid.points_m(wire_of) / wire,
            solid.surfaces[wire_of.wire_set][wire_of.phase].triangles,
            process=False,
        )
        for wire_of in solid.wires()
    }
    warp = surfaces["warp", 0]
    shute = trimesh.util.concatenate([surfaces["shute", n] for n in range(repeat)])
    common = _common(warp, shute)
    assert common < 1e-3 * repeat, (number, WEAVES[weave])
    # Pressed by a fiftieth of a wire towards the wires that it lies on, it does overlap them.
    pressed = warp.copy()
    pressed.apply_translation([0.0, 0.0, -0.02])
    assert _common(pressed, shute) > common


def _common(one: Any, other: Any) -> float:
    shared = trimesh.boolean.intersection([one, other], engine="manifold")
    return float(shared.volume) if len(shared.faces) else 0.0
