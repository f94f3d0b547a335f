"""How fast a gas may flow for correlations of incompressible flow to hold."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from meshcore.arrays import BoolArray, FloatArray

#: Speed of sound at 20 °C by fluid of ``FLUIDS`` [m/s]; of gases alone (handbook, from memory).
SOUND_M_S: Mapping[str, float] = MappingProxyType({"air": 343.2})
#: Mach number to which a gas is taken as incompressible [-] (textbooks of fluid mechanics, from
#: memory).
INCOMPRESSIBLE_MACH = 0.3


def is_incompressible(
    open_area: FloatArray, velocity_m_s: FloatArray | float, fluid: str
) -> BoolArray:
    """Whether what flows through cloth may be taken as incompressible.

    Parameters
    ----------
    open_area
        Share of the cloth that is open [-].
    velocity_m_s
        Approach velocity [m/s]; in the openings it is faster by the open area.
    fluid
        Name among ``FLUIDS``; of liquids it always holds.

    References
    ----------
    .. [1] Mach 0.3, as textbooks of fluid mechanics have it (from memory).

    Examples
    --------
    >>> is_incompressible(np.array([0.36, 0.36]), np.array([30.0, 50.0]), "air").tolist()
    [True, False]
    """
    fastest = SOUND_M_S.get(fluid, np.inf) * INCOMPRESSIBLE_MACH
    slow: BoolArray = np.asarray(velocity_m_s) / open_area <= fastest
    return slow
