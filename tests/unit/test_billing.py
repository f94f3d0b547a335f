"""Bills by delivered length: amounts, totals and flags."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from meshcore.register.billing import bill
from meshcore.supply.policy import Tolerance

TEN_PERCENT = Tolerance(0.10, 0.10, 0.0, 0.02)


def test_each_roll_is_billed_as_delivered_and_flagged_outside_tolerance() -> None:
    # 4.10 a metre: 29.00 → 118.90; 33.528 (just +10 %) → 137.4648; 27.4 (−10.1 %) → 112.34.
    found = bill(np.array([29.0, 33.528, 27.4]), 30.48, 4.10, TEN_PERCENT, "USD")
    assert found.amounts.tolist() == [118.90, 137.46, 112.34]
    assert found.total == 368.70
    assert found.within.tolist() == [True, True, False]
    (message,) = found.messages
    assert message.severity == "review"
    assert "roll 3 is 10.1 % under" in message.text


def test_a_length_at_the_tolerance_itself_is_within_and_beyond_it_is_not() -> None:
    lengths = 30.48 * np.array([0.9, 1.1, 0.8999, 1.1001])
    found = bill(lengths, 30.48, 4.10, TEN_PERCENT, "EUR")
    assert found.within.tolist() == [True, True, False, False]
    assert ["under" in m.text for m in found.messages] == [True, False]
    assert [m.text[:6] for m in found.messages] == ["roll 3", "roll 4"]


@pytest.mark.parametrize(
    ("currency", "amount"), [("JPY", 123.0), ("USD", 123.46), ("KWD", 123.457)]
)
def test_minor_units(currency: str, amount: float) -> None:
    assert bill(np.array([1.0]), 1.0, 123.4567, TEN_PERCENT, currency).total == amount


@given(
    st.lists(st.integers(1, 90_000), min_size=1, max_size=30),
    st.integers(1, 99_999),
)
def test_total_is_the_exact_sum_rounded_half_up(mm: list[int], cents: int) -> None:
    """Millimetres times hundredths are exact in decimal, which rounds by the book.

    Each roll is charged what it adds to the sum so far, so that no cent is lost over the rolls.
    """
    found = bill(np.array(mm) / 1e3, 30.0, cents / 100, TEN_PERCENT, "EUR")
    cent = Decimal("0.01")
    exact = [Decimal(n) / 1000 * Decimal(cents) / 100 for n in mm]
    reached = [
        sum(exact[: n + 1], Decimal(0)).quantize(cent, ROUND_HALF_UP) for n in range(len(exact))
    ]
    steps = [after - before for before, after in pairwise([Decimal(0), *reached])]
    assert found.amounts.tolist() == [float(step) for step in steps]
    assert found.total == float(reached[-1])


def test_rolls_may_differ_in_length_ordered_and_price() -> None:
    found = bill(
        np.array([30.0, 15.0]), np.array([30.48, 14.94]), np.array([4.0, 5.0]), TEN_PERCENT, "EUR"
    )
    assert found.amounts.tolist() == [120.0, 75.0]
    assert found.within.all()


@pytest.mark.parametrize(("delivered", "ordered"), [(0.0, 30.0), (30.0, 0.0), (-1.0, 30.0)])
def test_lengths_must_be_above_zero(delivered: float, ordered: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        bill(np.array([delivered]), ordered, 4.0, TEN_PERCENT, "EUR")
