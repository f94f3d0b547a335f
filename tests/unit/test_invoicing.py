from __future__ import annotations

import pytest

import meshcore as mc
from meshcore.register.billing import Bill
from meshcore.register.invoicing import bill_rolls, bill_text


def order(**changed: object) -> mc.EstimateSet:
    asked: dict[str, object] = {
        "mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304",
        "form": mc.Roll("48 in", "100 ft"), "quantity": 2,
    }  # fmt: skip
    return mc.estimate(mc.Enquiry(**asked | changed)).estimates  # type: ignore[arg-type]


def billed(estimates: mc.EstimateSet, *delivered: str) -> Bill:
    invoice = bill_rolls(estimates, delivered)
    assert isinstance(invoice, Bill), invoice
    return invoice


def test_nominal_lengths_are_billed_as_quoted() -> None:
    found = order()
    assert billed(found, "100 ft", "100 ft").total == pytest.approx(
        found.ledger.price[0], abs=0.011
    )


def test_a_count_other_than_ordered_is_said() -> None:
    (said,) = billed(order(), "100 ft").messages
    assert "1 rolls are delivered on an order of 2" in said.text
    assert "Check the count" in bill_text(billed(order(), "100 ft"))


def test_a_refused_line_says_its_own_reason() -> None:
    refused = bill_rolls(order(alloy="unobtainium"), ["100 ft"])
    assert isinstance(refused, tuple)
    assert refused[0].field == "alloy"


def test_only_rolls_are_billed_by_length() -> None:
    refused = bill_rolls(order(form=mc.Strip("50 mm", "10 m")), ["10 m"])
    assert isinstance(refused, tuple)
    assert refused[0].field == "form"


@pytest.mark.parametrize(("quantity", "length"), [("1", "100 ft"), ("3", "49 ft"), ("7", "12 m")])
def test_the_range_at_the_tolerances_is_what_would_be_billed(quantity: str, length: str) -> None:
    """Each roll as short, then as long, as common practice lets it be: ±10 %."""
    asked = mc.Enquiry(
        mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
        form=mc.Roll("48 in", length), quantity=quantity,
    )  # fmt: skip
    priced = mc.estimate(asked)
    orders = priced.estimates.orders
    each = float(orders.run_length_m[0] / orders.quantity[0])
    for ratio, price in zip((0.9, 1.1), priced.price_range, strict=True):
        invoice = bill_rolls(priced.estimates, [f"{each * ratio!r} m"] * int(quantity))
        assert not isinstance(invoice, tuple)
        assert invoice.total == price


@pytest.mark.parametrize("delivered", [[], [" "]])
def test_lengths_that_are_missing_are_asked_for(delivered: list[str]) -> None:
    refused = bill_rolls(order(), delivered)
    assert isinstance(refused, tuple)
    assert [m.code for m in refused] == ["bill.lengths_missing"]


@pytest.mark.parametrize("delivered", [["0 ft"], ["100 ft", "0 ft"], ["-3 ft"]])
def test_lengths_that_are_none_are_refused(delivered: list[str]) -> None:
    refused = bill_rolls(order(), delivered)
    assert isinstance(refused, tuple)
    assert [m.field for m in refused] == ["delivered"]


def test_a_roll_shorter_than_a_metre_is_billed_too() -> None:
    assert billed(order(quantity=1), "0.5 m").delivered_m.tolist() == [0.5]
