"""The enquiry page shows what the library says, and nothing of its own."""

from __future__ import annotations

import re
from base64 import b64decode
from dataclasses import replace
from datetime import UTC, datetime
from html import unescape
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path

import pytest
from app_fixtures import on_enquiry, opened
from streamlit.testing.v1 import AppTest
from streamlit.testing.v1.element_tree import Image

import meshcore as mc
from meshcore import plugins
from meshcore.costing.money import money_text
from meshcore.demo import BOOK_VARIABLE, demo_data
from meshcore.enquiry import WEAVES
from meshcore.estimates.nearest import nearest_weavable
from meshcore.hookspecs import PROJECT
from meshcore.messages import Message
from meshcore.reading.texts import Reading, read_text
from meshcore.register.billing import Bill
from meshcore.register.connecting import REGISTER_VARIABLE
from meshcore.register.entries import entry
from meshcore.register.invoicing import bill_rolls
from meshcore.register.opening import open_register
from meshcore.weave.geometry.strength import CAUTION
from meshcore.weave.search.alternatives import PROPERTIES
from meshcore_estimator.__main__ import SCRIPT
from meshcore_estimator.shared.parts import message_list

POLICY = mc.read_supply_policy(demo_data() / "supply_policy.toml")
DEMO_LINE = mc.Enquiry(
    mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    form=mc.Roll("48 in", "100 ft"), quantity=3,
)  # fmt: skip


def shown(app: AppTest, container: str) -> str:
    """Text of a container, without its markup."""
    html = " ".join(element.value for element in app.get_by_key(container).html)
    return " ".join(unescape(re.sub(r"<style>.*?</style>|<[^>]+>", " ", html)).split())


def figure(app: AppTest, label: str) -> str:
    """One of the headline figures."""
    html = app.get_by_key("headline").html[0].value
    found = re.search(rf'>{label}</div><div class="mc-value">([^<]*)<', html)
    assert found, f"no figure {label!r} in {html}"
    return found[1]


def money(amount: float, currency: str = "EUR") -> str:
    return money_text(amount, currency, 2)


def test_demo_enquiry_shows_the_librarys_price(demo_app: AppTest) -> None:
    expected = mc.estimate(DEMO_LINE, supply_policy=POLICY)
    assert not demo_app.exception
    assert figure(demo_app, "Price") == money(expected.price)
    assert money(expected.price_range[0], "").strip() in shown(demo_app, "headline")
    assert money(expected.price_range[1]) in shown(demo_app, "headline")
    assert figure(demo_app, "Mass per area") == "2.0410 kg/m²"


def test_cost_table_adds_up_to_the_price(demo_app: AppTest) -> None:
    html = demo_app.get_by_key("cost_items").html[0].value
    found = re.findall("<tr[^>]*>(.*?)</tr>", html)
    rows = [re.findall(r"<td[^>]*>(.*?)</td>", row) for row in found]
    texts = [row[3] for row in rows if row and re.fullmatch(r"−?[\d,.]+", row[3])]
    amounts = [float(text.replace(",", "").replace("−", "-")) for text in texts]
    *items, price = amounts
    assert len(items) > 5
    assert sum(items) == pytest.approx(price, abs=1e-6)
    assert money(price) == figure(demo_app, "Price")


def test_both_path_rules_are_shown_with_their_difference(demo_app: AppTest) -> None:
    mass = shown(demo_app, "mass")
    assert "2.0410 kg/m²" in mass
    assert "2.0367 kg/m²" in mass
    assert "−0.21 % against the arc" in mass


def test_flat_rule_prices_by_the_flat_rule(demo_app: AppTest) -> None:
    demo_app.segmented_control(key="ask_path_model").set_value("flat").run()
    expected = mc.estimate(DEMO_LINE, supply_policy=POLICY, path_model="flat")
    assert figure(demo_app, "Price") == money(expected.price)
    assert figure(demo_app, "Mass per area") == "2.0367 kg/m²"


def test_another_pair_of_sizes_is_the_same_cloth(demo_app: AppTest) -> None:
    before = figure(demo_app, "Price")
    demo_app.text_input(key="ask_mesh_count").set_value("")
    demo_app.text_input(key="ask_aperture").set_value("0.075 in").run()
    assert figure(demo_app, "Price") == before
    assert demo_app.text_input(key="ask_mesh_count").placeholder == "10 / in"


def test_a_refusal_stands_beside_its_field(demo_app: AppTest) -> None:
    demo_app.text_input(key="ask_wire_diameter").set_value("16 ga").run()
    assert "16 SWG" in shown(demo_app, "said_mesh_count_wire_diameter")
    # It is said once, below its field; the answer names the field.
    assert shown(demo_app, "messages").startswith("Look at Wire diameter in the form.")
    assert "16 SWG" not in shown(demo_app, "messages")
    assert shown(demo_app, "status").startswith("Refused")
    assert figure(demo_app, "Price") == "no price"
    demo_app.text_input(key="ask_wire_diameter").set_value("0.028 in").run()
    assert not shown(demo_app, "status").startswith("Refused")


def test_cloth_that_cannot_be_woven_is_judged_by_rule(demo_app: AppTest) -> None:
    demo_app.text_input(key="ask_wire_diameter").set_value("0.08 in").run()
    verdict = shown(opened(demo_app, "Can it be woven?"), "verdict")
    assert "Cannot be woven" in verdict
    assert "geometric jam" in verdict


def test_strip_and_piece_price_as_in_the_library(demo_app: AppTest) -> None:
    demo_app.segmented_control(key="ask_form").set_value("strip").run()
    demo_app.text_input(key="ask_width").set_value("50 mm")
    demo_app.text_input(key="ask_length").set_value("10 m").run()
    strip = mc.estimate(replace(DEMO_LINE, form=mc.Strip("50 mm", "10 m")), supply_policy=POLICY)
    assert figure(demo_app, "Price") == money(strip.price)

    demo_app.segmented_control(key="ask_form").set_value("piece").run()
    demo_app.selectbox(key="ask_shape").set_value("disc").run()
    demo_app.text_input(key="ask_size_disc_diameter").set_value("200 mm").run()
    disc = mc.estimate(
        replace(DEMO_LINE, form=mc.Piece("disc", diameter="200 mm")), supply_policy=POLICY
    )
    assert figure(demo_app, "Price") == money(disc.price)

    demo_app.segmented_control(key="ask_form").set_value("strip").run()
    assert demo_app.text_input(key="ask_width").value == "50 mm"


def test_services_reach_the_price(demo_app: AppTest) -> None:
    demo_app.multiselect(key="ask_services").set_value(["certificate"]).run()
    assert "certificate" in shown(demo_app, "cost_items")


def with_alloy(text: str) -> AppTest:
    """The page with an alloy typed that is none of those offered."""
    app = on_enquiry(AppTest.from_file(SCRIPT, default_timeout=60))
    app.session_state["enquiry_kept"] = {
        "ask_mesh_count": "10 / in", "ask_wire_diameter": "0.025 in", "ask_alloy": text,
        "ask_weave": "plain", "ask_form": "roll", "ask_width": "48 in", "ask_length": "100 ft",
        "ask_quantity": "3",
    }  # fmt: skip
    return app.run()


def test_an_alloy_may_be_typed_by_any_of_its_names() -> None:
    expected = mc.estimate(DEMO_LINE)
    assert figure(with_alloy("SS-304"), "Price") == money(expected.price)
    assert figure(with_alloy("1.4301"), "Price") == money(expected.price)


def test_what_is_typed_is_not_markup() -> None:
    html = " ".join(element.value for element in with_alloy("<img src=x>").html)
    assert "<img" not in html
    read = Message("alloy", "<img src=x>", "is no alloy.", code="alloy.unknown")
    assert "<q>&lt;img src=x&gt;</q>" in message_list([read])


def test_fields_that_were_read_together_are_called_as_on_the_screen() -> None:
    fields = "mesh_count, aperture and wire_diameter"
    said = message_list([Message("mesh_count", fields, "sets wire_diameter too.", "note")])
    assert "<q>mesh count, aperture and wire diameter</q>" in said
    assert "Sets wire diameter too." in said
    as_typed = message_list([Message("note", "see open_area of line 3", "is not read.", "review")])
    assert "<q>see open_area of line 3</q>" in as_typed


def test_the_invented_book_is_said_to_be_invented(empty_app: AppTest) -> None:
    empty_app.text_input(key="ask_mesh_count").set_value("10 / in").run()
    assert "Invented for demonstration" in shown(empty_app, "headline")
    assert "Name your own with --book" in shown(empty_app, "basis")


def test_an_empty_enquiry_is_invited_not_refused(empty_app: AppTest) -> None:
    assert not empty_app.exception
    assert "any two of" in shown(empty_app, "estimate")
    assert "Refused" not in shown(empty_app, "estimate")


def test_a_plugin_set_aside_is_named(monkeypatch: pytest.MonkeyPatch, demo_app: AppTest) -> None:
    broken = EntryPoint("fell-extras", "no_such_module_of_fell", PROJECT)
    loaded = plugins.load([*entry_points(group=PROJECT), broken])
    monkeypatch.setattr(plugins, "installed", lambda: loaded)
    demo_app.run()
    assert "fell-extras set aside in load" in shown(demo_app, "basis")
    assert figure(demo_app, "Price") != "no price"


def test_a_price_book_that_cannot_be_read_is_explained(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(BOOK_VARIABLE, "/nowhere/book.toml")
    app = on_enquiry(AppTest.from_file(SCRIPT, default_timeout=60)).run()
    assert not app.exception
    assert any("/nowhere/book.toml" in element.value for element in app.html)


def pictures(app: AppTest) -> list[str]:
    """Drawings on the page."""
    return [
        b64decode(image.url.removeprefix("data:image/svg+xml;base64,")).decode()
        for element in app.get_by_key("drawing").get("image")
        if isinstance(element, Image)
        for image in element.proto.imgs
    ]


def letter(app: AppTest) -> str:
    """The questions to ask back, as they are copied."""
    return str(app.get_by_key("questions").code[0].value)


JAMMED = replace(DEMO_LINE, wire_diameter="0.08 in")


@pytest.mark.parametrize("weave", WEAVES)
def test_every_weave_is_drawn_to_its_sizes(demo_app: AppTest, weave: str) -> None:
    asked = replace(DEMO_LINE, weave=weave, wire_diameter="0.012 in", quantity="none")
    for name in ("wire_diameter", "quantity"):
        demo_app.text_input(key=f"ask_{name}").set_value(getattr(asked, name))
    demo_app.selectbox(key="ask_weave").set_value(weave).run()
    assert figure(demo_app, "Price") == "no price"
    (picture,) = pictures(demo_app)
    assert "<svg" in picture
    assert picture == mc.estimate(asked, supply_policy=POLICY).drawing()


def test_what_cannot_be_woven_is_not_drawn_but_answered(demo_app: AppTest) -> None:
    demo_app.text_input(key="ask_wire_diameter").set_value("0.08 in").run()
    assert not pictures(demo_app)
    assert "pass through one another" in shown(demo_app, "drawing")
    # Said once: no doubt besides, and nothing of the open area that follows.
    assert shown(demo_app, "said_mesh_count_wire_diameter").count("Wire diameter.") == 1
    assert shown(demo_app, "said_open_area_weave") == ""
    assert shown(demo_app, "messages") == "Look at Wire diameter in the form."
    offers = nearest_weavable(mc.estimate(JAMMED, supply_policy=POLICY).estimates, count=5)
    said = shown(demo_app, "alternatives")
    for rank, offer in enumerate(offers.frame().to_dict("records")):
        assert money(offer["price"]) in said
        assert demo_app.button(key=f"use_offer_{rank}").label == "Use this one"


def test_use_this_one_fills_the_form_and_makes_the_enquiry_good(demo_app: AppTest) -> None:
    demo_app.text_input(key="ask_wire_diameter").set_value("0.08 in").run()
    demo_app.multiselect(key="nearest_hold").set_value(["wire_diameter"]).run()
    jammed = mc.estimate(JAMMED, supply_policy=POLICY).estimates
    offer = nearest_weavable(jammed, hold=["wire_diameter"], count=5)
    demo_app.button(key="use_offer_1").click().run()
    assert not demo_app.exception
    assert shown(demo_app, "status").startswith("OK")
    assert figure(demo_app, "Price") == money(offer.price[1])
    for name, cell in offer.cells(1).items():
        field = demo_app.selectbox if name == "weave" else demo_app.text_input
        assert field(key=f"ask_{name}").value == cell
    wire = read_text(
        str(demo_app.text_input(key="ask_wire_diameter").value), "length", "wire_diameter"
    )
    assert isinstance(wire, Reading)
    assert wire.value == pytest.approx(offer.cloth.wire_diameter_m[1], rel=1e-6)


def test_what_cannot_be_held_is_said(demo_app: AppTest) -> None:
    demo_app.text_input(key="ask_wire_diameter").set_value("0.08 in").run()
    every = list(PROPERTIES)
    demo_app.multiselect(key="nearest_hold").set_value(every).run()
    offers = nearest_weavable(mc.estimate(JAMMED, supply_policy=POLICY).estimates, hold=every)
    assert offers.message is not None
    assert "nothing that can be woven holds" in offers.message.text
    assert "Nothing that can be woven holds" in shown(demo_app, "alternatives")


def test_the_recommended_weave_is_used_on_a_click(demo_app: AppTest) -> None:
    opened(demo_app, "Can it be woven?")
    demo_app.selectbox(key="purpose").set_value("vibrating screen").run()
    said = mc.estimate(DEMO_LINE, supply_policy=POLICY).recommended_weave("vibrating screen")
    weave, reason = said.split(": ")
    assert reason in shown(demo_app, "recommendation").lower()
    demo_app.button(key="use_weave").click().run()
    assert demo_app.selectbox(key="ask_weave").value == weave
    assert "as asked" in shown(demo_app, "recommendation")


def test_questions_are_ready_to_send(demo_app: AppTest) -> None:
    opened(demo_app, "Questions to ask back")
    assert "Please confirm" in letter(demo_app)
    assert "we need to know" not in letter(demo_app)
    demo_app.text_input(key="ask_wire_diameter").set_value("").run()
    assert letter(demo_app).startswith(
        "To price your enquiry we need to know:\n1. Which wire diameter?"
    )


def test_strength_comes_with_its_caution(demo_app: AppTest) -> None:
    said = shown(opened(demo_app, "Tolerances and strength"), "tolerances")
    assert "72.3 to 106 kN/m" in said
    assert CAUTION in said
    assert "± 0.095 mm" in said


def test_the_bill_is_the_librarys(demo_app: AppTest) -> None:
    lengths = ["99 ft", "112 ft", "30.4 m"]
    invoice = bill_rolls(mc.estimate(DEMO_LINE, supply_policy=POLICY).estimates, lengths)
    assert isinstance(invoice, Bill)
    opened(demo_app, "Bill what was delivered")
    demo_app.text_input(key="bill_delivered").set_value(", ".join(lengths)).run()
    said = shown(demo_app, "bill")
    assert f"Total {money(invoice.total, '').strip()}" in said
    assert "+12.00 % outside" in said
    assert "Settle with the buyer" in said


def test_lengths_that_cannot_be_read_are_explained(demo_app: AppTest) -> None:
    opened(demo_app, "Bill what was delivered")
    demo_app.text_input(key="bill_delivered").set_value("99 ft, long").run()
    assert not demo_app.exception
    assert "long" in shown(demo_app, "bill")
    assert "Total" not in shown(demo_app, "bill")


def test_a_bill_is_filed_shown_and_taken_away(
    demo_app: AppTest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(REGISTER_VARIABLE, str(tmp_path / "register.sqlite"))
    opened(demo_app, "Bill what was delivered")
    demo_app.text_input(key="bill_delivered").set_value("99 ft, 100 ft, 101 ft").run()
    demo_app.button(key="bill_file").click().run()
    assert "needs its addressee" in shown(demo_app, "bill")
    assert demo_app.text_input(key="bill_delivered").value == "99 ft, 100 ft, 101 ft"
    demo_app.text_area(key="bill_to").set_value("Bakery by the Weir")
    demo_app.text_input(key="who").set_value("A. Clerk").run()
    demo_app.button(key="bill_file").click().run()
    assert not demo_app.exception
    filed = entry(open_register(), "bill", f"B{datetime.now(UTC).year}-000001")
    assert filed.changes[0].who == "A. Clerk"
    total = money(filed.head.total_minor / 100)
    assert f"Bill {filed.number} over {total} is on file." in shown(demo_app, "bill")
    # What is billed is billed once: the lengths are taken out, and the page of the bill stays.
    assert demo_app.text_input(key="bill_delivered").value == ""
    assert isinstance(demo_app.get_by_key("bill_page").children[0], Image)
    assert not [one for one in demo_app.button if one.key == "bill_file"]


def test_only_a_priced_roll_is_billed(demo_app: AppTest) -> None:
    assert "Bill what was delivered" in [tab.label for tab in demo_app.tabs]
    demo_app.segmented_control(key="ask_form").set_value("strip").run()
    assert "Bill what was delivered" not in [tab.label for tab in demo_app.tabs]
