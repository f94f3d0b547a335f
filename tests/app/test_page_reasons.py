"""The page of range and reasons shows the library's own figures, and keeps estimates on file."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from browsing import follow, settled, type_in, visiting, wait_for_price
from streamlit.testing.v1 import AppTest
from test_app_enquiry import DEMO_LINE, POLICY, money, shown

import meshcore as mc
from meshcore.costing.ranges import Uncertainty
from meshcore.demo import DEMO_VARIABLE
from meshcore.estimates import reasons
from meshcore.estimates.firmness import budget_class, combined_range
from meshcore.estimates.unit_prices import unit_prices
from meshcore.register.records import RECORDS_VARIABLE, load_estimate, saved_estimates
from meshcore_estimator.reasons_page import range_charts
from meshcore_estimator.shared.parts import plain_key

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

DEMO = mc.estimate(DEMO_LINE, supply_policy=POLICY)


def _reasons_page() -> None:
    from meshcore_estimator.reasons_page import page as page_reasons  # noqa: PLC0415 - run as a script of its own

    page_reasons.page()


@pytest.fixture
def records(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    path = tmp_path / "own" / "records.sqlite"
    monkeypatch.setenv(RECORDS_VARIABLE, str(path))
    return path


@pytest.fixture
def app(monkeypatch: pytest.MonkeyPatch, records: Path) -> AppTest:  # noqa: ARG001 - sets the file
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    return AppTest.from_function(_reasons_page, default_timeout=60).run()


def ask(app: AppTest, **cells: str) -> AppTest:
    """Change the enquiry, as if it had been typed on its own page."""
    app.session_state["enquiry_kept"] |= {f"ask_{name}": text for name, text in cells.items()}
    return app.run()


def quoted(text: float) -> str:
    return money(text, "").strip()


def rows_of(app: AppTest, container: str) -> list[list[str]]:
    html = " ".join(element.value for element in app.get_by_key(container).html)
    return [
        [" ".join(unescape(re.sub(r"<[^>]+>", " ", cell)).split())
         for cell in re.findall(r"<td[^>]*>(.*?)</td>", row)]
        for row in re.findall(r"<tr[^>]*>(.*?)</tr>", html)
    ]  # fmt: skip


def number(text: str) -> float:
    figure = text.partition(" ")[0].replace(",", "").replace("−", "-")
    return float(figure) if figure else 0.0


def test_the_budget_range_is_the_librarys_own(app: AppTest) -> None:
    assert not app.exception
    expected = reasons.budget_range(DEMO.estimates)
    said = shown(app, "budget")
    for figure in (expected.p10, expected.p50, expected.p90, expected.mean, expected.nominal):
        assert quoted(figure) in said
    for figure in DEMO.price_range:
        assert quoted(figure) in said


def test_what_is_uncertain_can_be_changed_and_drawn_again(app: AppTest) -> None:
    editor = app.data_editor[0]
    assert editor.value["Input"].tolist() == [
        "wire.metal", "wire.alloy_surcharge", "weaving.efficiency", "yield",
    ]  # fmt: skip
    app.session_state[str(editor.key)] = {
        "edited_rows": {0: {"± furthest": 25.0}},
        "added_rows": [{"Input": "mass per area", "± furthest": 5.0}],
        "deleted_rows": [1, 2],
    }
    app.selectbox(key="uncertain_draws").select(1_000)
    app.number_input(key="uncertain_seed").set_value(7).run()
    stated = [Uncertainty("wire.metal", 0.25), Uncertainty("yield", 0.03),
              Uncertainty("mass per area", 0.05)]  # fmt: skip
    expected = reasons.budget_range(DEMO.estimates, uncertainties=stated, draws=1_000, seed=7)
    said = shown(app, "budget")
    assert "1,000 draws, seed 7" in said
    for figure in (expected.p10, expected.p50, expected.p90, expected.mean):
        assert quoted(figure) in said


def test_budget_range_and_delivery_stand_together_and_combined(app: AppTest) -> None:
    both = combined_range(DEMO.estimates)
    rows = {row[0]: row[1:] for row in rows_of(app, "budget") if len(row) == 3}
    for name, *ends in range_charts.spans(both):
        assert [number(cell) for cell in rows[name]] == pytest.approx(ends, abs=0.0051)
    drawn = range_charts.together(both, DEMO.price).to_dict(validate=False)
    data = drawn["datasets"][drawn["layer"][0]["data"]["name"]]
    assert [(row["low"], row["high"]) for row in data] == [
        both.budget, both.delivery, (both.both[0], both.both[2]),
    ]  # fmt: skip
    # The height holds the axis too: without room for it the rows lay one over the other.
    assert drawn["height"] > 31 * len(data) + 50
    low, _, high = both.both
    assert low < min(both.budget[0], DEMO.price)
    assert high > max(both.budget[1], DEMO.price)


def test_the_budget_class_and_why_are_said(app: AppTest) -> None:
    firm = budget_class(DEMO.estimates)
    said = shown(app, "budget")
    assert f"Budget class: {firm.name}" in said
    assert firm.why in said


def test_inputs_are_moved_by_their_own_uncertainty_too(app: AppTest) -> None:
    app.segmented_control(key="tornado_by").set_value("Own uncertainty").run()
    assert not app.exception
    expected = reasons.tornado(DEMO.estimates, own=True)
    rows = {row[0]: row for row in rows_of(app, "drivers") if row}
    assert list(rows) == [plain_key(name) for name in expected["driver"]]
    for driver in expected.to_dict("records"):
        shown_row = rows[plain_key(driver["driver"])]
        assert number(shown_row[1]) == pytest.approx(driver["change_low"])
        assert number(shown_row[3]) == pytest.approx(driver["swing"])


def test_the_price_of_every_unit_is_shown(app: AppTest) -> None:
    rows = {row[0]: number(row[1]) for row in rows_of(app, "by_unit") if row}
    sold = ("roll", "m", "ft", "m2", "ft2", "kg")
    assert rows == {unit: float(unit_prices(DEMO.estimates, unit)[0]) for unit in sold}


def test_nothing_uncertain_is_said(app: AppTest) -> None:
    app.session_state[str(app.data_editor[0].key)] = {
        "edited_rows": {}, "added_rows": [], "deleted_rows": [0, 1, 2, 3],
    }  # fmt: skip
    assert "Nothing is stated to be uncertain" in shown(app.run(), "budget")


def test_every_driver_stands_in_the_table(app: AppTest) -> None:
    expected = reasons.tornado(DEMO.estimates)
    rows = {row[0]: row for row in rows_of(app, "drivers") if row}
    assert list(rows) == [plain_key(name) for name in expected["driver"]]
    assert not any("_" in name or "." in name for name in rows), "names as a file writes them"
    for driver in expected.to_dict("records"):
        shown_row = rows[plain_key(driver["driver"])]
        assert number(shown_row[1]) == pytest.approx(driver["change_low"])
        assert number(shown_row[2]) == pytest.approx(driver["change_high"])
        assert number(shown_row[3]) == pytest.approx(driver["swing"])


def test_every_quantity_of_the_curve_stands_below_it(app: AppTest) -> None:
    curve = reasons.quantity_curve(DEMO.estimates)
    rows = [row for row in rows_of(app, "quantities") if row]
    every, breaks = rows[: len(curve)], rows[len(curve) :]
    assert [int(row[0]) for row in every] == curve["quantity"].tolist()
    assert [number(row[1]) for row in every] == curve["unit_price"].round(2).tolist()
    begun = curve[curve["at_break"]]
    assert [int(row[0]) for row in breaks] == begun["quantity"].tolist()
    assert [number(row[1]) for row in breaks] == begun["unit_price"].round(2).tolist()


def test_pictures_hold_what_the_library_gave() -> None:
    found = reasons.budget_range(DEMO.estimates, draws=1_000)
    marks = range_charts.histogram(found).to_dict(validate=False)["layer"]
    assert {m["mark"]["type"] for m in marks} == {"bar", "rule", "text"}
    drivers = reasons.tornado(DEMO.estimates)
    drawn = range_charts.tornado(drivers, "EUR").to_dict(validate=False)
    data: list[dict[str, Any]] = drawn["datasets"][drawn["layer"][0]["data"]["name"]]
    changes = {(row["driver"], row["moved"]): row["change"] for row in data}
    assert (
        changes["wire: metal", "higher"]
        == drivers.set_index("driver").loc["wire.metal", "change_high"]
    )
    curve = reasons.quantity_curve(DEMO.estimates)
    line = range_charts.quantity_curve(curve, "price", "Price", "EUR", [3.0])
    assert len(line.to_dict(validate=False)["layer"]) == 3


def test_the_arithmetic_is_the_librarys_text(app: AppTest) -> None:
    assert app.get_by_key("arithmetic").code[0].value == reasons.explain(DEMO.estimates)


def test_an_estimate_is_saved_where_the_screen_says(app: AppTest, records: Path) -> None:
    register = records.with_name("register.sqlite")
    told = " ".join(c.value for c in app.get_by_key("save").caption)
    assert register.name in told
    assert str(register.parent) not in told, "where on the server it lies is nobody's on a page"
    app.text_input(key="save_title").set_value("Quarry deck")
    app.text_input(key="save_note").set_value("first offer")
    app.button(key="save_estimate").click().run()
    assert not app.exception
    kept = load_estimate(1, register)
    assert (kept.title, kept.note) == ("Quarry deck", "first offer")
    assert kept.book == DEMO.estimates.book
    assert kept.priced["price"].tolist() == [DEMO.price]
    said = shown(app, "saved")
    assert "1: Quarry deck first offer" in said
    assert money(DEMO.price) in said
    assert "Saved as number 1" in shown(app, "save")


def test_two_estimates_stand_side_by_side_and_add_up(app: AppTest) -> None:
    app.button(key="save_estimate").click().run()
    ask(app, alloy="316L", quantity="7")
    other = mc.estimate(
        mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="316L",
                   form=mc.Roll("48 in", "100 ft"), quantity=7),
        supply_policy=POLICY,
    )  # fmt: skip
    rows = [row for row in rows_of(app, "compared") if len(row) == 4]
    *items, total = rows
    assert total[0] == "Price"
    assert [number(cell) for cell in total[1:]] == pytest.approx(
        [DEMO.price, other.price, round(other.price - DEMO.price, 2)]
    )
    cents = [round(sum(round(100 * number(row[n].replace("–", ""))) for row in items))
             for n in (1, 2, 3)]  # fmt: skip
    assert cents == [round(100 * number(cell)) for cell in total[1:]]
    differing = [row for row in rows_of(app, "compared") if len(row) == 3]
    assert ["Quantity", "3", "7"] in differing
    assert ["Alloy", "304", "316L"] in differing


def test_a_saved_estimate_can_be_removed(app: AppTest, records: Path) -> None:
    app.button(key="save_estimate").click().run()
    app.button(key="save_estimate").click().run()
    register = records.with_name("register.sqlite")
    assert saved_estimates(register)["id"].tolist() == [2, 1]
    app.selectbox(key="remove").select(2).run()
    app.text_input(key="who").set_value("somebody else").run()
    assert app.button(key="remove_estimate").disabled
    assert "who alone may take it off" in shown(app, "saved")
    app.text_input(key="who").set_value("").run()
    app.button(key="remove_estimate").click().run()
    assert not app.exception
    assert saved_estimates(register)["id"].tolist() == [1]
    assert "Number 2 is off the file. It can be put back." in shown(app, "save")

    # The register marks it, and what it held is there again.
    app.button(key="put_back_estimate").click().run()
    assert not app.exception
    assert saved_estimates(register)["id"].tolist() == [2, 1]
    assert load_estimate(2, register).enquiries.shape[0] == 1
    assert "Number 2 is on file again." in shown(app, "save")
    assert "put_back_estimate" not in {button.key for button in app.button}


def test_a_file_that_is_no_file_of_records_is_said(app: AppTest, records: Path) -> None:
    records.parent.mkdir(parents=True, exist_ok=True)
    records.write_text("not a database, but a letter that somebody left here")
    app.button(key="save_estimate").click().run()
    assert not app.exception
    assert "no file of records" in " ".join(h.value for h in app.html)


def test_a_refused_enquiry_says_why_and_has_no_range(app: AppTest) -> None:
    ask(app, wire_diameter="16 ga")
    said = " ".join(h.value for h in app.html)
    assert not app.exception
    assert "16 SWG" in said
    assert not any(getattr(node, "key", None) == "budget" for node in app)
    assert not any(button.key == "save_estimate" for button in app.button)


@pytest.mark.usefixtures("records")
def test_without_an_enquiry_the_page_sends_to_it() -> None:
    app = AppTest.from_function(_reasons_page, default_timeout=60).run()
    assert not app.exception
    assert "No enquiry is typed yet" in " ".join(h.value for h in app.html)
    assert app.button(key="to_enquiry").label == "To the enquiry"


@pytest.fixture
def page(browser: Browser, app_url: str) -> Iterator[Page]:
    with visiting(browser, app_url) as opened:
        yield opened


@pytest.mark.browser
def test_a_saved_estimate_is_compared_in_the_browser(page: Page) -> None:
    follow(page, "Range and reasons")
    page.wait_for_selector(".st-key-drivers svg")
    page.locator(".st-key-drivers svg").get_by_text("wire: metal", exact=True).wait_for()
    page.locator(".st-key-budget svg").get_by_text("P90", exact=True).wait_for()
    page.get_by_role("textbox", name="Title").fill("Saved in the browser")
    page.locator(".st-key-save_estimate button").click()
    page.locator(".st-key-saved").filter(has_text="Saved in the browser").wait_for()
    settled(page)

    five = mc.estimate(
        mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                   form=mc.Roll("48 in", "100 ft"), quantity=5),
        supply_policy=POLICY,
    )  # fmt: skip
    follow(page, "Enquiry")
    type_in(page, "Quantity", "5")
    wait_for_price(page, money(five.price))
    settled(page)
    follow(page, "Range and reasons")
    foot = page.locator(".st-key-compared tfoot")
    foot.filter(has_text=quoted(five.price)).wait_for()
    foot.filter(has_text=quoted(five.price - DEMO.price)).wait_for()
