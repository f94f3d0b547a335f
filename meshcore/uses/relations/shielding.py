"""Attenuation of a plane wave by a wire grid."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray

#: To stand beside every figure from this module.
CAUTION = (
    "A plane wave on an endless grid whose wires touch well at every crossing: seams, doors, "
    "cables, oxide at the crossings and near sources let through far more. Test the room."
)
#: Speed of light [m/s], exact; permeability of vacuum [H/m] and impedance of free space [ohm]
#: (CODATA, from memory).
LIGHT_M_S, MU_0, Z_0 = 299_792_458.0, 4e-7 * np.pi, 376.730
#: The grid is taken as a sheet up to this share of a wavelength.
LARGEST_PITCH_TO_WAVELENGTH = 0.1
#: A frequency typed as the limit is within it, however it was computed [-].
_DUST = 1e-9
#: Below this a source has to be more than 1.6 m away, the wavelength over 2π, before its wave is
#: plane at the grid [Hz]; plane-wave tests of shielding cloth begin there too (ASTM D4935, 30 MHz
#: to 1.5 GHz, from memory).
LEAST_FREQUENCY_HZ = 30e6
#: Conductivity by a word of the alloy's family [S/m]: handbook values at 20 °C, from memory. Of
#: magnetic wire the permeability is left out, which makes the figure low at low frequency.
CONDUCTIVITY_S_M = {
    "copper": 40e6, "aluminium": 25e6, "carbon steel": 6e6, "stainless": 1.4e6, "nickel": 2e6,
    "titanium": 1e6,
}  # fmt: skip


def conductivity_of(family: str) -> float:
    """Conductivity of a family of alloys [S/m]; NaN where it is not known.

    Examples
    --------
    >>> conductivity_of("galvanized carbon steel"), conductivity_of("refractory metal")
    (6000000.0, nan)
    """
    return next((s for word, s in CONDUCTIVITY_S_M.items() if word in family), float("nan"))


def grid_attenuation(
    pitch_m: FloatArray | float,
    wire_m: FloatArray | float,
    frequency_hz: float,
    conductivity_s_m: float,
) -> FloatArray:
    """Attenuation of a plane wave at right angles by a square grid of round wires in contact.

    Parameters
    ----------
    pitch_m, wire_m
        Sizes [m].
    frequency_hz
        Of the wave [Hz], above zero.
    conductivity_s_m
        Of the wire [S/m].

    Returns
    -------
    Attenuation [dB]; NaN below 30 MHz, and where the pitch is over a tenth of the wavelength.

    Notes
    -----
    The meshes are to be small beside the wavelength [1]_; a tenth is our reading of small. Below
    30 MHz the source is near, and its field is mostly electric or mostly magnetic: of a magnetic
    field a grid attenuates far less than of a plane wave.

    The grid is a sheet of impedance Z = Zw·p + jω·L with L = µ₀·p/2π·ln(1/(1 − e^(−2πr/p))), and
    Zw the internal impedance of the round wire per length. A plane wave is attenuated by
    20·lg|1 + Z₀/2Z|.

    References
    ----------
    .. [1] K. F. Casey, Electromagnetic shielding behavior of wire-mesh screens, IEEE Trans.
       Electromagnetic Compatibility 30, 1988 (formulas from memory; that the meshes are to be
       electrically small is in its abstract).

    Examples
    --------
    >>> grid_attenuation(1.27e-3, 0.28e-3, 1e9, 40e6).round(1)
    np.float64(44.5)
    >>> grid_attenuation(0.05, 2e-3, 1e9, 6e6)
    np.float64(nan)
    """
    pitch, wire = np.broadcast_arrays(np.asarray(pitch_m), np.asarray(wire_m))
    omega, radius = 2.0 * np.pi * frequency_hz, 0.5 * wire
    sheet = (
        1j * omega * MU_0 * pitch / (2.0 * np.pi) * -np.log1p(-np.exp(-2 * np.pi * radius / pitch))
    )
    sheet = sheet + pitch * wire_impedance(radius, omega, conductivity_s_m)
    found = 20.0 * np.log10(np.abs(1.0 + 0.5 * Z_0 / sheet))
    plane = frequency_hz >= LEAST_FREQUENCY_HZ * (1.0 - _DUST)
    short = pitch <= LARGEST_PITCH_TO_WAVELENGTH * LIGHT_M_S / frequency_hz
    attenuation: FloatArray = np.where(plane & short & (wire < pitch), found, np.nan)
    return attenuation[()]


def wire_impedance(radius_m: FloatArray, omega: float, conductivity_s_m: float) -> FloatArray:
    """Return the internal impedance of round wire per length [ohm/m], complex.

    Notes
    -----
    γ·I₀(γr)/(2π·r·σ·I₁(γr)), γ = √(jω·µ₀·σ); the ratio of the Bessel functions by Gauss's continued
    fraction, and by its limit 1 + 1/(2γr) where the skin is thin.
    """
    gamma = np.sqrt(1j * omega * MU_0 * conductivity_s_m)
    argument = gamma * np.asarray(radius_m)
    within = np.where(np.abs(argument) < _TERMS, argument, 1.0)
    denominator = np.full(argument.shape, 2.0 * (_TERMS + 1), dtype=np.complex128)
    for term in range(_TERMS, 0, -1):
        denominator = 2.0 * term + within**2 / denominator
    ratio = np.where(within == argument, denominator / within, 1.0 + 0.5 / argument)
    impedance: FloatArray = gamma * ratio / (2.0 * np.pi * radius_m * conductivity_s_m)
    return impedance


#: Terms of the continued fraction; it needs about as many as its argument is large.
_TERMS = 60
