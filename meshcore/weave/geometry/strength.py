"""Breaking load of cloth from the strength of its wire: an indication, not a rating."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray

#: To stand beside every figure from this module, wherever it is shown.
CAUTION = (
    "Indicative only: the sum of the wires' own breaking loads, all pulled evenly along one "
    "direction. Crimps, welds, cut edges, corrosion, heat and uneven fixing reduce it. It is no "
    "working load, and no proof that a guard, screen or lifting device is safe; where people rely "
    "on it, test the cloth and follow the local code and a licensed engineer."
)


def breaking_load_per_width(
    wire_diameter_m: FloatArray,
    pitch_m: FloatArray,
    tensile_strength_pa: FloatArray,
    realised_share: float = 1.0,
) -> FloatArray:
    """Load per unit width at which cloth breaks, pulled along either set of wires.

    Parameters
    ----------
    wire_diameter_m, pitch_m
        Sizes [m]; arrays of one shape, or scalars that broadcast.
    tensile_strength_pa
        Tensile strength of the wire as it is in the cloth, annealed or not [Pa].
    realised_share
        Share of the wires' sum that cloth of this kind reached in tests [-]; 0 < share ≤ 1. The
        default is the sum itself, which cloth does not exceed.

    Returns
    -------
    Load per width [N/m].

    Raises
    ------
    ValueError
        If the share is out of range.

    Notes
    -----
    ``1/pitch`` wires a metre, each π/4·d² in section. `CAUTION` goes with the result.

    Examples
    --------
    >>> load = breaking_load_per_width(np.array([1e-3]), np.array([4e-3]), np.array([600e6]))
    >>> (load / 1e3).round(1).tolist()
    [117.8]
    """
    if not 0.0 < realised_share <= 1.0:
        raise ValueError(f"realised_share must lie in (0, 1], got {realised_share}")
    section = np.pi / 4 * np.square(wire_diameter_m)
    load: FloatArray = realised_share * section * tensile_strength_pa / pitch_m
    return load
