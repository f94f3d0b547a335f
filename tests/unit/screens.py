"""A screen as the correlations of flow see it, for the tests of their authors."""

from __future__ import annotations

import numpy as np

from meshcore.uses.relations.flow import ScreenColumns


def screen(aperture_mm: float, wire_mm: float, weave: int = 0) -> ScreenColumns:
    """One screen two wires thick, whose wires are 4 % longer than it."""
    pitch = aperture_mm + wire_mm
    sizes = (aperture_mm * 1e-3, wire_mm * 1e-3, 2e-3 * wire_mm, (aperture_mm / pitch) ** 2, 1.04)
    aperture, thick, deep, open_area, path = (np.array([size]) for size in sizes)
    return ScreenColumns(aperture, thick, deep, open_area, path, np.array([weave]))
