"""Attenuation of a wire grid: K. F. Casey, IEEE Trans. EMC 30, 1988 (formulas from memory).

Held against the exact internal impedance of a round wire (Bessel functions, by scipy), and against
the reactance of a grating of thin wires, X/Z₀ = p/λ·ln(p/2πr) (G. G. MacFarlane, J. IEE 93, 1946,
from memory), to which the grid's comes down where the wires are thin.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ive

import meshcore as mc
from meshcore.uses.relations.shielding import LIGHT_M_S, MU_0, Z_0, grid_attenuation, wire_impedance


def exact_impedance(radius: float, omega: float, conductivity: float) -> complex:
    """γ·I₀(γr)/(2πrσ·I₁(γr)), γ = √(jωµ₀σ)."""
    gamma = np.sqrt(1j * omega * MU_0 * conductivity)
    ratio = ive(0, gamma * radius) / ive(1, gamma * radius)
    return complex(gamma * ratio / (2.0 * np.pi * radius * conductivity))


@pytest.mark.parametrize("conductivity", [1.4e6, 40e6])
@pytest.mark.parametrize("frequency", [1e4, 1e6, 1e8, 1e9])
def test_the_wire_is_that_of_the_bessel_functions(conductivity: float, frequency: float) -> None:
    radius, omega = 0.14e-3, 2 * np.pi * frequency
    found = complex(wire_impedance(np.array(radius), omega, conductivity))
    exact = exact_impedance(radius, omega, conductivity)
    assert found.real == pytest.approx(exact.real, rel=1e-3)


@pytest.mark.parametrize("frequency", [3e7, 3e8, 1e9])
def test_the_attenuation_is_that_with_the_exact_wire(frequency: float) -> None:
    pitch, wire, conductivity = 1.27e-3, 0.28e-3, 1.4e6
    omega, radius = 2 * np.pi * frequency, 0.5 * wire
    inductance = MU_0 * pitch / (2 * np.pi) * np.log(1 / (1 - np.exp(-2 * np.pi * radius / pitch)))
    sheet = exact_impedance(radius, omega, conductivity) * pitch + 1j * omega * inductance
    exact = 20 * np.log10(abs(1 + Z_0 / (2 * sheet)))
    found = grid_attenuation(pitch, wire, frequency, conductivity)
    assert found == pytest.approx(exact, abs=0.01)


@pytest.mark.parametrize("ratio", [0.002, 0.005, 0.01])
def test_thin_wires_come_down_to_the_grating(ratio: float) -> None:
    pitch, frequency = 10e-3, 1e9
    radius = ratio * pitch
    reactance = Z_0 * pitch * frequency / LIGHT_M_S * np.log(pitch / (2 * np.pi * radius))
    expected = 20 * np.log10(abs(1 + Z_0 / (2j * reactance)))
    found = grid_attenuation(pitch, 2 * radius, frequency, 1e12)
    assert found == pytest.approx(expected, abs=0.2)


def test_outside_its_range_it_says_nothing() -> None:
    assert np.isnan(grid_attenuation(0.031, 1e-3, 1e9, 1e6))
    assert np.isfinite(grid_attenuation(0.0299, 1e-3, 1e9, 1e6))


def test_below_a_plane_wave_it_says_nothing() -> None:
    """ASTM D4935 measures from 30 MHz (from memory); λ/2π is 1.6 m there, by hand."""
    assert LIGHT_M_S / 30e6 / (2 * np.pi) == pytest.approx(1.59, abs=0.01)
    assert np.isnan(grid_attenuation(1.27e-3, 0.28e-3, 29e6, 40e6))
    assert np.isfinite(grid_attenuation(1.27e-3, 0.28e-3, 30e6, 40e6))
    (message,) = mc.specify("shielding", frequency="10 kHz", attenuation="40 dB").messages
    assert message.code == "use.figure_too_small"
    assert "30 MHz" in message.text
