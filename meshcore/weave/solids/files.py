"""The files that a solid is written to, by the ending of their names."""

from __future__ import annotations

from pathlib import Path

from meshcore.weave.geometry.laying import WIRE_SETS, WireSet
from meshcore.weave.solids.cloth_solid import ClothSolid
from meshcore.weave.solids.gltf import glb_bytes
from meshcore.weave.solids.step import EXTRA, has_kernel, step_bytes
from meshcore.weave.solids.stl import stl_bytes
from meshcore.whole_files import save

#: Ending → what the file is and the unit of its lengths.
FORMATS = {
    ".glb": "glTF 2.0, metres, warp and shute in two colours",
    ".stl": "STL, mm",
    ".step": "STEP, mm, warp and shute in two colours",
}


_MM3_PER_M3 = 1e9


class ModelError(ValueError):
    """A model that cannot be written; the message says what would mend it."""


def write_solid(
    solid: ClothSolid, path: str | Path, wire_sets: tuple[WireSet, ...] = WIRE_SETS
) -> str:
    """Write a solid in the format that its file's name ends in.

    Parameters
    ----------
    solid
        The piece of cloth.
    path
        ``.glb``, ``.stl`` or ``.step``.
    wire_sets
        What of it an STL file holds, which has no objects: the warp, the shute, or both.

    Returns
    -------
    What the file is, the unit of its lengths, and of a part of the cloth which, and its volume.

    Raises
    ------
    ModelError
        If the ending is another one, part of it is asked for in another format than STL, the
        kernel for STEP is not installed, or the file cannot be written.
    """
    path = Path(path)
    ending = path.suffix.casefold()
    if ending not in FORMATS:
        raise ModelError(f"{path}: a model's name ends in {', '.join(FORMATS)}.")
    if tuple(wire_sets) != WIRE_SETS and ending != ".stl":
        raise ModelError(
            f"{path}: only .stl is written in parts; in {ending} warp and shute are objects apart."
        )
    if ending == ".step" and not has_kernel():
        raise ModelError(f"{path}: STEP needs a kernel of solids. Install it with: {EXTRA}")
    try:
        save(path, _bytes(solid, ending, wire_sets))
    except OSError as error:
        raise ModelError(f"{path}: cannot be written ({error.strerror}).") from error
    if tuple(wire_sets) == WIRE_SETS:
        return FORMATS[ending]
    volume = sum(solid.volume_of(name) for name in wire_sets) * _MM3_PER_M3
    return f"{FORMATS[ending]}, {' and '.join(wire_sets)} alone, volume {volume:.5g} mm³"


def _bytes(solid: ClothSolid, ending: str, wire_sets: tuple[WireSet, ...]) -> bytes:
    if ending == ".glb":
        return glb_bytes(solid)
    return stl_bytes(solid, wire_sets) if ending == ".stl" else step_bytes(solid)
