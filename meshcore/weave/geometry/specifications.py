"""Cloth from its weave, wire and pitch alone."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.weave.cloth import ClothColumns
from meshcore.weave.geometry.path import cloth_path


def specifications(
    weave: IntArray, wire_diameter_m: FloatArray, pitch_m: FloatArray
) -> ClothColumns:
    """Cloth of no alloy and no width from weave, wire and pitch.

    Examples
    --------
    >>> specifications(np.array([0]), np.array([1e-3]), np.array([4e-3])).open_area.tolist()
    [0.5625]
    """
    path = cloth_path(weave, wire_diameter_m, pitch_m)
    aperture = pitch_m - wire_diameter_m
    return ClothColumns(
        weave=weave,
        pitch_m=pitch_m,
        wire_diameter_m=wire_diameter_m,
        aperture_m=aperture,
        open_area=np.square(aperture / pitch_m),
        path_ratio=path.path_ratio,
        thickness_m=path.thickness_m,
        alloy=np.full(len(weave), -1, dtype=np.int64),
        alloys=(),
        width_m=np.full(len(weave), np.nan),
    )
