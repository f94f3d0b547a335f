"""F. T. Peirce, "The geometry of cloth structure", J. Textile Inst. 28 (1937), T45–T96.

Standing: the paper that the arcs-and-lines path comes from; its figures are quoted from memory.
The jammed square cloth is printed to four places, hence the tolerance; the equations of the paper
are solved here by iteration, with no algebra shared with the closed form, and must agree to
rounding.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq
from scipy.special import ellipe

from meshcore.enquiry import PLAIN
from meshcore.weave.geometry.path import FLAT_RULE_RATIO, PLAIN_JAM, cloth_path


def plain_ratio(slenderness: float) -> float:
    path = cloth_path(np.array([PLAIN]), np.array([slenderness]), np.array([1.0]))
    return float(path.path_ratio[0])


def test_jammed_square_cloth() -> None:
    """Published: p/D = 0.8660 with D = 2d, weave angle 60°, length over spacing 1.2092."""
    assert pytest.approx(0.8660, abs=5e-5) == 1.0 / (2.0 * PLAIN_JAM)
    assert plain_ratio(PLAIN_JAM) == pytest.approx(1.2092, abs=5e-5)


@pytest.mark.parametrize(
    ("slenderness", "published"),
    [(0.10, 1.00502), (0.20, 1.02035), (0.25, 1.03212), (0.30, 1.04687), (0.40, 1.08648),
     (0.50, 1.14350)],
)  # fmt: skip
def test_reference_values(slenderness: float, published: float) -> None:
    """Values to five places, worked from the paper's equations."""
    assert plain_ratio(slenderness) == pytest.approx(published, abs=5e-6)


@given(st.floats(0.01, 0.577))
def test_paper_equations_by_iteration(slenderness: float) -> None:
    """p = (l − Dθ)·cos θ + D·sin θ and h = (l − Dθ)·sin θ + D·(1 − cos θ), with h = D/2."""
    spacing, sum_of_diameters = 1.0, 2.0 * slenderness

    def straight(angle: float) -> float:
        return float((spacing - sum_of_diameters * np.sin(angle)) / np.cos(angle))

    def height_error(angle: float) -> float:
        rise = straight(angle) * np.sin(angle) + sum_of_diameters * (1.0 - np.cos(angle))
        return float(rise - sum_of_diameters / 2.0)

    angle = brentq(height_error, 0.0, np.pi / 3.0 + 1e-3, xtol=1e-15, rtol=1e-14)
    length = straight(angle) + sum_of_diameters * angle
    assert plain_ratio(slenderness) == pytest.approx(length, rel=1e-9)


@pytest.mark.parametrize(
    ("slenderness", "published"), [(0.25, 1.0375), (0.40, 1.0924), (0.50, 1.1398)]
)
def test_sine_path_lies_within_one_per_cent(slenderness: float, published: float) -> None:
    """A sine of height d and wavelength 2p, by the complete elliptic integral.

    It is the other customary model; the reference values are printed to four places.
    """
    k = np.pi * slenderness / 2.0
    sine = 2.0 / np.pi * np.sqrt(1.0 + k**2) * ellipe(k**2 / (1.0 + k**2))
    assert sine == pytest.approx(published, abs=5e-5)
    assert plain_ratio(slenderness) == pytest.approx(sine, rel=0.01)


@pytest.mark.parametrize(
    ("slenderness", "share"), [(0.40, 0.0055), (0.50, -0.0032), (3**-0.5, -0.023)]
)
def test_how_far_the_sine_path_is_off(slenderness: float, share: float) -> None:
    """As the path's docstring says: over it to d/p = 0.4, and 2.3 % short of it at the jam."""
    k = np.pi * slenderness / 2.0
    sine = 2.0 / np.pi * np.sqrt(1.0 + k**2) * ellipe(k**2 / (1.0 + k**2))
    assert sine / plain_ratio(slenderness) - 1.0 == pytest.approx(share, abs=5e-4)


def test_crosses_the_flat_rule() -> None:
    """The arc path has the rule's 3 % at d/p = 0.2418 (four places); below it the rule says more.

    The rule's constant 618.1 makes it 1.02996, which the path has at 0.2417.
    """
    for allowance, published in ((1.03, 0.2418), (FLAT_RULE_RATIO, 0.2417)):
        crossing = brentq(lambda x, a: plain_ratio(x) - a, 0.1, 0.5, args=(allowance,), xtol=1e-12)
        assert crossing == pytest.approx(published, abs=5e-5)
    assert plain_ratio(0.2) < FLAT_RULE_RATIO < plain_ratio(0.3)
