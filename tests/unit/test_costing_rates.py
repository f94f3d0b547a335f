"""Rates as columns: which row holds, tables over size, currencies, what is missing or stale."""

from __future__ import annotations

import dataclasses
from datetime import date, timedelta

import numpy as np
import pytest
from costing_lines import DAY, book, lines, rate
from hypothesis import given
from hypothesis import strategies as st

from meshcore.costing.book.price_book import Exchange
from meshcore.costing.book.units import RateUnit, either_count, read_unit
from meshcore.costing.rates import Rates

POUND_KG = 0.45359237  # international avoirdupois pound, by definition


def test_the_most_particular_row_holds() -> None:
    priced = book(
        rate("k", 1.0, "kg", "EUR"),
        rate("k", 2.0, "kg", "EUR", weave="twilled"),
        rate("k", 3.0, "kg", "EUR", family="test metal"),
        rate("k", 4.0, "kg", "EUR", alloy="blue"),
        rate("k", 5.0, "kg", "EUR", alloy="blue", form="roll"),
    )
    columns = lines(3, codes=[0, 1, 2])
    assert Rates(priced, columns).money("k", "kg").values.tolist() == [3.0, 5.0, 1.0]
    twilled = lines(3, codes=[0, 1, 2], weave=1, form=1)
    assert Rates(priced, twilled).money("k", "kg").values.tolist() == [3.0, 4.0, 2.0]


def test_an_unknown_alloy_takes_the_row_for_all_or_none() -> None:
    columns = lines(2, codes=[-1, 1])
    any_alloy = Rates(book(rate("k", 1.0, "kg", "EUR")), columns).money("k", "kg")
    assert any_alloy.values.tolist() == [1.0, 1.0]
    blue = Rates(book(rate("k", 1.0, "kg", "EUR", alloy="Blue")), columns).money("k", "kg")
    np.testing.assert_array_equal(blue.values, [np.nan, 1.0])


def test_units_and_currencies_are_converted() -> None:
    usd = Exchange(currency="USD", to="EUR", amount=0.8, date=DAY, note="test")
    priced = book(rate("k", 5.0, "lb", "USD"), rate("f", 90.0, "picks/min"), exchange=[usd])
    rates = Rates(priced, lines(1))
    assert rates.money("k", "kg").values[0] == pytest.approx(5.0 * 0.8 / POUND_KG, rel=1e-14)
    assert rates.figure("f", "1/h").values[0] == pytest.approx(5400.0, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "name", "factor"),
    [
        ("kg", "kg", 1.0),
        ("lb", "kg", POUND_KG),
        ("100 kg", "kg", 100.0),
        ("tonne", "kg", 1000.0),
        ("ft", "m", 0.3048),
        ("m of cut", "m", 1.0),
        ("sq ft", "m2", 0.3048**2),
        ("m²", "m2", 1.0),
        ("per hour", "h", 1.0),
        ("min", "h", 1 / 60),
        ("100 pieces", "piece", 100.0),
        ("ends/h", "1/h", 1.0),
        ("%", "", 0.01),
        ("per cent", "", 0.01),
    ],
)
def test_units_of_a_price_book(text: str, name: str, factor: float) -> None:
    unit = read_unit(text)
    assert unit is not None
    assert unit.name == name
    assert unit.factor == pytest.approx(factor, rel=1e-12)


def test_a_count_of_two_readings_is_no_unit_and_both_are_named() -> None:
    """One mark before three digits parts thousands or decimals: nobody can tell which."""
    assert read_unit("1.000 pieces") is None
    assert either_count("1.000 pieces") == "1 or 1,000"
    assert read_unit("0,5 kg") == RateUnit("kg", 0.5)


@given(st.text(max_size=20))
def test_no_text_breaks_the_unit_reader(text: str) -> None:
    unit = read_unit(text)
    assert unit is None or unit.factor > 0.0


def test_a_table_is_read_on_the_straight_line_and_is_missing_outside() -> None:
    priced = book(
        rate("k", 10.0, "kg", "EUR", at="0.2 mm"),
        rate("k", 4.0, "kg", "EUR", at="0.5 mm"),
        rate("k", 1.0, "kg", "EUR", at="2 mm"),
    )
    wire = np.array([0.1, 0.2, 0.35, 0.5, 1.25, 2.0, 3.0, np.nan]) * 1e-3
    found = Rates(priced, lines(8)).money("k", "kg", at=wire)
    expected = [np.nan, 10.0, 7.0, 4.0, 2.5, 1.0, np.nan, np.nan]
    np.testing.assert_allclose(found.values, expected, rtol=1e-12)
    assert "for this size" in found.lacks


def test_a_step_holds_until_the_next() -> None:
    priced = book(rate("k", 2.0, "%", at="100 m2"), rate("k", 5.0, "%", at="200 m2"))
    area = np.array([99.9, 100.0, 199.0, 200.0, 1e6])
    found = Rates(priced, lines(5)).figure("k", "", at=area, how="step", default=0.0)
    np.testing.assert_allclose(found.values, [0.0, 0.02, 0.02, 0.05, 0.05], rtol=1e-12)


def test_each_alloy_may_have_a_table_of_its_own() -> None:
    priced = book(
        rate("k", 10.0, "kg", "EUR", at="1 mm"),
        rate("k", 20.0, "kg", "EUR", at="2 mm"),
        rate("k", 30.0, "kg", "EUR", at="1 mm", alloy="blue"),
        rate("k", 60.0, "kg", "EUR", at="2 mm", alloy="blue"),
    )
    columns = lines(3, codes=[0, 1, 2])
    found = Rates(priced, columns).money("k", "kg", at=np.full(3, 1.5e-3))
    assert found.values.tolist() == [15.0, 45.0, 15.0]


@pytest.mark.parametrize(
    ("unit", "currency", "says"),
    [("m2", "EUR", "EUR per m2 where money per kg"), ("%", "", '"%" where money per kg')],
)
def test_a_rate_of_the_wrong_kind_is_missing_and_says_why(
    unit: str, currency: str, says: str
) -> None:
    found = Rates(book(rate("k", 1.0, unit, currency)), lines(2)).money("k", "kg")
    assert np.isnan(found.values).all()
    assert says in found.lacks


def test_a_table_that_the_rule_cannot_read_is_missing_and_says_why() -> None:
    priced = book(rate("k", 1.0, "kg", "EUR", at="1 mm"))
    found = Rates(priced, lines(1)).money("k", "kg")
    assert np.isnan(found.values).all()
    assert "depends on size" in found.lacks


def test_origins_tell_the_amount_as_entered() -> None:
    usd = Exchange(currency="USD", to="EUR", amount=0.8, date=DAY, note="bank")
    priced = book(
        rate("k", 5.0, "lb", "USD", alloy="red"),
        rate("k", 3.0, "kg", "EUR", alloy="blue"),
        exchange=[usd],
    )
    found = Rates(priced, lines(3, codes=[0, 1, 2])).money("k", "kg")
    red, blue, green = found.origins(np.arange(3))
    assert red == "5 USD per lb; test (2026-10-01); 1 USD = 0.8 EUR, bank (2026-10-01)"
    assert blue == "test (2026-10-01)"
    assert green == ""


def test_origins_of_a_table_name_the_rows_between() -> None:
    priced = book(rate("k", 10.0, "kg", "EUR", at="1 mm"), rate("k", 20.0, "kg", "EUR", at="2 mm"))
    found = Rates(priced, lines(3)).money("k", "kg", at=np.array([1.5, 2.0, 0.5]) * 1e-3)
    between, exactly, below = found.origins(np.arange(3))
    assert between.startswith("at 1.5 mm between at 1 mm: 10 EUR per kg and at 2 mm: 20 EUR per kg")
    assert exactly.startswith("at 2 mm: 20 EUR per kg")
    assert below.startswith("at 1 mm")


def test_age_counts_the_exchange_rate_too() -> None:
    old = DAY - timedelta(days=100)
    usd = Exchange(currency="USD", to="EUR", amount=0.8, date=old, note="bank")
    priced = book(
        rate("k", 5.0, "lb", "USD", alloy="red"),
        rate("k", 3.0, "kg", "EUR", alloy="blue"),
        exchange=[usd],
    )
    found = Rates(priced, lines(2, codes=[0, 1])).money("k", "kg")
    stale, said = found.stale(DAY, 30)
    assert stale is not None
    assert stale.tolist() == [True, False]
    assert said == f"100 days old, of {old}"
    assert found.stale(date(2026, 7, 1), 30) == (None, "")


def test_factors_scale_a_key_line_by_line() -> None:
    rates = Rates(book(rate("k", 2.0, "kg", "EUR")), lines(2), {"k": np.array([0.5, 2.0])})
    assert rates.money("k", "kg").values.tolist() == [1.0, 4.0]


def test_another_set_of_alloys_is_resolved_anew() -> None:
    priced = book(rate("k", 1.0, "kg", "EUR", alloy="red"), rate("k", 2.0, "kg", "EUR"))
    first = lines(1)
    other = dataclasses.replace(
        first, cloth=dataclasses.replace(first.cloth, alloys=first.cloth.alloys[::-1])
    )
    assert Rates(priced, first).money("k", "kg").values.tolist() == [1.0]
    assert Rates(priced, other).money("k", "kg").values.tolist() == [2.0]
