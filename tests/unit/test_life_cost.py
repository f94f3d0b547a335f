"""Cost over the years wanted: by hand, and what must hold of it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import meshcore as mc
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.cli import main
from meshcore.estimates.alloy_comparison_text import comparison_text
from meshcore.estimates.life_cost import (
    LifeCost,
    break_even_years,
    lives_counted,
    present_cost,
    replacements,
    yearly_cost,
)

MESH = mc.Enquiry(
    mesh_count="10 / in", wire_diameter="0.025 in", form=mc.Roll("48 in", "100 ft"), quantity=3
)


def one(price: float, life: float, years: float, cost: LifeCost) -> float:
    return float(present_cost(np.array([price]), np.array([life]), years, cost)[0])


def test_a_discounted_sum_by_hand() -> None:
    """1,000 now, and 1,200 after 5 and after 10 years at 5 %: 1200 / 1.2763 + 1200 / 1.6289."""
    cost = LifeCost(fitting=150.0, down_time=50.0, discount=0.05)
    assert one(1000.0, 5.0, 15.0, cost) == pytest.approx(1000 + 940.23 + 736.70, abs=0.01)


def test_an_annuity_by_hand() -> None:
    """The annuity factor of 5 % over 15 years is 10.3797 (any table of annuities)."""
    assert yearly_cost(np.array([1037.97]), 15.0, 0.05)[0] == pytest.approx(100.0, abs=0.01)


def test_a_life_that_ends_with_the_years_is_not_replaced() -> None:
    assert replacements(np.array([5.0, 7.5, 15.0, 14.9]), 15.0).tolist() == [2.0, 1.0, 0.0, 1.0]


def test_what_does_not_meet_and_has_no_life_has_no_cost() -> None:
    life = lives_counted(np.array([np.nan, np.inf]), np.array([False, True]), 10.0)
    found = present_cost(np.array([100.0, 100.0]), life, 10.0, LifeCost(discount=0.03))
    np.testing.assert_array_equal(found, [np.nan, 100.0])


@given(
    st.floats(1.0, 1e6), st.floats(0.1, 50.0), st.floats(0.5, 100.0), st.floats(0.0, 0.3),
    st.floats(0.0, 1e4),
)  # fmt: skip
def test_more_years_shorter_life_and_dearer_fitting_never_cost_less(
    price: float, life: float, years: float, discount: float, fitting: float
) -> None:
    cost = LifeCost(fitting=fitting, discount=discount)
    base = one(price, life, years, cost)
    slack = 1e-6 * base
    assert base >= price
    assert one(price, life, years * 1.5, cost) >= base - slack
    assert one(price, life * 1.5, years, cost) <= base + slack
    assert one(price, life, years, LifeCost(fitting=fitting + 10.0, discount=discount)) >= base
    assert one(price, life, years, LifeCost(fitting=fitting)) >= base - slack


def test_break_even_is_where_the_sums_cross() -> None:
    """1,000 every 2 years passes 3,500 when it is bought for the fourth time, after 6 years."""
    even = break_even_years(np.array([3500.0, 1000.0, 9e9]), np.array([20.0, 2.0, 20.0]), 20.0,
                            LifeCost())  # fmt: skip
    np.testing.assert_array_equal(even, [6.0, 0.0, np.nan])


@pytest.mark.parametrize("field", ["fitting", "down_time", "discount"])
def test_nothing_costs_less_than_nothing(field: str) -> None:
    with pytest.raises(ValueError, match=field):
        LifeCost(**{field: -1.0})


def test_the_comparison_reckons_over_the_years_wanted() -> None:
    coast = Conditions(environment="coastal", years_wanted=15.0)
    named, cost = ["carbon steel", "304", "316L"], LifeCost(fitting=500.0)
    table = mc.compare_alloys(MESH, coast, named, life_cost=cost).set_index("alloy")
    steel = table.loc["carbon steel"]
    # 1.33 years each: bought twelve times within 15 years.
    assert steel["replacements"] == 11.0
    assert steel["cost_over_years"] == pytest.approx(12 * steel["price"] + 11 * 500.0)
    assert steel["cost_per_year"] == pytest.approx(steel["cost_over_years"] / 15.0)
    met = table.loc["316L"]
    assert met["cost_over_years"] == met["price"]
    assert 0.0 < met["break_even_years"] < 15.0
    assert table["cost_over_years"].isna()["304"]
    assert "Over the years wanted" in comparison_text(table.reset_index())


def test_without_years_there_is_no_cost_over_them() -> None:
    table = mc.compare_alloys(MESH, Conditions(environment="coastal"))
    assert table["cost_over_years"].isna().all()


@pytest.mark.parametrize("wrong", [("--discount", "much"), ("--fitting", "-5")])
def test_a_cost_that_cannot_be_read_is_refused(
    wrong: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    option, text = wrong
    code = main(["alloys", "--mesh-count", "10/in", "--wire", "0.025 in", f"{option}={text}"])
    assert code == 2
    assert "Write it as" in capsys.readouterr().err


def test_what_neither_meets_nor_is_replaced_is_none_to_break_even_with() -> None:
    price, life = np.array([100.0, 1000.0, 1900.0]), np.array([148.0, 4.0, 15.0])
    meets = np.array([False, False, True])
    even = break_even_years(price, life, 15.0, LifeCost(), meets)
    assert even[2] == pytest.approx(4.0)
    # Where it meets, it is the cheapest, and nothing ever costs as little.
    assert np.isnan(break_even_years(price, life, 15.0, LifeCost(), np.full(3, True))[2])
