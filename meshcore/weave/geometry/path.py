"""Wire path by weave and crimp: length of wire, thickness of cloth, and where it jams.

Every weave here is square mesh of one round wire diameter d at pitch p in both directions. The
wire is taken as inextensible and round, touching its cross wires at a centre distance d; bends
have the centre-line radius d, the least that a wire laid round another can have. Each path is
lines and arcs, so its length is a closed form; `meshcore.weave.geometry.centreline` gives the
same path piece by piece, and the tests integrate it.

With x = d/p:

plain
    Each wire rises by d over every pitch. An arc of angle θ round one cross wire, a straight
    tangent of length L, an arc θ round the next. Along and across the straight part the pitch
    vector (p, d) has components (L, 2d), so L² = p² + d² − (2d)² = p² − 3d², and
    θ = atan(2d/L) − atan(d/p). Path ratio L/p + 2xθ. It jams when L = 0: x = 1/√3, θ = 60°.
double crimp
    The wires are bent before weaving to the same path, so the ratio and the jam are those of
    plain weave; what differs is that the bends hold without tension.
twilled (2/2)
    Of every two pitches, one is a straight float and one is a plain crossing:
    ratio (1 + plain)/2, the jam of plain weave. With the pitch kept even, floats do not let the
    crossing be any tighter; what they save is bending.
intermediate crimp
    One whole wave more between crossings for each crimp beyond the first, so c crimps a pitch
    are m = 2c − 1 half waves of span p/m and height d: the ratio of plain weave at m·x, and the
    jam at 1/m of it. m must be odd for the wire to be over at one crossing and under at the
    next. The customary c = 2 is twice the crimps of a double crimp.
lock crimp
    Straight in the mid-plane, with a bump of half the height d/2 at each crossing. Each flank is
    two arcs of radius d and angle φ: 2d(1 − cos φ) = d/2, so cos φ = 3/4, the flank spans
    2d·sin φ = (√7/2)·d and is 2dφ long. Ratio 1 + (4φ − √7)·x; it jams when the flanks meet,
    x = 1/√7.
flat top
    Straight in the top plane, dipping by d under every second cross wire. Each flank is two arcs
    of radius d and 60°: 2d(1 − cos 60°) = d; it spans √3·d and is 2πd/3 long. One flank a pitch:
    ratio 1 + (2π/3 − √3)·x; it jams when the flank fills the pitch, x = 1/√3, where it is the
    plain path.
welded
    Not woven: straight wires laid across one another and welded. Ratio 1; the wires touch at
    x = 1.

The cloth is two wires thick, 2d, in every case: a wire's centre-line rises and falls by d in all,
and half a wire stands out on each side. The weld's set-down and the flattening of knuckles in
calendering are not counted.

References
----------
.. [1] F. T. Peirce, "The geometry of cloth structure", J. Textile Inst. 28 (1937), T45–T96: the
   arcs-and-lines path of plain weave.
.. [2] ISO 9044:2016, mass per area of industrial cloth, ρ·d²/(618.1·p) (from memory): the flat
   rule.

The paths of the crimped screens are derived here from the shapes that the trade names; the number
of crimps in an intermediate crimp is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.enquiry import (
    FLAT_TOP,
    INTERMEDIATE_CRIMP,
    LOCK_CRIMP,
    PLAIN,
    TWILLED,
    WEAVES,
    WELDED,
)

PathModel: TypeAlias = Literal["arc", "flat"]

#: Crimps a pitch of an intermediate crimp; a double crimp has one. Common practice, no source.
INTERMEDIATE_CRIMPS = 2
#: Wire diameters in the thickness of the cloth, see above.
THICKNESS_IN_WIRES = 2.0

#: Wire length a unit length of cloth by the flat rule: the mass ρ·d²/(618.1·p), in mm, over the
#: straight wires' (π/2)·ρ·d²/p (ISO 9044, from memory). About 1.03.
FLAT_RULE_RATIO = 2.0 * 1000.0 / (np.pi * 618.1)

#: Wire over pitch at which the straight part of a plain crossing vanishes.
PLAIN_JAM = 1.0 / np.sqrt(3.0)
#: Angle of a lock crimp's arcs: two of them rise by half a wire.
LOCK_ANGLE = np.arccos(3.0 / 4.0)
#: Length of the cloth that a lock crimp's two flanks take, in wire diameters.
LOCK_SPAN = np.sqrt(7.0)
LOCK_JAM = 1.0 / LOCK_SPAN
#: Angle of a flat top's arcs: two of them rise by one wire.
FLAT_TOP_ANGLE = np.pi / 3.0
#: Length of the cloth that one flank of a flat top takes, in wire diameters.
FLAT_TOP_SPAN = np.sqrt(3.0)
WELDED_JAM = 1.0

#: Relative excess over the jam that is only rounding.
_DUST = 4.0 * np.finfo(np.float64).eps


@dataclass(frozen=True, slots=True)
class PathColumns:
    """Path of the wire in each line; arrays of one length.

    Parameters
    ----------
    path_ratio
        Wire length per unit length of cloth [-]; NaN where the wire is beyond the jam.
    thickness_m
        Cloth thickness [m].
    jam_wire_to_pitch
        Greatest wire diameter over pitch that the path allows [-]; may be a read-only view.
    """

    path_ratio: FloatArray
    thickness_m: FloatArray
    jam_wire_to_pitch: FloatArray


def cloth_path(
    weave: IntArray,
    wire_diameter_m: FloatArray,
    pitch_m: FloatArray,
    crimps: int = INTERMEDIATE_CRIMPS,
    path_model: PathModel = "arc",
) -> PathColumns:
    """Path ratio, thickness and jam limit of each line.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    wire_diameter_m, pitch_m
        Sizes [m]; NaN passes through.
    crimps
        Crimps a pitch of intermediate crimp [-]; 1 is a double crimp.
    path_model
        ``"arc"``: the paths of this module. ``"flat"``: the fixed crimp allowance of about 3 %
        for whatever is woven, whichever the wire; welded stays straight.

    Returns
    -------
    The columns, of the inputs' length.

    Raises
    ------
    ValueError
        If a weave code or the model is unknown, or `crimps` is below 1.

    Notes
    -----
    A sine path of plain weave is longer than the arc path by up to 0.55 % to d/p = 0.4, and
    shorter beyond: by 0.3 % at 0.5, and by 2.3 % at the jam, where its wires would cut through one
    another. Real wire lies near both: it bends less sharply than an arc round its neighbour, and
    its knuckles flatten.

    Examples
    --------
    >>> path = cloth_path(np.array([PLAIN, WELDED]), np.full(2, 0.635e-3), np.full(2, 2.54e-3))
    >>> path.path_ratio.round(5).tolist(), path.thickness_m.tolist()
    ([1.03212, 1.0], [0.00127, 0.00127])
    """
    if crimps < 1:
        raise ValueError(f"an intermediate crimp has 1 or more crimps a pitch, got {crimps}")
    if path_model not in ("arc", "flat"):
        raise ValueError(f'path_model is "arc" or "flat", got {path_model!r}')
    thickness = THICKNESS_IN_WIRES * wire_diameter_m
    slenderness = wire_diameter_m / pitch_m
    codes = _codes(weave)
    if len(codes) == 1:
        ratio, jam = _one_weave(codes[0], slenderness, crimps, path_model)
        return PathColumns(ratio, thickness, np.broadcast_to(np.float64(jam), ratio.shape))
    ratio, jams = np.empty_like(slenderness), np.empty_like(slenderness)
    for code in codes:
        rows = weave == code
        ratio[rows], jams[rows] = _one_weave(code, slenderness[rows], crimps, path_model)
    return PathColumns(ratio, thickness, jams)


def jam_wire_to_pitch(weave_code: int, crimps: int = INTERMEDIATE_CRIMPS) -> float:
    """Greatest wire over pitch that the path of a weave allows [-].

    Examples
    --------
    >>> round(jam_wire_to_pitch(PLAIN), 4), round(jam_wire_to_pitch(INTERMEDIATE_CRIMP), 4)
    (0.5774, 0.1925)
    """
    if weave_code == INTERMEDIATE_CRIMP:
        return float(PLAIN_JAM) / half_waves(crimps)
    return {LOCK_CRIMP: float(LOCK_JAM), WELDED: WELDED_JAM}.get(weave_code, float(PLAIN_JAM))


def half_waves(crimps: int) -> int:
    """Half waves between crossings of an intermediate crimp; always odd, so that it interlaces."""
    return 2 * crimps - 1


def _codes(weave: IntArray) -> list[int]:
    if not len(weave):
        return [PLAIN]
    least, greatest = int(weave.min()), int(weave.max())
    if least < 0 or greatest >= len(WEAVES):
        raise ValueError(f"weave codes run from 0 to {len(WEAVES) - 1}, got {least} to {greatest}")
    if least == greatest:
        return [least]
    return np.flatnonzero(np.bincount(weave)).tolist()


def _one_weave(
    code: int, slenderness: FloatArray, crimps: int, path_model: PathModel
) -> tuple[FloatArray, float]:
    """Path ratio and jam of lines that are all of one weave."""
    jam = jam_wire_to_pitch(code, crimps)
    fits = slenderness <= jam * (1.0 + _DUST)
    whole = bool(fits.all())
    within = slenderness if whole else np.where(fits, slenderness, np.nan)
    if code == WELDED:
        ratio = within * 0.0 + 1.0
    elif path_model == "flat":
        ratio = within * 0.0 + FLAT_RULE_RATIO
    elif code == LOCK_CRIMP:
        ratio = 1.0 + (4.0 * LOCK_ANGLE - LOCK_SPAN) * within
    elif code == FLAT_TOP:
        ratio = 1.0 + (2.0 * FLAT_TOP_ANGLE - FLAT_TOP_SPAN) * within
    elif code == INTERMEDIATE_CRIMP:
        ratio = _plain_ratio(half_waves(crimps) * within)
    elif code == TWILLED:
        ratio = 0.5 + 0.5 * _plain_ratio(within)
    else:
        ratio = _plain_ratio(within)
    return ratio, jam


def _plain_ratio(slenderness: FloatArray) -> FloatArray:
    """Path ratio of plain weave at x = d/p, in one root and one arctangent.

    With s = L/p = √(1 − 3x²), the difference of the two arctangents in θ is
    atan(x·(2 − s)/(s + 2x²)).
    """
    square = slenderness * slenderness
    straight = np.sqrt(np.maximum(1.0 - 3.0 * square, 0.0))
    angle = np.arctan(slenderness * (2.0 - straight) / (straight + 2.0 * square))
    ratio: FloatArray = straight + 2.0 * slenderness * angle
    return ratio
