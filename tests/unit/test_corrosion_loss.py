"""Life of a wire in the open: what must hold for any wire, metal and category."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.methods.outdoor_loss import (
    ALUMINIUM,
    CARBON_STEEL,
    CATEGORIES,
    CATEGORY_UPPER_UM,
    COPPER,
    EXPONENTS,
    METALS,
    ZINC,
    depth_for_share,
    judge,
    loss_um,
    wire_life_years,
    years_to_lose,
)
from meshcore.alloys.methods.verdicts import FAILS, MARGINAL, MEETS, NOT_JUDGED
from meshcore.alloys.records.registry import installed_registry

metals = st.sampled_from(range(len(METALS)))
rates = st.floats(0.05, 800.0)


def life(
    metal: int, category: int, diameter_mm: float = 1.0, zinc_um: float = 0.0, share: float = 0.5
) -> float:
    found = wire_life_years(
        np.array([metal]), np.array([zinc_um]), np.array([diameter_mm / 1e3]),
        np.array([category]), np.array([share]),
    )  # fmt: skip
    return float(found[0])


@given(metals, rates, st.floats(0.01, 300.0))
def test_years_turn_the_loss_round(metal: int, rate: float, years: float) -> None:
    b = EXPONENTS[metal]
    depth = loss_um(np.array(rate), b, np.array(years))
    assert years_to_lose(depth, np.array(rate), b) == pytest.approx(years, rel=1e-9)


@given(metals, rates, st.floats(0.0, 200.0), st.floats(1e-3, 50.0))
def test_loss_only_grows(metal: int, rate: float, years: float, later: float) -> None:
    first, second = loss_um(np.array(rate), EXPONENTS[metal], np.array([years, years + later]))
    assert second > first


@given(st.floats(1e-5, 1e-2), st.floats(0.01, 0.99))
def test_the_depth_leaves_the_rest_of_the_section(diameter_m: float, share: float) -> None:
    depth_m = float(depth_for_share(np.array(diameter_m), np.array(share))) / 1e6
    assert ((diameter_m - 2 * depth_m) / diameter_m) ** 2 == pytest.approx(1 - share)


def test_life_at_its_end_has_lost_half_the_section() -> None:
    years = life(CARBON_STEEL, 2)
    rate, b = CATEGORY_UPPER_UM[CARBON_STEEL, 2], EXPONENTS[CARBON_STEEL]
    left_mm = 1.0 - 2e-3 * float(loss_um(np.array(rate), b, np.array(years)))
    assert left_mm**2 == pytest.approx(0.5)


def test_zinc_goes_first_and_then_the_core_starts_afresh() -> None:
    zinc_um, category = 32.0, 2
    zinc_rate = np.array(CATEGORY_UPPER_UM[ZINC, category])
    alone = float(years_to_lose(np.array(zinc_um), zinc_rate, EXPONENTS[ZINC]))
    core = life(CARBON_STEEL, category, diameter_mm=1.0 - 2e-3 * zinc_um)
    assert life(CARBON_STEEL, category, zinc_um=zinc_um) == pytest.approx(alone + core)


@given(metals, st.integers(0, 4), st.floats(0.1, 5.0), st.floats(0.05, 0.9))
def test_thicker_wire_milder_air_and_more_allowed_loss_last_longer(
    metal: int, category: int, diameter_mm: float, share: float
) -> None:
    base = life(metal, category, diameter_mm, share=share)
    harsher = life(metal, category + 1, diameter_mm, share=share)
    assert np.isnan(harsher) or harsher < base
    assert life(metal, category, diameter_mm * 1.1, share=share) >= base
    assert life(metal, category, diameter_mm, share=share * 1.1) >= base


def test_what_is_unknown_has_no_life() -> None:
    assert np.isnan(life(-1, 2))
    assert np.isnan(life(CARBON_STEEL, -1))
    assert np.isnan(life(ALUMINIUM, CATEGORIES.index("CX")))
    assert np.isinf(life(ALUMINIUM, CATEGORIES.index("C1")))


def test_a_core_thinner_than_its_zinc_has_no_life_of_its_own() -> None:
    assert life(CARBON_STEEL, 2, diameter_mm=0.05, zinc_um=32.0) > 0.0


def test_metals_are_known_by_composition() -> None:
    facts = alloy_facts(installed_registry().alloys)
    found = {name: METALS[m] for name, m in zip(facts.names, facts.metal, strict=True) if m >= 0}
    assert found == {
        "carbon steel": "carbon steel",
        "high-carbon steel": "carbon steel",
        "galvanized steel": "carbon steel",
        "heavily galvanized steel": "carbon steel",
        "copper": "copper",
        "oxygen-free copper": "copper",
        "aluminium 1350": "aluminium",
    }


def test_verdicts_by_both_ends_of_the_category() -> None:
    shortest = np.array([[10.0, 10.0, 10.0, np.nan]])
    longest = np.array([[20.0, 20.0, 20.0, np.nan]])
    metal = np.array([CARBON_STEEL, COPPER, ALUMINIUM, -1])
    names = np.array(["a", "b", "c", "d"], dtype=object)
    yes, category = np.array([True]), np.array([2])
    for wanted, verdict in ((9.0, MEETS), (15.0, MARGINAL), (25.0, FAILS)):
        found = judge(yes, category, np.array([wanted]), (shortest, longest), metal, names)
        assert found.verdict[0, :2].tolist() == [verdict, verdict]
        assert found.verdict[0, 3] == NOT_JUDGED
    pitting = judge(yes, category, np.array([9.0]), (shortest, longest), metal, names)
    assert pitting.verdict[0, 2] == MARGINAL
    assert np.isnan(pitting.margin[0, 2])
    assert "pits" in pitting.say(0, 2)


def test_no_years_wanted_is_not_judged_but_the_life_is_told() -> None:
    ends = np.array([[10.0]]), np.array([[20.0]])
    names = np.array(["carbon steel"], dtype=object)
    found = judge(
        np.array([True]), np.array([2]), np.array([np.nan]), ends, np.array([CARBON_STEEL]), names
    )
    assert found.verdict[0, 0] == NOT_JUDGED
    assert "life 10–20 years" in found.say(0, 0)
