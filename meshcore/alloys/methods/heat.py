"""Heat: the customary ceiling in still, clean air, and how much of a wire scales away by then.

A ceiling is quoted for thick stock: there the metal loses no more than about 1 g/m² in an hour,
averaged over 120 h. From that the depth lost is reckoned as a square root of time (a scale that
protects), doubling every 50 K; a thin wire is gone before a thick one. Not valid for furnace
gases, sulphur, carburising or cycling heat, nor for load: strength goes long before.
"""

from __future__ import annotations

import numpy as np

from meshcore.alloys.methods.figures import figure
from meshcore.alloys.methods.outdoor_loss import depth_for_share
from meshcore.alloys.methods.thin_scale import ThinScale
from meshcore.alloys.methods.verdicts import NOT_JUDGED, Fitness, not_asked, verdict_where
from meshcore.arrays import BoolArray, FloatArray

METHOD = "heat (ceiling in air, and scale by wire)"

#: Share of the ceiling kept in hand [-] (project's own).
HEAT_MARGIN = 0.10
#: One step of margin [K] (project's own).
HEAT_STEP_K = 50.0
#: Loss at the ceiling: 1 g/m² an hour over 120 h of steel of 7.9 g/cm³ [µm] in so many hours
#: (scaling criterion of SEW 470 and EN 10095, from memory; that it doubles in 50 K too).
_LOSS_UM, _LOSS_HOURS, _DOUBLES_IN_K = 120.0 / 7.9, 120.0, 50.0
#: Below this ceiling it is not scaling that sets it [°C] (project's own).
SCALING_CEILING_C = 600.0
#: Depth below which nothing is said of it [µm] (project's own).
_WORTH_A_WORD_UM = 0.01
#: Hours that nobody knows may be as many [h]: some eleven years without a stop (project's own).
MOST_HOURS = 100_000.0


def depth_lost_um(
    temperature_c: FloatArray, hours: FloatArray, ceiling_c: FloatArray
) -> FloatArray:
    """Depth of metal scaled away [µm], the broadcast shape of all.

    Examples
    --------
    304 at 780 °C for 10,000 h: more than the radius of the finest wire.

    >>> depth_lost_um(np.array(780.0), np.array(10_000.0), np.array(870.0)).round()
    np.float64(40.0)
    """
    doublings = (temperature_c - ceiling_c) / _DOUBLES_IN_K
    return np.asarray(_LOSS_UM * 2.0**doublings * np.sqrt(hours / _LOSS_HOURS), dtype=np.float64)


def judge(
    temperature_c: FloatArray,
    ceiling_c: FloatArray,
    wire_diameter_m: FloatArray | None = None,
    hours: FloatArray | None = None,
    lost_share: FloatArray | None = None,
    asked_of: BoolArray | None = None,
    thin: ThinScale | None = None,
) -> Fitness:
    """Judge alloys by their ceiling, marginal within a tenth of it, and by what a wire can lose.

    Parameters
    ----------
    temperature_c
        Hottest continuous metal temperature of each service [°C]; NaN where none is named.
    ceiling_c
        Customary ceiling of each alloy [°C].
    wire_diameter_m, hours, lost_share
        Of each service: wire [m], time at temperature [h], share of the section that may be lost;
        where one is NaN or left out, only the ceiling is judged; hours that nobody knows may be
        many, and then nothing is judged that many would take.
    asked_of
        Services in heat; those with a temperature by default. One without is not judged.
    thin
        What is known of the scale of alloys whose ceiling is not set by scaling; nothing by
        default.

    Examples
    --------
    >>> judge(np.array([800.0]), np.array([870.0, 1095.0])).verdict.tolist()
    [[2, 1]]
    """
    hot, ceiling = temperature_c[:, None], ceiling_c[None, :]
    asked = ~np.isnan(hot) if asked_of is None else asked_of[:, None]
    if not asked.any():
        return not_asked(METHOD, (len(temperature_c), len(ceiling_c)))
    keeps = (1.0 - HEAT_MARGIN) * ceiling
    nobody = np.full(len(temperature_c), np.nan)
    wire = nobody if wire_diameter_m is None else wire_diameter_m
    time = nobody if hours is None else hours
    allowed = depth_for_share(wire, nobody if lost_share is None else lost_share)[:, None]
    radius = wire[:, None] / 2.0 * 1e6
    scales = ceiling >= SCALING_CEILING_C

    def depth(so_many: FloatArray) -> FloatArray:
        otherwise = np.array(0.0) if thin is None else thin.depth_um(hot, so_many)
        return np.where(scales, depth_lost_um(hot, so_many, ceiling), otherwise)

    lost, at_most = depth(time[:, None]), depth(np.array(MOST_HOURS))
    spent, gone = lost > allowed, lost > radius
    silent = np.array(False)
    if thin is not None:
        silent = ~scales & (hot <= ceiling) & thin.unknown(hot, wire[:, None])
    depends = np.isnan(time)[:, None] & (at_most > allowed) & (hours is not None)
    verdict = verdict_where(
        asked,
        ~np.isnan(hot) & ~(depends & (hot <= ceiling)) & ~silent,
        (hot <= keeps) & ~spent,
        (hot <= ceiling) & ~gone,
    )

    def say(service: int, alloy: int) -> str:
        if np.isnan(temperature_c[service]):
            return "heat: the temperature is not known"
        if depends[service, alloy] and verdict[service, alloy] == NOT_JUDGED:
            return "heat: the hours are not known, and many would scale this wire away"
        if silent.ndim and silent[service, alloy]:
            return (
                f"heat: how fast it scales at {figure(temperature_c[service], 4)} °C is not held, "
                "and a thin wire has little to lose"
            )
        hot_c, ceiling = figure(temperature_c[service], 4), f"{ceiling_c[alloy]:g} °C"
        words = f"{hot_c} °C against a ceiling in air of {ceiling} ({HEAT_MARGIN:.0%} kept in hand)"
        deep, whole = float(lost[service, alloy]), float(2 * radius[service, 0])
        if deep < _WORTH_A_WORD_UM or not np.isfinite(deep + whole):
            return words
        return (
            f"{words}; in {figure(time[service])} h about {figure(deep, 2)} µm scales away all "
            f"round, of a wire of {figure(whole)} µm that may lose "
            f"{figure(allowed[service, 0], 2)} µm"
        )

    return Fitness(METHOD, verdict, (keeps - hot) / HEAT_STEP_K, say)
