"""A piece of cloth as binary STL, in millimetres, for printing and for programs that read no glTF.

The format has neither units nor objects nor colours: lengths are millimetres as is usual there, and
a file holds the warp, the shute, or both. Each wire is a closed surface by itself.
"""

from __future__ import annotations

import struct

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.weave.geometry.laying import WIRE_SETS, WireSet
from meshcore.weave.solids.cloth_solid import ClothSolid

#: Media type of the file (IANA).
MEDIA_TYPE = "model/stl"
#: Bytes of the header; what stands there is for people, and must not begin with "solid", which
#: would make it a file of text. Common practice: the format has no standard of its own.
_HEADER = 80
_MM_PER_M = 1000.0
#: One triangle: its normal, its three corners, and two bytes that mean nothing.
_TRIANGLE = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("unused", "<u2")])


def stl_bytes(solid: ClothSolid, wire_sets: tuple[WireSet, ...] = WIRE_SETS) -> bytes:
    """Write a piece of cloth, or one set of its wires, as binary STL.

    Parameters
    ----------
    solid
        The piece.
    wire_sets
        What of it: the warp, the shute, or both.

    Returns
    -------
    The file; the same for the same piece.

    Examples
    --------
    >>> from meshcore.weave.solids.cloth_solid import cloth_solids
    >>> [solid] = cloth_solids(np.array([6]), np.array([1e-3]), np.array([5e-3]))
    >>> data = stl_bytes(solid)
    >>> len(data) == 84 + 50 * solid.triangles
    True
    """
    corners = np.concatenate(
        [
            solid.points_m(wire)[solid.surfaces[wire.wire_set][wire.phase].triangles]
            for wire in solid.wires()
            if wire.wire_set in wire_sets
        ]
    )
    stored = np.zeros(len(corners), dtype=_TRIANGLE)
    stored["corners"] = corners * _MM_PER_M
    stored["normal"] = _normals(corners)
    header = f"meshcore, {' and '.join(wire_sets)}, mm".encode("ascii").ljust(_HEADER)
    return header + struct.pack("<I", len(stored)) + stored.tobytes()


def _normals(corners: FloatArray) -> FloatArray:
    one, two, three = np.swapaxes(corners, 0, 1)
    across = np.cross(two - one, three - one)
    normals: FloatArray = across / np.linalg.norm(across, axis=1, keepdims=True)
    return normals
