"""A customer's terms, rates that hold for a time, and prices by the unit that is asked for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import meshcore as mc
from meshcore.cli import main
from meshcore.commands import pricing
from meshcore.costing.agreed import for_customer
from meshcore.costing.book.price_book import PriceBook, Rate
from meshcore.costing.customer import CustomerError, parse_customer
from meshcore.costing.delivered import UNITS
from meshcore.estimates.unit_prices import unit_prices

DAY = date.today()
BOOK = mc.demo_price_book()
ROLLS = pd.DataFrame([{"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304",
                       "form": "roll", "width": "48 in", "length": "100 ft",
                       "quantity": 3}])  # fmt: skip
TERMS = """
[customer]
name = "Observatory Hill"
currency = "USD"
payment = "60 days net"
incoterm = "EXW"
place = "Harrow Vale"
destination = "Hillshire"
valid_from = {start}
valid_to = {end}

[[rates]]
key = "customer.rebate"
unit = "%"
amount = 3.0
date = 2026-10-01
note = "invented"

[[net_prices]]
mesh_count = "10 / in"
wire_diameter = "0.025 in"
alloy = "304"
unit = "m2"
currency = "EUR"
amount = 20.0
date = 2026-10-01
note = "invented: price list of the year"
"""


def _rate(key: str, amount: float, unit: str, **cells: object) -> Rate:
    made = Rate(key=key, amount=amount, unit=unit, date=DAY, note="test")
    return replace(made, **cells)  # type: ignore[arg-type]


def _with(*rates: Rate) -> PriceBook:
    return replace(BOOK, rates=(*BOOK.rates, *rates))


def _items(book: PriceBook) -> pd.DataFrame:
    return mc.estimate_list(ROLLS, book).cost_items().set_index("label")


def test_terms_of_a_file_price_a_list_from_the_command_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    terms, listed, out = (tmp_path / name for name in ("terms.toml", "list.csv", "priced.csv"))
    terms.write_text(TERMS.format(start=DAY, end=DAY + timedelta(days=30)))
    ROLLS.to_csv(listed, index=False)
    assert (
        main(["price", str(listed), "-o", str(out), "--customer", str(terms), "--per", "m2"]) == 0
    )
    told = capsys.readouterr().out
    assert "on the terms of Observatory Hill: EXW Harrow Vale (Incoterms 2020), 60 days net" in told
    priced = pd.read_csv(out)
    assert priced["currency"].tolist() == ["USD"]
    assert priced["price_per_m2"][0] == round(priced["price"][0] / 111.483648, 2)
    # 111.483648 m² at 20.00 EUR are 2,229.67 EUR, at 0.86 a dollar 2,592.64 USD; the set-up of the
    # order stands on top, and the rebate is paid out of the price agreed.
    assert priced["price"][0] == pytest.approx(2592.64 + 18 / 0.86, abs=0.06)


def test_the_buyer_who_carries_is_charged_no_freight() -> None:
    ex_works = parse_customer({"customer": {"name": "A", "incoterm": "FCA", "place": "B"}}, "f")
    assert "freight" in set(_items(BOOK)["stage"])
    assert "freight" not in set(_items(for_customer(BOOK, ex_works))["stage"])


def test_terms_that_have_lapsed_are_not_used_and_it_is_said() -> None:
    lapsed = {"customer": {"name": "A", "valid_to": date(2026, 1, 31)},
              "rates": [{"key": "customer.discount", "unit": "%", "amount": 10.0,
                         "date": date(2025, 10, 1), "note": "invented"}]}  # fmt: skip
    one = mc.estimate_list(ROLLS, for_customer(BOOK, parse_customer(lapsed, "f")))[0]
    assert one.price == mc.estimate_list(ROLLS, BOOK)[0].price
    assert one.status == "review"
    assert "book.terms_not_in_force" in {m.code for m in one.messages}


@pytest.mark.parametrize(
    ("entry", "value", "said"),
    [
        ("incoterm", "XYZ", "a rule of Incoterms 2020 is due"),
        ("incoterm", "DAP", "is agreed with a place"),
        ("incoterm", "dap", "is agreed with a place"),
        ("currency", "EURO", "ISO 4217"),
        ("vat", "20 %", "nothing of that name is known"),
        ("valid_to", "soon", "a date is due"),
    ],
)
def test_terms_that_cannot_stand_are_named(entry: str, value: str, said: str) -> None:
    with pytest.raises(CustomerError, match=said):
        parse_customer({"customer": {"name": "A", entry: value}}, "f")


def test_a_zone_that_the_tariff_lacks_is_named_with_those_that_it_has() -> None:
    book = _with(_rate("freight.zone.north", 60.0, "pallet", currency="EUR"))
    with pytest.raises(CustomerError, match="There are north"):
        for_customer(book, parse_customer({"customer": {"name": "A", "zone": "south"}}, "f"))


def test_tax_goes_by_the_destination() -> None:
    book = _with(_rate("tax.destination.hillshire", 8.0, "%"))
    at_hill = parse_customer({"customer": {"name": "A", "destination": "Hillshire"}}, "f")
    items = _items(for_customer(book, at_hill))
    assert items["rate"]["tax"] == 0.08
    assert "tax" not in _items(book).index


def test_commission_and_rebate_are_shares_of_the_price() -> None:
    book = _with(_rate("customer.rebate", 3.0, "%"), _rate("customer.commission", 5.0, "%"))
    items = _items(book)
    price = items["amount"].sum()
    rebate, commission = items["amount"]["provision for the rebate"], items["amount"]["commission"]
    rounding = 0.05
    assert rebate == pytest.approx(0.03 * price, abs=rounding)
    assert commission == pytest.approx(0.05 * (price - rebate), abs=rounding)


def test_an_index_below_its_base_is_credited_and_one_that_is_missing_refuses() -> None:
    base = _rate("surcharge.metal_index.base", 2.0, "kg", currency="EUR", alloy="304")
    value = _rate("surcharge.metal_index.value", 1.8, "kg", currency="EUR", alloy="304")
    credit = _items(_with(base, value))["amount"]["metal index surcharge (credit)"]
    assert credit == round(-0.2 * 227.535154, 2)
    one = mc.estimate_list(ROLLS, _with(base))[0]
    assert one.status == "refused"
    assert "price.index_missing" in {m.code for m in one.messages}


def test_of_rows_for_the_same_the_one_that_began_last_is_in_force() -> None:
    rows = [
        _rate("minimum.line", amount, "line", currency="EUR", valid_from=start, valid_to=end)
        for amount, start, end in (
            (9000.0, None, None),
            (9100.0, DAY - timedelta(days=5), DAY),
            (9200.0, DAY + timedelta(days=1), None),
        )
    ]
    assert mc.estimate_list(ROLLS, _with(*rows)).ledger.before_tax[0] > 9100.0
    priced = mc.estimate_list(ROLLS, _with(*rows))
    assert [r.amount for r in priced.book.by_key["minimum.line"]] == [9100.0]
    # What it was made with makes it again on any later day.
    assert mc.estimate_list(ROLLS, priced.book)[0].price == priced[0].price


def test_prices_by_unit_come_from_what_is_delivered() -> None:
    lines = pd.concat([ROLLS, ROLLS.assign(form="piece", shape="rectangle", quantity=40,
                                           dimensions="200 mm x 150 mm")]).fillna("")  # fmt: skip
    lines.loc[lines["form"] == "piece", ["width", "length"]] = ""
    priced = mc.estimate_list(lines.reset_index(drop=True), BOOK)
    roll, piece = priced.ledger.price.tolist()
    assert unit_prices(priced, "roll")[0] == round(roll / 3, 2)
    assert unit_prices(priced, "m")[0] == round(roll / (3 * 30.48), 2)
    assert unit_prices(priced, "ft2")[0] == round(roll / 1200, 2)
    assert unit_prices(priced, "kg")[0] == round(roll / 227.535154, 2)
    assert unit_prices(priced, "piece")[1] == round(piece / 40, 2)
    assert np.isnan([unit_prices(priced, "roll")[1], unit_prices(priced, "piece")[0]]).all()
    assert pricing.UNITS == UNITS
    with pytest.raises(ValueError, match="there are roll, m, ft, m2, ft2, kg, piece"):
        unit_prices(priced, "acre")
