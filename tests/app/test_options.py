"""Ways to meet an enquiry stand side by side, are quoted together, and survive a reload."""

from __future__ import annotations

import pandas as pd
import pytest
from app_fixtures import on_enquiry, shown
from streamlit.testing.v1 import AppTest

import meshcore as mc
from meshcore.costing.money import money_text
from meshcore.demo import DEMO_VARIABLE, policy_in_use
from meshcore.documents.quotation import quotation
from meshcore.estimates.options import priced_options, side_by_side
from meshcore_estimator.__main__ import SCRIPT

LINE = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
        "width": "48 in", "length": "100 ft", "quantity": "3"}  # fmt: skip
WAYS = [LINE, LINE | {"alloy": "316"}, LINE | {"set_price": "2,400.00"}]


def test_ways_are_priced_each_as_an_order_of_its_own() -> None:
    book = mc.demo_price_book()
    both = priced_options(WAYS, book, policy_in_use())
    alone = [
        int(mc.estimate_list(pd.DataFrame([way]), book, policy_in_use()).ledger.price_minor[0])
        for way in WAYS
    ]
    assert both.ledger.price_minor.tolist() == alone
    found = side_by_side(both)["difference"]
    assert found.tolist() == pytest.approx([(p - alone[0]) / 100 for p in alone], abs=1e-9)


def test_the_first_way_is_quoted_and_the_others_beside_it() -> None:
    facts = quotation(priced_options(WAYS, mc.demo_price_book(), policy_in_use()), number="Q1")
    assert [line.label for line in facts.lines] == ["1"]
    assert [line.label for line in facts.offers] == ["2 (option)", "3 (option)"]
    assert {line.role for line in facts.offers} == {"beside"}
    assert facts.net_minor == facts.lines[0].amount_minor


def test_a_way_without_a_price_has_no_difference() -> None:
    ways = [LINE, LINE | {"alloy": "unobtainium"}]
    found = side_by_side(priced_options(ways, mc.demo_price_book(), policy_in_use()))
    assert found["difference"].isna().tolist() == [False, True]


@pytest.fixture
def app(monkeypatch: pytest.MonkeyPatch) -> AppTest:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    return shown(on_enquiry(AppTest.from_file(SCRIPT, default_timeout=60)).run())


def _said(app: AppTest) -> str:
    return " ".join(element.value for element in app.html)


def test_options_are_kept_compared_taken_out_and_put_back(app: AppTest) -> None:
    app.button(key="keep_option").click().run()
    app.text_input(key="ask_quantity").set_value("6")
    app.selectbox(key="ask_alloy").set_value("316").run()
    app.button(key="keep_option").click().run()
    assert not app.exception
    ways = [dict(way) for way in app.session_state["enquiry_options"].kept]
    assert [way["alloy"] for way in ways] == ["304", "316"]
    both = priced_options(ways, mc.demo_price_book(), policy_in_use())
    for price in both.ledger.price.tolist():
        assert money_text(price, "EUR", 2) in _said(app)
    assert not app.button(key="quote_options").disabled
    app.button(key="option_out_1").click().run()
    assert app.button(key="quote_options").disabled
    app.button(key="option_back").click().run()
    app.button(key="option_open_0").click().run()
    assert not app.exception
    assert shown(app).session_state["ask_alloy"] == "304"
    assert app.text_input(key="ask_quantity").value == "3"
