"""Money: rounding as a clerk rounds, sharing without loss, minor units."""

from __future__ import annotations

import json
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from meshcore.costing.money import CURRENCIES, apportion, from_minor, minor_digits, to_minor

ISO_CODES = Path("/usr/share/iso-codes/json/iso_4217.json")
#: Listed in iso-codes 4.15, but no money to price in: funds, metals, bond units, test codes.
NO_TENDER = {
    "BOV", "CHE", "CHW", "CLF", "COU", "MXV", "USN", "UYI", "UYW", "XAG", "XAU", "XBA", "XBB",
    "XBC", "XBD", "XDR", "XPD", "XPT", "XSU", "XTS", "XUA", "XXX",
}  # fmt: skip
#: Withdrawn or replaced since, by ISO 4217 amendments 169 to 177 (from memory).
WITHDRAWN = {"CUC", "HRK", "SLL", "VED", "ZWL", "ANG", "BGN"}


@given(
    quantity=st.decimals("0.001", "99999", places=3),
    rate=st.decimals("0.01", "9999", places=2),
    digits=st.sampled_from([0, 2, 3]),
)
def test_rounds_half_up_as_decimals_do(quantity: Decimal, rate: Decimal, digits: int) -> None:
    exact = (quantity * rate).scaleb(digits).quantize(Decimal(1), ROUND_HALF_UP)
    product = np.array([float(quantity)]) * float(rate)
    assert to_minor(product, digits)[0] == int(exact)


@given(minor=st.integers(-(10**12), 10**12), digits=st.sampled_from([0, 2, 3]))
def test_whole_minor_units_stay(minor: int, digits: int) -> None:
    assert to_minor(from_minor(np.array([float(minor)]), digits), digits)[0] == minor


def test_a_credit_mirrors_its_charge() -> None:
    amounts = np.array([0.005, 1.005, 2.5, 10.0049])
    np.testing.assert_array_equal(to_minor(-amounts, 2), -to_minor(amounts, 2))


@given(
    lines=st.lists(st.tuples(st.integers(0, 5), st.floats(0.0, 1e6)), min_size=1, max_size=40),
    total=st.integers(0, 10**9),
)
def test_shares_add_up(lines: list[tuple[int, float]], total: int) -> None:
    order = np.array([order for order, _ in lines])
    weight = np.array([weight for _, weight in lines])
    shares = apportion(np.full(len(lines), float(total)), weight, order)
    assert (shares >= 0).all()
    np.testing.assert_array_equal(shares, np.floor(shares))
    for number in np.unique(order):
        assert shares[order == number].sum() == total


def test_shares_follow_the_weights() -> None:
    shares = apportion(np.full(3, 1000.0), np.array([1.0, 3.0, 6.0]), np.zeros(3, np.int64))
    assert shares.tolist() == [100.0, 300.0, 600.0]


@pytest.mark.parametrize(("code", "digits"), [("USD", 2), ("EUR", 2), ("JPY", 0), ("KWD", 3)])
def test_minor_units(code: str, digits: int) -> None:
    assert minor_digits(code) == digits


def test_no_currency_is_named() -> None:
    with pytest.raises(ValueError, match='"eur" is no currency'):
        minor_digits("eur")


@pytest.mark.skipif(not ISO_CODES.exists(), reason="needs Debian's iso-codes")
def test_codes_are_those_of_iso_codes() -> None:
    """Debian's ``iso-codes`` package, an independent copy of ISO 4217."""
    listed = {entry["alpha_3"] for entry in json.loads(ISO_CODES.read_text())["4217"]}
    assert listed - NO_TENDER - CURRENCIES <= WITHDRAWN
    assert CURRENCIES - listed <= {"XCG"}
