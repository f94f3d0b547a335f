"""ISO 9223:2012 categories and ISO 9224:2012 loss over years (both from memory).

The C2 series of carbon steel is printed in whole µm, hence ±0.5 µm. The steady part after 20
years is checked against its own formula worked by hand, to the rounding of that working.
"""

from __future__ import annotations

import numpy as np
import pytest

from meshcore.alloys.methods.outdoor_loss import (
    ALUMINIUM,
    CARBON_STEEL,
    CATEGORIES,
    CATEGORY_LOWER_UM,
    CATEGORY_UPPER_UM,
    COPPER,
    EXPONENTS,
    METALS,
    ZINC,
    loss_um,
    years_to_lose,
)

#: Upper ends of C1 to CX [µm/a]; aluminium [g/(m²·a)], negligible in C1 and open in CX.
PUBLISHED = {
    CARBON_STEEL: [1.3, 25, 50, 80, 200, 700],
    ZINC: [0.1, 0.7, 2.1, 4.2, 8.4, 25],
    COPPER: [0.1, 0.6, 1.3, 2.8, 5.6, 10],
}
ALUMINIUM_G_M2 = [0.6, 2, 5, 10]
ALUMINIUM_G_CM3 = 2.7


@pytest.mark.parametrize("metal", PUBLISHED)
@pytest.mark.parametrize("category", range(len(CATEGORIES)))
def test_first_year_loss_of_every_category(metal: int, category: int) -> None:
    assert CATEGORY_UPPER_UM[metal, category] == PUBLISHED[metal][category]
    below = PUBLISHED[metal][category - 1] if category else 0.0
    assert CATEGORY_LOWER_UM[metal, category] == below


def test_aluminium_by_mass() -> None:
    found = CATEGORY_UPPER_UM[ALUMINIUM, 1:5] * ALUMINIUM_G_CM3
    np.testing.assert_allclose(found, ALUMINIUM_G_M2, rtol=1e-12)
    assert CATEGORY_UPPER_UM[ALUMINIUM, 0] == 0.0
    assert np.isnan(CATEGORY_UPPER_UM[ALUMINIUM, 5])


def test_exponents() -> None:
    published = {"carbon steel": 0.523, "zinc": 0.813, "copper": 0.667, "aluminium": 0.728}
    assert dict(zip(METALS, EXPONENTS.tolist(), strict=True)) == published


@pytest.mark.parametrize(
    ("years", "published_um"), [(1, 25), (2, 36), (5, 58), (10, 83), (15, 103), (20, 120)]
)
def test_carbon_steel_at_the_upper_end_of_c2(years: float, published_um: float) -> None:
    steel = EXPONENTS[CARBON_STEEL]
    assert loss_um(np.array(25.0), steel, np.array(years)) == pytest.approx(published_um, abs=0.5)


@pytest.mark.parametrize("metal", range(len(METALS)))
def test_loss_is_steady_past_20_years(metal: int) -> None:
    b = float(EXPONENTS[metal])
    by_hand = 3.0 * (20.0**b + b * 20.0 ** (b - 1.0) * (50.0 - 20.0))
    assert loss_um(np.array(3.0), EXPONENTS[metal], np.array(50.0)) == pytest.approx(by_hand)


def test_steel_at_30_years_by_hand() -> None:
    # 20^0.523 = 4.791; 0.523 · 20^-0.477 = 0.1253; 25 · (4.791 + 1.253) = 151.1
    found = loss_um(np.array(25.0), EXPONENTS[CARBON_STEEL], np.array(30.0))
    assert found == pytest.approx(151.1, abs=0.1)


@pytest.mark.parametrize("metal", range(len(METALS)))
def test_loss_and_its_rate_are_continuous_at_20_years(metal: int) -> None:
    b, step = EXPONENTS[metal], 1e-4
    before, at, after = loss_um(np.array(10.0), b, 20.0 + step * np.array([-1.0, 0.0, 1.0]))
    assert at - before == pytest.approx(after - at, rel=1e-4)
    assert after - before == pytest.approx(0.0, abs=1e-2)


@pytest.mark.parametrize("metal", range(len(METALS)))
def test_years_turn_the_loss_round_on_both_sides_of_20(metal: int) -> None:
    years = np.array([0.3, 1.0, 5.0, 19.99, 20.0, 20.01, 35.0, 120.0])
    depth = loss_um(np.array(7.0), EXPONENTS[metal], years)
    found = years_to_lose(depth, np.array(7.0), EXPONENTS[metal])
    np.testing.assert_allclose(found, years, rtol=1e-9)
