"""Cloth that carries: supports, reinforcement, belts. Strength by direction, steel per width."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.weave.geometry.strength import breaking_load_per_width

#: To stand beside every figure from this module.
CAUTION = (
    "An indication from the wires' own strength: crimps, welds, edges, heat and fatigue reduce it. "
    "No working load. Where people rely on it, test the cloth and follow the local code and a "
    "licensed engineer."
)


def steel_per_width(wire_m: FloatArray | float, pitch_m: FloatArray | float) -> FloatArray:
    """Section of wire per width of cloth, as reinforcement is ordered.

    Parameters
    ----------
    wire_m, pitch_m
        Sizes [m], above zero.

    Returns
    -------
    Section per width [m²/m], the same in both directions.

    References
    ----------
    .. [1] As welded fabric is designated, EN 10080 (from memory): π/4·d²/p.

    Examples
    --------
    >>> (steel_per_width(8e-3, 0.2) * 1e6).round(0)
    np.float64(251.0)
    """
    wire, pitch = np.asarray(wire_m), np.asarray(pitch_m)
    with np.errstate(divide="ignore", invalid="ignore"):
        section: FloatArray = 0.25 * np.pi * wire**2 / pitch
    return np.where((wire > 0) & (pitch > 0), section, np.nan)[()]


def wire_for_load(
    load_n_m: float, pitch_m: FloatArray | float, tensile_pa: float, realised_share: float = 1.0
) -> FloatArray:
    """Wire whose cloth breaks at a load per width.

    Parameters
    ----------
    load_n_m
        Breaking load per width wanted [N/m].
    pitch_m
        Of the cloth [m].
    tensile_pa, realised_share
        As for `meshcore.weave.geometry.strength.breaking_load_per_width`.

    Returns
    -------
    Wire diameter [m].

    Examples
    --------
    >>> wire = wire_for_load(50e3, 4e-3, 600e6)
    >>> (wire * 1e3).round(3), breaking_load_per_width(wire, 4e-3, 600e6).round(0)
    (np.float64(0.651), np.float64(50000.0))
    """
    wire: FloatArray = np.sqrt(
        4.0 * load_n_m * np.asarray(pitch_m) / (np.pi * tensile_pa * realised_share)
    )
    return wire


__all__ = ["CAUTION", "breaking_load_per_width", "steel_per_width", "wire_for_load"]
