"""Square openings in guards against distance of reach: the table of ISO 13857, both ways."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray

#: To stand beside every figure from this module.
CAUTION = (
    "Never a claim of safety. The table is from memory: look it up in the edition in force. The "
    "risk assessment of the machine, the guard's stiffness and fixing, the cloth's tolerance and "
    "wear, and local codes decide; persons under 14 have another table."
)
#: ISO 13857:2019, table 4, reaching through regular openings, persons of 14 and above: side of a
#: square opening up to [m] → least safety distance [m] (from memory).
SQUARE_OPENINGS: tuple[tuple[float, float], ...] = (
    (0.004, 0.002), (0.006, 0.005), (0.008, 0.015), (0.010, 0.025), (0.012, 0.080),
    (0.020, 0.120), (0.030, 0.120), (0.040, 0.200), (0.120, 0.850),
)  # fmt: skip
_OPENINGS = np.array([opening for opening, _ in SQUARE_OPENINGS])
_DISTANCES = np.array([distance for _, distance in SQUARE_OPENINGS])
#: A size typed as a step's end belongs to it, however it was computed [-].
_DUST = 1e-9


def least_distance(opening_m: FloatArray | float) -> FloatArray:
    """Least distance from a guard's square opening to the danger.

    Parameters
    ----------
    opening_m
        Side of the opening [m]: the largest that the cloth may have, not the nominal.

    Returns
    -------
    Distance [m]; NaN above 120 mm or at nothing, which the table does not cover.

    Notes
    -----
    A step holds from the opening before it, not included, to its own, included; nothing is put
    between steps.

    References
    ----------
    .. [1] ISO 13857:2019, Safety of machinery, safety distances, table 4 (from memory).

    Examples
    --------
    >>> least_distance(np.array([8e-3, 12e-3, 35e-3, 0.13])).tolist()
    [0.015, 0.08, 0.2, nan]
    """
    opening = np.asarray(opening_m, dtype=np.float64)
    place = np.searchsorted(_OPENINGS, opening * (1.0 - _DUST), side="left")
    inside = (opening > 0) & (place < len(_OPENINGS))
    found: FloatArray = np.where(inside, np.append(_DISTANCES, np.nan)[place], np.nan)
    return found[()]


def largest_opening(distance_m: FloatArray | float) -> FloatArray:
    """Largest square opening of a guard at a distance from the danger.

    Parameters
    ----------
    distance_m
        From the guard to the danger [m].

    Returns
    -------
    Side of the opening [m]; NaN nearer than 2 mm, where the table allows none.

    Notes
    -----
    The largest opening whose least distance is not above the distance.

    References
    ----------
    .. [1] ISO 13857:2019, table 4 (from memory).

    Examples
    --------
    >>> largest_opening(np.array([0.001, 0.02, 0.15, 1.0])).tolist()
    [nan, 0.008, 0.03, 0.12]
    """
    distance = np.asarray(distance_m, dtype=np.float64)
    place = np.searchsorted(_DISTANCES, distance * (1.0 + _DUST), side="right") - 1
    found: FloatArray = np.where(place >= 0, _OPENINGS[np.maximum(place, 0)], np.nan)
    return found[()]
