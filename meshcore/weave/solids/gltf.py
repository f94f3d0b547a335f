"""A piece of cloth as binary glTF 2.0 (.glb): warp and shute, each an object of its own colour.

Written after the open specification (Khronos Group, glTF 2.0, also ISO/IEC 12113:2022): lengths in
metres, y up, triangles anticlockwise, colours in linear light. Wires that are alike share one mesh,
which each node places by its own translation.
"""

from __future__ import annotations

import json
import struct
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from meshcore.arrays import FloatArray
from meshcore.enquiry import WEAVES
from meshcore.weave.drawing.layout import SHUTE_FILL, WARP_FILL
from meshcore.weave.geometry.laying import WIRE_SETS, WireSet
from meshcore.weave.solids.cloth_solid import ClothSolid
from meshcore.weave.solids.sweep import WireSurface

#: Media type of the file (IANA).
MEDIA_TYPE = "model/gltf-binary"
#: Colours of the drawing, so that picture and solid name the wires alike.
COLOURS: dict[WireSet, str] = {"warp": WARP_FILL, "shute": SHUTE_FILL}
#: How the wires shine (our choice): drawn wire is bright, yet its colour has to tell its set.
_METALLIC, _ROUGHNESS = 0.35, 0.45
#: glTF 2.0, section 4.4: the file's mark, its version, and the marks of its two chunks.
_MAGIC, _VERSION, _JSON_CHUNK, _BINARY_CHUNK = 0x46546C67, 2, 0x4E4F534A, 0x004E4942
#: glTF 2.0, section 5.1.3 and 5.11: component types, and what a buffer view holds.
_UINT32, _FLOAT32, _VERTICES, _INDICES = 5125, 5126, 34962, 34963
#: Turns z up, as the cloth has it, to y up, as glTF has it: -90° about x.
_Z_TO_Y_UP = [-np.sqrt(0.5), 0.0, 0.0, np.sqrt(0.5)]
#: Decimals of a colour: a 256th part needs three, and files stay the same on every machine.
_SHADES = 6
#: sRGB to linear light, IEC 61966-2-1.
_SRGB_KNEE, _SRGB_SLOPE, _SRGB_OFFSET, _SRGB_POWER = 0.04045, 12.92, 0.055, 2.4


@dataclass(slots=True)
class _Buffer:
    """The binary chunk as it grows, and what lies where in it."""

    data: bytearray = field(default_factory=bytearray)
    views: list[dict[str, Any]] = field(default_factory=list)
    accessors: list[dict[str, Any]] = field(default_factory=list)

    def vectors(self, rows: FloatArray, bounded: bool) -> int:
        """Add corners or normals; return their accessor."""
        values = rows.astype("<f4")
        accessor = {"type": "VEC3", "componentType": _FLOAT32, "count": len(values)}
        if bounded:
            # Bounds are of the numbers as stored, so that no corner lies outside them.
            accessor |= {"min": values.min(axis=0).tolist(), "max": values.max(axis=0).tolist()}
        return self._add(values, accessor, _VERTICES)

    def indices(self, triangles: NDArray[np.uint32]) -> int:
        """Add triangles; return their accessor."""
        values = triangles.astype("<u4").ravel()
        accessor = {"type": "SCALAR", "componentType": _UINT32, "count": len(values)}
        return self._add(values, accessor, _INDICES)

    def _add(self, values: NDArray[Any], accessor: dict[str, Any], target: int) -> int:
        # All components are of four bytes, so every view begins where the format wants it.
        stored = values.tobytes()
        view = {"buffer": 0, "byteOffset": len(self.data), "byteLength": len(stored)}
        self.views.append({**view, "target": target})
        self.accessors.append({**accessor, "bufferView": len(self.views) - 1})
        self.data += stored
        return len(self.accessors) - 1


def glb_bytes(solid: ClothSolid) -> bytes:
    """Write a piece of cloth as binary glTF.

    Parameters
    ----------
    solid
        The piece.

    Returns
    -------
    The file; the same for the same piece.

    Examples
    --------
    >>> from meshcore.weave.solids.cloth_solid import cloth_solids
    >>> [solid] = cloth_solids(np.array([0]), np.array([0.635e-3]), np.array([2.54e-3]))
    >>> glb_bytes(solid)[:4]
    b'glTF'
    """
    buffer = _Buffer()
    meshes = [
        {
            "name": f"{wire_set} {phase}",
            "primitives": [_primitive(buffer, solid, wire_set, phase)],
        }
        for wire_set in WIRE_SETS
        for phase in range(len(solid.surfaces[wire_set]))
    ]
    document = {
        "asset": {"version": "2.0", "generator": "meshcore"},
        "scene": 0,
        "scenes": [{"name": WEAVES[solid.weave], "nodes": [0]}],
        "nodes": _nodes(solid),
        "meshes": meshes,
        "materials": [_material(wire_set) for wire_set in WIRE_SETS],
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    text = json.dumps(document, separators=(",", ":"), ensure_ascii=True).encode("ascii")
    chunks = _chunk(_JSON_CHUNK, text, b" ") + _chunk(_BINARY_CHUNK, bytes(buffer.data), b"\0")
    return struct.pack("<III", _MAGIC, _VERSION, _HEADER + len(chunks)) + chunks


#: Bytes of the file's header, and what the length of a chunk is a multiple of.
_HEADER, _ALIGNED = 12, 4


def _chunk(kind: int, data: bytes, filler: bytes) -> bytes:
    filled = data + filler * (-len(data) % _ALIGNED)
    return struct.pack("<II", len(filled), kind) + filled


def _primitive(
    buffer: _Buffer, solid: ClothSolid, wire_set: WireSet, phase: int
) -> dict[str, object]:
    surface = solid.surfaces[wire_set][phase]
    points, normals, triangles = _shaded(surface, solid.laid_m(wire_set, phase))
    return {
        "attributes": {
            "POSITION": buffer.vectors(points, bounded=True),
            "NORMAL": buffer.vectors(normals, bounded=False),
        },
        "indices": buffer.indices(triangles),
        "material": WIRE_SETS.index(wire_set),
    }


def _shaded(
    surface: WireSurface, points: FloatArray
) -> tuple[FloatArray, FloatArray, NDArray[np.uint32]]:
    """Corners with their normals: round along the wire, flat at its cut ends.

    A corner has one normal, so those of the ends stand there once more.
    """
    sides, ends = surface.sides, surface.sides - 2
    rings = points.reshape(-1, sides, 3)
    axis = rings.mean(axis=1, keepdims=True)
    round_about = (rings - axis).reshape(-1, 3)
    outward = np.array([axis[0, 0] - axis[1, 0], axis[-1, 0] - axis[-2, 0]])
    all_normals = np.concatenate([round_about, np.repeat(outward, sides, axis=0)])
    all_normals /= np.linalg.norm(all_normals, axis=1, keepdims=True)
    all_points = np.concatenate([points, rings[0], rings[-1]])
    triangles = surface.triangles.copy()
    triangles[-2 * ends : -ends] += len(points)
    # The last ring's corners lie `sides` further than the first one's, in the surface and here.
    triangles[-ends:] += 2 * sides
    return all_points, all_normals, triangles


def _nodes(solid: ClothSolid) -> list[dict[str, object]]:
    """Return the cloth, below it warp and shute, and below each its wires in their places."""
    first = {"warp": 0, "shute": len(solid.surfaces["warp"])}
    wires: list[dict[str, object]] = [
        {
            "name": f"{wire.wire_set} wire {wire.number}",
            "mesh": first[wire.wire_set] + wire.phase,
            "translation": solid.offset_m(wire).tolist(),
        }
        for wire in solid.wires()
    ]
    said = {
        "weave": WEAVES[solid.weave],
        "wire_diameter_m": solid.wire_diameter_m,
        "pitch_m": solid.pitch_m,
    }
    sets: list[dict[str, object]] = [
        {
            "name": wire_set,
            "children": [_ABOVE + place * solid.pitches + n for n in range(solid.pitches)],
        }
        for place, wire_set in enumerate(WIRE_SETS)
    ]
    cloth: dict[str, object] = {
        "name": "cloth", "rotation": _Z_TO_Y_UP, "children": [1, 2], "extras": said,
    }  # fmt: skip
    return [cloth, *sets, *wires]


#: Nodes that stand before those of the wires: the cloth, warp and shute.
_ABOVE = 1 + len(WIRE_SETS)


def _material(wire_set: WireSet) -> dict[str, object]:
    return {
        "name": wire_set,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*_linear(COLOURS[wire_set]), 1.0],
            "metallicFactor": _METALLIC,
            "roughnessFactor": _ROUGHNESS,
        },
    }


def _linear(colour: str) -> list[float]:
    """Red, green and blue of ``#rrggbb`` in linear light, 0 to 1."""
    shares = np.frombuffer(bytes.fromhex(colour[1:]), np.uint8) / np.iinfo(np.uint8).max
    curved = ((shares + _SRGB_OFFSET) / (1.0 + _SRGB_OFFSET)) ** _SRGB_POWER
    linear = np.where(shares <= _SRGB_KNEE, shares / _SRGB_SLOPE, curved)
    return [round(float(share), _SHADES) for share in linear]
