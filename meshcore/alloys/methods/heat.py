"""Heat: the customary ceiling for continuous service in still, clean air.

Not valid for furnace gases, sulphur, carburising or cycling heat, nor for load: strength goes
long before the metal scales. Fine wire scales through sooner than the thick stock for which the
ceilings are quoted, hence the margin.
"""

from __future__ import annotations

import numpy as np

from meshcore.alloys.methods.verdicts import Fitness, verdict_where
from meshcore.arrays import FloatArray

METHOD = "heat (customary ceiling in air)"

#: Share of the ceiling kept in hand for thin wire [-] (project's own).
HEAT_MARGIN = 0.10
#: One step of margin [K] (project's own).
HEAT_STEP_K = 50.0


def judge(temperature_c: FloatArray, ceiling_c: FloatArray) -> Fitness:
    """Judge alloys by their ceiling; marginal within a tenth of it.

    Parameters
    ----------
    temperature_c
        Hottest continuous metal temperature of each service [°C]; NaN where none is named.
    ceiling_c
        Customary ceiling of each alloy [°C].

    Examples
    --------
    >>> judge(np.array([800.0]), np.array([870.0, 1095.0])).verdict.tolist()
    [[2, 1]]
    """
    hot, ceiling = temperature_c[:, None], ceiling_c[None, :]
    asked = ~np.isnan(hot)
    keeps = (1.0 - HEAT_MARGIN) * ceiling
    verdict = verdict_where(asked, np.array(True), hot <= keeps, hot <= ceiling)

    def say(service: int, alloy: int) -> str:
        return (
            f"{temperature_c[service]:g} °C against a ceiling in air of {ceiling_c[alloy]:g} °C "
            f"({HEAT_MARGIN:.0%} of it kept in hand)"
        )

    return Fitness(METHOD, verdict, (keeps - hot) / HEAT_STEP_K, say)
