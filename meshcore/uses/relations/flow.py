"""Flow through cloth: loss coefficients by several authors, pressure drop and velocity."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.enquiry import PLAIN, TWILLED
from meshcore.units import METRES_PER_FOOT

#: To stand beside every figure from this module.
CAUTION = (
    "Clean cloth in even flow at right angles, by correlations whose authors differ as the spread "
    "shows: dirt, fibres, frames and uneven flow raise the drop, often several times."
)


@dataclass(frozen=True, slots=True)
class Fluid:
    """A fluid: its density [kg/m³] and viscosity [Pa·s]."""

    name: str
    density_kg_m3: float
    viscosity_pa_s: float


#: At 20 °C and 101.325 kPa (handbook values, from memory).
FLUIDS: Mapping[str, Fluid] = MappingProxyType(
    {
        "air": Fluid("air at 20 °C", 1.204, 1.825e-5),
        "water": Fluid("water at 20 °C", 998.2, 1.002e-3),
        "light oil": Fluid("mineral oil, ISO VG 32 at 40 °C", 857.0, 2.74e-2),
    }
)


@dataclass(frozen=True, slots=True)
class ScreenColumns:
    """What the correlations see of a cloth; arrays of one shape.

    Parameters
    ----------
    aperture_m, wire_m, thickness_m
        Sizes [m].
    open_area
        Share that is open [-].
    path_ratio
        Wire length per unit length of cloth [-].
    weave
        Index into ``meshcore.enquiry.WEAVES``.
    """

    aperture_m: FloatArray
    wire_m: FloatArray
    thickness_m: FloatArray
    open_area: FloatArray
    path_ratio: FloatArray
    weave: IntArray

    @property
    def solid_per_area_m(self) -> FloatArray:
        """Volume of wire per area of cloth [m]."""
        pitch = self.aperture_m + self.wire_m
        volume: FloatArray = 0.5 * np.pi * self.wire_m**2 * self.path_ratio / pitch
        return volume


#: His coefficient, on the speed in the openings. Reviews quote 6.5, as Mehta and Bradshaw, 1979,
#: and also 6 (both from memory; of his paper only the summary was at hand). The higher is the safe
#: side.
_WIEGHARDT = 6.5


def _wieghardt(cloth: ScreenColumns, velocity: FloatArray, fluid: Fluid) -> FloatArray:
    inner = _reynolds(cloth.wire_m, velocity / cloth.open_area, fluid)
    loss = _WIEGHARDT * (1.0 - cloth.open_area) / cloth.open_area**2 * inner ** (-1.0 / 3.0)
    return np.where(_within(inner, 60.0, 600.0), loss, np.nan)


def _brundrett(cloth: ScreenColumns, velocity: FloatArray, fluid: Fluid) -> FloatArray:
    reynolds = _reynolds(cloth.wire_m, velocity, fluid)
    friction = 7.125 / reynolds + 0.88 / np.log10(reynolds + 1.25) + 0.055 * np.log10(reynolds)
    loss = friction * _contraction(cloth)
    return np.where(
        _within(reynolds, 0.1, 1e4) & _within(cloth.open_area, 0.30, 0.80), loss, np.nan
    )


#: Reynolds numbers of the gap, and coefficients, of round wire (Blevins, Applied Fluid Dynamics
#: Handbook, 1984, as the PyPI package `fluids` carries them).
_GAP_REYNOLDS = (20.0, 30.0, 40.0, 60.0, 80.0, 100.0, 200.0, 400.0)
_GAP_COEFFICIENTS = (1.3, 1.1, 0.95, 0.83, 0.75, 0.7, 0.6, 0.52)


def _blevins(cloth: ScreenColumns, velocity: FloatArray, fluid: Fluid) -> FloatArray:
    reynolds = _reynolds(cloth.aperture_m, velocity, fluid)
    loss = np.interp(reynolds, _GAP_REYNOLDS, _GAP_COEFFICIENTS) * _contraction(cloth)
    return np.where(
        _within(reynolds, _GAP_REYNOLDS[0]) & _within(cloth.open_area, 0.05, 0.80), loss, np.nan
    )


def _blevins_open(cloth: ScreenColumns, velocity: FloatArray, fluid: Fluid) -> FloatArray:
    reynolds = _reynolds(cloth.wire_m, velocity, fluid)
    closed = 1.0 - cloth.open_area
    loss = 0.95 * closed + 0.2 * closed**2
    return np.where(_within(reynolds, 500.0) & _within(cloth.open_area, 0.85, 1.0), loss, np.nan)


def _idelchik(cloth: ScreenColumns, velocity: FloatArray, fluid: Fluid) -> FloatArray:
    reynolds = _reynolds(cloth.wire_m, velocity / cloth.open_area, fluid)
    loss = 1.3 * (1.0 - cloth.open_area) + (1.0 / cloth.open_area - 1.0) ** 2
    return np.where(_within(reynolds, 1e3) & _within(cloth.open_area, 0.05, 0.95), loss, np.nan)


#: Weaves of square mesh that they measured, and the ranges that they found their correlation to
#: hold over (their abstract): openings [m], void fraction [-], wire surface per volume [1/m], which
#: they give as 1200 to 29000 per foot, and Reynolds number [-].
_ARMOUR_CANNON_WEAVES = (PLAIN, TWILLED)
_ARMOUR_CANNON_PORE, _ARMOUR_CANNON_VOID = (5e-6, 550e-6), (0.35, 0.76)
_ARMOUR_CANNON_SURFACE = (1200.0 / METRES_PER_FOOT, 29000.0 / METRES_PER_FOOT)
_ARMOUR_CANNON_REYNOLDS = (0.1, 1e3)


def _armour_cannon(cloth: ScreenColumns, velocity: FloatArray, fluid: Fluid) -> FloatArray:
    void = 1.0 - cloth.solid_per_area_m / cloth.thickness_m
    surface = 4.0 * cloth.solid_per_area_m / (cloth.wire_m * cloth.thickness_m)
    reynolds = (
        fluid.density_kg_m3 * velocity / (fluid.viscosity_pa_s * surface**2 * cloth.aperture_m)
    )
    friction = 8.61 / reynolds + 0.52
    loss = 2.0 * friction * cloth.thickness_m / (void**2 * cloth.aperture_m)
    covered = (
        np.isin(cloth.weave, _ARMOUR_CANNON_WEAVES)
        & _within(cloth.aperture_m, *_ARMOUR_CANNON_PORE)
        & _within(void, *_ARMOUR_CANNON_VOID)
        & _within(surface, *_ARMOUR_CANNON_SURFACE)
        & _within(reynolds, *_ARMOUR_CANNON_REYNOLDS)
    )
    return np.where(covered, loss, np.nan)


def _reynolds(length: FloatArray, velocity: FloatArray, fluid: Fluid) -> FloatArray:
    number: FloatArray = fluid.density_kg_m3 * velocity * length / fluid.viscosity_pa_s
    return number


def _contraction(cloth: ScreenColumns) -> FloatArray:
    square = cloth.open_area**2
    return (1.0 - square) / square


def _within(values: FloatArray, least: float, most: float = np.inf) -> BoolArray:
    """Whether a correlation covers the values."""
    inside: BoolArray = (values >= least) & (values <= most)
    return inside


Correlation = Callable[[ScreenColumns, FloatArray, Fluid], FloatArray]
#: Author → loss coefficient on the approach velocity; NaN outside the author's range.
CORRELATIONS: Mapping[str, Correlation] = MappingProxyType(
    {
        "Wieghardt 1953": _wieghardt,
        "Armour and Cannon 1968": _armour_cannon,
        "Blevins 1984, round wire": _blevins,
        "Blevins 1984, open mesh": _blevins_open,
        "Idelchik, round wire": _idelchik,
        "Brundrett 1993": _brundrett,
    }
)


def loss_coefficients(
    cloth: ScreenColumns, velocity_m_s: FloatArray | float, fluid: Fluid
) -> dict[str, FloatArray]:
    """Loss coefficient of cloth by each author.

    Parameters
    ----------
    cloth
        The cloth.
    velocity_m_s
        Approach velocity, ahead of the cloth [m/s], above zero; broadcasts.
    fluid
        What flows.

    Returns
    -------
    Author → coefficient K of Δp = K·ρ·u²/2 [-]; NaN outside the author's own range.

    Notes
    -----
    With open area α, wire d, aperture a, thickness t, void fraction ε = 1 − (wire volume)/t and
    wire surface per volume s:

    - Wieghardt: K = 6.5·(1 − α)/α²·Re^(−1/3), Re = u·d/(α·ν), 60 to 600.
    - Armour and Cannon, plain and twilled: Δp = f·t·ρ·u²/(ε²·a), f = 8.61/Re + 0.52,
      Re = ρ·u/(µ·s²·a), 0.1 to 1000; a 5 to 550 µm, ε 0.35 to 0.76, s 3940 to 95100 per metre.
    - Blevins, round wire: K = β(Re)·(1 − α²)/α², Re = u·a/ν from 20, α 0.05 to 0.80.
    - Blevins, open mesh: K = 0.95·(1 − α) + 0.2·(1 − α)², Re = u·d/ν from 500, α from 0.85.
    - Idelchik: K = 1.3·(1 − α) + (1/α − 1)², Re = u·d/(α·ν) from 1000.
    - Brundrett: K = (7.125/Re + 0.88/lg(Re + 1.25) + 0.055·lg Re)·(1 − α²)/α², Re = u·d/ν,
      0.1 to 10⁴, α 0.30 to 0.80.

    The ranges are those of the sources as remembered; where they were not, they are kept narrow.

    References
    ----------
    .. [1] K. E. G. Wieghardt, On the resistance of screens, Aeronautical Quarterly 4, 1953
       (from memory; his coefficient is quoted as 6 and as 6.5, and the higher is taken).
    .. [2] J. C. Armour, J. N. Cannon, Fluid flow through woven screens, AIChE Journal 14, 1968
       (coefficients, weaves and ranges as its abstract has them; formula from memory).
    .. [3] R. D. Blevins, Applied Fluid Dynamics Handbook, 1984, as the PyPI package fluids has it.
    .. [4] I. E. Idelchik, Handbook of Hydraulic Resistance, diagram of wire screens (from memory).
    .. [5] E. Brundrett, Prediction of pressure drop for incompressible flow through screens,
       J. Fluids Engineering 115, 1993 (from memory).

    Examples
    --------
    >>> one = ScreenColumns(*(np.array([x]) for x in (1e-3, 0.4e-3, 0.8e-3, 0.51, 1.05, 0)))
    >>> found = loss_coefficients(one, 5.0, FLUIDS["air"])
    >>> {name: round(float(k[0]), 2) for name, k in found.items() if np.isfinite(k[0])}
    ... # doctest: +NORMALIZE_WHITESPACE
    {'Wieghardt 1953': 1.92, 'Blevins 1984, round wire': 1.56, 'Brundrett 1993': 1.66}
    """
    shape = np.broadcast_shapes(np.shape(velocity_m_s), cloth.open_area.shape)
    velocity = np.broadcast_to(np.asarray(velocity_m_s, dtype=np.float64), shape)
    with np.errstate(invalid="ignore", divide="ignore"):
        return {name: loss(cloth, velocity, fluid) for name, loss in CORRELATIONS.items()}


@dataclass(frozen=True, slots=True)
class Spread:
    """Lowest, middle (geometric mean) and highest of what the authors give, and how many do."""

    low: FloatArray
    middle: FloatArray
    high: FloatArray
    authors: FloatArray


def pressure_drop(cloth: ScreenColumns, velocity_m_s: FloatArray | float, fluid: Fluid) -> Spread:
    """Pressure drop of clean cloth, with the spread of the authors.

    Parameters
    ----------
    cloth, velocity_m_s, fluid
        As for `loss_coefficients`.

    Returns
    -------
    Pressure drop [Pa]; NaN where no author's range covers the flow.

    Examples
    --------
    >>> one = ScreenColumns(*(np.array([x]) for x in (1e-3, 0.4e-3, 0.8e-3, 0.51, 1.05, 0)))
    >>> drop = pressure_drop(one, 5.0, FLUIDS["air"])
    >>> [round(float(p[0])) for p in (drop.low, drop.middle, drop.high)], int(drop.authors[0])
    ([23, 26, 29], 3)
    """
    return spread(loss_coefficients(cloth, velocity_m_s, fluid), velocity_m_s, fluid)


def spread(
    losses: Mapping[str, FloatArray], velocity_m_s: FloatArray | float, fluid: Fluid
) -> Spread:
    """Pressure drops [Pa] of loss coefficients by author; NaN where each of them is."""
    found = np.stack(list(losses.values()))
    dynamic = 0.5 * fluid.density_kg_m3 * np.square(velocity_m_s)
    known = np.isfinite(found)
    authors = known.sum(axis=0)
    none = authors == 0
    low = np.where(none, np.nan, np.where(known, found, np.inf).min(axis=0))
    high = np.where(none, np.nan, np.where(known, found, -np.inf).max(axis=0))
    with np.errstate(invalid="ignore", divide="ignore"):
        middle = np.exp(np.where(known, np.log(found), 0.0).sum(axis=0) / authors)
    return Spread(low * dynamic, middle * dynamic, high * dynamic, authors.astype(np.float64))


#: Slowest and fastest approach that a velocity is looked for in [m/s], and halvings of the search.
_SLOWEST, _FASTEST, _HALVINGS = 1e-4, 50.0, 50
#: Where another author begins, the highest of them makes a step; one so small is bridged [-].
_A_STEP = 0.05


def velocity_at(cloth: ScreenColumns, drop_pa: FloatArray | float, fluid: Fluid) -> FloatArray:
    """Approach velocity at a pressure drop, by the highest of the authors: the safe side.

    Parameters
    ----------
    cloth, fluid
        As for `loss_coefficients`.
    drop_pa
        Pressure drop [Pa], above zero.

    Returns
    -------
    Velocity [m/s]; NaN where it is beyond what any author covers.

    Examples
    --------
    >>> one = ScreenColumns(*(np.array([x]) for x in (1e-3, 0.4e-3, 0.8e-3, 0.51, 1.05, 0)))
    >>> velocity_at(one, 28.92, FLUIDS["air"]).round(2).tolist()
    [5.0]
    """
    low = np.full(cloth.open_area.shape, np.log(_SLOWEST))
    high = np.full(cloth.open_area.shape, np.log(_FASTEST))
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        found = pressure_drop(cloth, np.exp(middle), fluid).high
        # Where nobody speaks the flow is too slow, since every range but one is open above.
        more = ~(found >= drop_pa)
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    velocity = np.exp(0.5 * (low + high))
    reached = pressure_drop(cloth, velocity, fluid).high
    close = np.abs(reached / drop_pa - 1.0) < _A_STEP
    return np.where(close, velocity, np.nan)
