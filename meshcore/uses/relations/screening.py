"""Sizing and screening: what passes, at what size a cloth cuts, and how two cloths compare."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray

#: Steepest deck for which the projected aperture is taken [rad], and the least of the aperture that
#: it may leave [-]: steeper, a particle slides along the wires and does not fall (our choice).
STEEPEST_RAD, LEAST_PROJECTED = np.deg2rad(45.0), 0.5
#: Band of sizes around the aperture that is called near-size: three quarters to five quarters of it
#: (textbooks of mineral processing, from memory).
NEAR_SIZE = (0.75, 1.25)
#: To stand beside every figure from this module.
CAUTION = (
    "Spheres, one at a time, on clean dry cloth at its nominal sizes: flaky, fibrous or damp "
    "feed, a thick bed and worn cloth cut otherwise. A trial on the machine decides."
)


def passage_chance(
    particle_m: FloatArray | float,
    aperture_m: FloatArray | float,
    wire_m: FloatArray | float,
    inclination_rad: FloatArray | float = 0.0,
) -> FloatArray:
    """Chance that a sphere passes a square aperture in one trial.

    Parameters
    ----------
    particle_m
        Diameter of the sphere [m].
    aperture_m, wire_m
        Sizes of the cloth [m]; shapes broadcast.
    inclination_rad
        Of the cloth from the horizontal, the sphere falling straight down [rad].

    Returns
    -------
    Chance [-]; 0 where the sphere is too large, NaN where the inclination is out of range
    (0 to 45°), where it leaves less than half of the aperture, or a size is not above zero.

    Notes
    -----
    The sphere passes if its centre comes through the part of a mesh that is its radius clear of
    the wires: ((a − x)/(a + d))² on level cloth, which is open area times (1 − x/a)². Inclined,
    the mesh is foreshortened one way to (a + d)·cos θ, of which the wire keeps its d. Spheres that
    rebound from a wire into the mesh are left out.

    References
    ----------
    .. [1] A. M. Gaudin, Principles of Mineral Dressing, McGraw-Hill, 1939 (from memory).

    Examples
    --------
    >>> passage_chance(5e-3, 10e-3, 2.5e-3).round(3)
    np.float64(0.16)
    >>> passage_chance(5e-3, 10e-3, 2.5e-3, np.deg2rad(20)).round(3)
    np.float64(0.145)
    """
    particle, aperture, wire, slope = np.broadcast_arrays(
        particle_m, aperture_m, wire_m, inclination_rad
    )
    pitch = aperture + wire
    level = np.clip(aperture - particle, 0.0, None) / pitch
    seen = projected_aperture(aperture, wire, slope)
    steep = np.clip(seen - particle, 0.0, None) / (pitch * np.cos(slope))
    good = (particle >= 0) & (aperture > 0) & (wire > 0) & np.isfinite(seen)
    chance: FloatArray = np.where(good, level * steep, np.nan)
    return chance[()]


def projected_aperture(
    aperture_m: FloatArray | float,
    wire_m: FloatArray | float,
    inclination_rad: FloatArray | float,
) -> FloatArray:
    """Aperture along an inclined deck as what falls straight down meets it.

    Returns
    -------
    (a + d)·cos θ − d [m]; NaN where the inclination is out of range (0 to 45°), or where this is
    less than half of the aperture.

    Examples
    --------
    >>> (projected_aperture(7.1e-3, 2e-3, np.deg2rad([0, 20, 60])) * 1e3).round(2)
    array([7.1 , 6.55,  nan])
    """
    aperture, wire, slope = np.broadcast_arrays(aperture_m, wire_m, inclination_rad)
    seen = (aperture + wire) * np.cos(slope) - wire
    good = (slope >= 0) & (slope <= STEEPEST_RAD * (1.0 + _DUST))
    good &= seen >= LEAST_PROJECTED * aperture * (1.0 - _DUST)
    projected: FloatArray = np.where(good, seen, np.nan)
    return projected[()]


#: A size or an angle typed as its limit is within it, however it was computed [-].
_DUST = 1e-9


def share_passed(chance: FloatArray | float, trials: FloatArray | float) -> FloatArray:
    """Share that has passed after some trials, each with the same chance.

    Examples
    --------
    >>> share_passed(0.16, 10).round(3)
    np.float64(0.825)
    """
    passed: FloatArray = 1.0 - np.power(1.0 - np.asarray(chance), trials)
    return passed


def cut_size(
    aperture_m: FloatArray | float,
    wire_m: FloatArray | float,
    inclination_rad: FloatArray | float,
    trials: FloatArray | float,
) -> FloatArray:
    """Size at which a cloth cuts: half of the spheres of that size have passed after the trials.

    Parameters
    ----------
    aperture_m, wire_m, inclination_rad
        As for `passage_chance`.
    trials
        How often a particle meets the cloth on its way, 1 or more.

    Returns
    -------
    Diameter [m]; NaN where the trials are too few for half to pass, whatever the size, or an
    input is out of range.

    Notes
    -----
    The chance that lets half through in n trials is 1 − 2^(−1/n); with A = (a + d)·cos θ − d it is
    reached where (A − x)·(a − x) = chance·(a + d)²·cos θ, of which the smaller root is the size.

    References
    ----------
    .. [1] The chance of one trial as in `passage_chance`.

    Examples
    --------
    >>> x = cut_size(7.1e-3, 2e-3, np.deg2rad(20), 60)
    >>> chance = passage_chance(x, 7.1e-3, 2e-3, np.deg2rad(20))
    >>> (x * 1e3).round(2), share_passed(chance, 60).round(6)
    (np.float64(5.84), np.float64(0.5))
    """
    aperture, wire, slope, count = np.broadcast_arrays(aperture_m, wire_m, inclination_rad, trials)
    pitch = aperture + wire
    with np.errstate(invalid="ignore", divide="ignore"):
        needed = 1.0 - np.power(0.5, 1.0 / count)
        seen = projected_aperture(aperture, wire, slope)
        root = np.sqrt((aperture - seen) ** 2 + 4.0 * needed * pitch**2 * np.cos(slope))
        size = 0.5 * (aperture + seen - root)
    good = (size > 0) & (count >= 1)
    found: FloatArray = np.where(good & (wire > 0), size, np.nan)
    return found[()]


def relative_capacity(
    particle_m: float,
    cloths: tuple[FloatArray | float, FloatArray | float],
    beside: tuple[FloatArray | float, FloatArray | float],
    inclination_rad: float = 0.0,
) -> FloatArray:
    """Capacity of one cloth over that of another, for one size of particle.

    Parameters
    ----------
    particle_m
        Size that is to pass [m].
    cloths, beside
        Aperture and wire of each [m].
    inclination_rad
        Of both [rad].

    Returns
    -------
    Ratio of the chances of passage [-]; NaN where the other passes none. A comparison on one
    machine, with one feed: no tonnage.

    Examples
    --------
    >>> relative_capacity(4e-3, (8e-3, 2e-3), (8e-3, 2.5e-3)).round(3)
    np.float64(1.103)
    """
    one = passage_chance(particle_m, *cloths, inclination_rad)
    other = passage_chance(particle_m, *beside, inclination_rad)
    ratio: FloatArray = np.divide(one, other, out=np.full_like(one, np.nan), where=other > 0)
    return ratio


def relative_wear_life(
    wire_m: FloatArray | float, open_area: FloatArray | float, beside: tuple[float, float]
) -> FloatArray:
    """Life of a cloth's wires over that of another of the same alloy, under the same bed.

    Parameters
    ----------
    wire_m, open_area
        Of the cloth [m, -].
    beside
        Wire and open area of the other [m, -].

    Returns
    -------
    Ratio [-]. A comparison only: nothing is said of hours.

    Notes
    -----
    Archard's depth of wear goes with the pressure on the wire, which is the load over the share of
    the area that is wire; the depth that may be lost goes with the wire. So life ~ d·(1 − A).

    References
    ----------
    .. [1] J. F. Archard, Contact and rubbing of flat surfaces, J. Appl. Phys. 24, 1953.

    Examples
    --------
    >>> relative_wear_life(2.5e-3, 0.58, (2e-3, 0.64)).round(2)
    np.float64(1.46)
    """
    wire, share = beside
    ratio: FloatArray = np.asarray(wire_m) * (1.0 - np.asarray(open_area)) / (wire * (1.0 - share))
    return ratio
