"""Volume of a solid swept along each path, and contact of crossing wires, by mesh libraries.

Standing: `trimesh` and `manifold3d`, which know nothing of cloth. A tube's volume is its section
times its centre-line (Pappus, exact while no bend is tighter than the tube), so the solid's volume
checks the path ratio, and with it the mass. The tube here is a prism along chords of arcs, each
arc split into 96, so a chord turns by θ ≤ 60°/96 = 0.0109. Chords are shorter than their arc by
θ²/24 of it, and the section, set square across each joint, is narrower by θ²/8: together θ²/6 =
2.0·10⁻⁵, hence the tolerance.

Crossing wires must touch and not run into one another: their intersection is compared with one
wire's volume. The facets of the two tubes meet along an arc, so they overlap or gape by about the
sagitta of a facet, d/2·(1 − cos(π/96)) ≈ 3·10⁻⁴ d.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import trimesh
from shapely.geometry import Polygon

from meshcore.enquiry import WEAVES, WELDED
from meshcore.weave.geometry.centreline import centreline
from meshcore.weave.geometry.interlacing import interlacing
from meshcore.weave.geometry.mass import mass_per_area
from meshcore.weave.geometry.path import cloth_path, jam_wire_to_pitch

PITCH = 1.0
SIDES, CHORDS = 96, 96
#: Relative shortfall of the prism, above.
FACETING = 2.1e-5
EVERY_WEAVE = range(len(WEAVES))


def centre_points(weave: int, wire: float) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Points along one repeat, x along the wire and z up."""
    shares = np.linspace(0.0, 1.0, CHORDS + 1)
    pieces = [np.stack(piece.points(shares)) for piece in centreline(weave, wire, PITCH)]
    joined = np.concatenate([pieces[0], *(piece[:, 1:] for piece in pieces[1:])], axis=1)
    return np.stack([joined[0], np.zeros(joined.shape[1]), joined[1]], axis=1)


def tube(points: np.ndarray[Any, np.dtype[np.float64]], wire: float) -> tuple[Any, float]:
    """Solid wire, and the area of its section."""
    angles = np.arange(SIDES) * 2.0 * np.pi / SIDES
    # A polygon of the circle's own area, so that only the path is in question.
    radius = 0.5 * wire * np.sqrt(2.0 * np.pi / (SIDES * np.sin(2.0 * np.pi / SIDES)))
    section = Polygon(np.stack([radius * np.cos(angles), radius * np.sin(angles)], axis=1))
    return trimesh.creation.sweep_polygon(section, points), float(section.area)


@pytest.mark.parametrize("share_of_jam", [0.3, 0.9])
@pytest.mark.parametrize("weave", EVERY_WEAVE, ids=lambda w: WEAVES[w])
def test_volume(weave: int, share_of_jam: float) -> None:
    wire = share_of_jam * jam_wire_to_pitch(weave)
    solid, section = tube(centre_points(weave, wire), wire)
    assert solid.is_watertight
    repeat = len(interlacing(weave)) * PITCH
    path = cloth_path(np.array([weave]), np.array([wire]), np.array([PITCH]))
    assert section == pytest.approx(np.pi / 4 * wire**2, rel=1e-12)
    assert solid.volume / section / repeat == pytest.approx(path.path_ratio[0], rel=FACETING)
    # And so the mass of a cell: two wires, one each way, over a repeat by one pitch.
    density = np.array([7930.0])
    mass = mass_per_area(np.array([wire]), np.array([PITCH]), path.path_ratio, density)
    assert mass[0] == pytest.approx(2 * solid.volume * density[0] / (repeat * PITCH), rel=FACETING)


@pytest.mark.parametrize("weave", [w for w in EVERY_WEAVE if w != WELDED], ids=lambda w: WEAVES[w])
def test_crossing_wires_touch_without_running_into_one_another(weave: int) -> None:
    wire = 0.6 * jam_wire_to_pitch(weave)
    points = centre_points(weave, wire)
    warp, _ = tube(points, wire)
    repeat = len(interlacing(weave))
    over = interlacing(weave)[0]
    # The shute wire at x = 0 runs along y and lies under there: it starts where a wire is under.
    first_under = int(np.flatnonzero(~over)[0])
    next_repeat = np.array([repeat * PITCH, 0.0, 0.0])
    doubled = np.concatenate([points, points[1:] + next_repeat])
    shute_points = np.stack([doubled[:, 1], doubled[:, 0] - first_under * PITCH, doubled[:, 2]], 1)
    shute, _ = tube(shute_points, wire)
    common = trimesh.boolean.intersection([warp, shute], engine="manifold")
    assert common.volume < 1e-3 * wire**3
    raised = shute.copy()
    raised.apply_translation([0.0, 0.0, 0.02 * wire])
    pressed = trimesh.boolean.intersection([warp, raised], engine="manifold")
    assert pressed.volume > common.volume
    assert pressed.volume > 0.0, "they touch: raised by a fiftieth of a wire, they overlap"
