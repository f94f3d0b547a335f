"""Salt in water: the chloride of a strength that is stated."""

from __future__ import annotations

import math

#: Share of chloride in sodium chloride, by mass [-] (atomic weights 35.45 and 22.99).
_CHLORIDE_OF_SALT = 35.45 / (35.45 + 22.99)
#: Share of chloride in the salt of the sea, by mass [-]: salinity is 1.80655 times chlorinity
#: (UNESCO practical salinity; from memory).
_CHLORIDE_OF_SEA_SALT = 1.0 / 1.80655
#: Rise of the density of brine with its strength [kg/(m³·%)]: 1,197 kg/m³ at 26 % and 20 °C
#: (handbook tables of sodium chloride, from memory).
_WATER_KG_M3, _RISE = 998.0, 7.65
#: Waters whose salt is that of the sea.
_OF_THE_SEA = ("sea water", "splash zone", "brackish water")
#: Strongest that water takes up of sodium chloride [%] (26.4 % cold, 28 % boiling; from memory).
SATURATED_PCT = 28.5


def chloride_mg_l(environment: str, strength_pct: float) -> float:
    """Chloride of a water that holds so much salt by mass [mg/l].

    What no name says of other waters is taken for common salt, which has the most chloride; no
    more than dissolves.

    Examples
    --------
    >>> round(chloride_mg_l("brine", 26.0), -3), round(chloride_mg_l("sea water", 3.5), -2)
    (189000.0, 19900.0)
    """
    of_salt = _CHLORIDE_OF_SEA_SALT if environment in _OF_THE_SEA else _CHLORIDE_OF_SALT
    dissolved_pct = strength_pct if math.isnan(strength_pct) else min(strength_pct, SATURATED_PCT)
    density = _WATER_KG_M3 + _RISE * dissolved_pct
    return dissolved_pct / 100.0 * of_salt * density * 1e3
