"""The price book's page: edits are judged, undone, listed and priced by the library alone."""

from __future__ import annotations

import dataclasses
import doctest
import io
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import openpyxl
import pytest
from browsing import NARROW, download, follow, visiting
from streamlit.testing.v1 import AppTest
from test_app_enquiry import DEMO_LINE, POLICY, money, shown

import meshcore as mc
from meshcore.costing.book.checking import RATE_COLUMNS
from meshcore.costing.book.edits import as_edited
from meshcore.costing.book.files import read_price_book, to_toml, write_price_book
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.customer import customer_from_toml
from meshcore.demo import DEMO_VARIABLE, default_price_book
from meshcore.lists.workbook import workbook_bytes
from meshcore_estimator.price_book import draft as book_draft
from meshcore_estimator.shared import side_by_side
from meshcore_estimator.shared.provenance import made_from

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

BOOK = default_price_book()
METAL = next(n for n, rate in enumerate(BOOK.rates) if rate.key == "wire.metal"
             and rate.alloy == "304")  # fmt: skip
#: Heights in the grid, and a place in its first column that scrolls, as drawn at 15 px a letter.
HEADER, ROW, FIRST_FREE_COLUMN = 33, 33, 300


def _book_page() -> None:
    from meshcore_estimator.price_book import page as page_price_book  # noqa: PLC0415 - run as a script of its own

    page_price_book.page()


@pytest.fixture
def book_page(monkeypatch: pytest.MonkeyPatch) -> AppTest:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    return AppTest.from_function(_book_page, default_timeout=60).run()


def edit(app: AppTest, table: str, rows: dict[int, dict[str, Any]], **more: Any) -> AppTest:
    """Type into cells of a table, as the browser reports all that was typed since it was drawn."""
    key = next(k for e in app.data_editor if (k := str(e.key)).startswith(f"book_{table}_"))
    app.session_state[key] = {"edited_rows": rows, "added_rows": [], "deleted_rows": []} | more
    return app.run()


def with_amount(amount: float) -> PriceBook:
    rates = list(BOOK.rates)
    rates[METAL] = dataclasses.replace(rates[METAL], amount=amount)
    return dataclasses.replace(BOOK, rates=tuple(rates))


def in_use(app: AppTest) -> PriceBook:
    book = app.session_state["settings_book"]
    assert isinstance(book, PriceBook)
    return book


def test_the_book_in_use_is_shown_and_said_to_be_invented(book_page: AppTest) -> None:
    head = shown(book_page, "book_head")
    assert not book_page.exception
    for text in (BOOK.name, BOOK.currency, BOOK.date.isoformat(), BOOK.note, "In use"):
        assert text in head
    assert "Invented for demonstration" in head
    rates = book_page.data_editor[0].value
    assert len(rates) == len(BOOK.rates)
    assert rates["amount"].tolist() == [rate.amount for rate in BOOK.rates]
    assert rates["note"].tolist() == [rate.note for rate in BOOK.rates]


def test_stale_rates_are_marked_and_can_be_shown_alone(book_page: AppTest) -> None:
    stale = book_draft.looked_over(BOOK).stale
    rates = book_page.data_editor[0].value
    marked = rates[rates["age"] == "stale"]
    assert len(marked) == len(stale)
    narrowed = next(o for o in book_page.selectbox(key="book_narrowed").options if "Stale" in o)
    assert narrowed == f"Stale rates ({len(stale)})"
    app = book_page.selectbox(key="book_narrowed").select("stale").run()
    assert app.data_editor[0].value["row"].tolist() == marked["row"].tolist()
    app = edit(app, "rates", {0: {"date": date.today().isoformat()}})
    assert app.data_editor[0].value["row"].tolist() == marked["row"].tolist()[1:]
    changes = shown(app, "book_changes")
    assert date.today().isoformat() in changes
    assert "taken out" not in changes


def test_an_edit_is_listed_priced_and_used(book_page: AppTest) -> None:
    before = mc.estimate(DEMO_LINE, BOOK, POLICY)
    after = mc.estimate(DEMO_LINE, with_amount(4.1), POLICY)
    app = edit(book_page, "rates", {METAL: {"amount": 4.1}})
    assert not app.exception
    changes = shown(app, "book_changes")
    assert "wire.metal for 304" in changes
    assert "3.45 4.1" in changes
    effect = shown(app, "book_effect")
    for amount in (before.price, after.price, after.price - before.price):
        assert money(amount, "").strip() in effect
    assert "Edited, not in use" in shown(app, "book_head")

    app.button(key="book_use").click().run()
    used = in_use(app)
    assert used.rates == with_amount(4.1).rates
    assert used.name == f"{BOOK.name}, edited"
    assert used.date == date.today()
    head = shown(app, "book_head")
    assert "Edited, in use" in head
    assert "Invented for demonstration" in head
    assert app.button(key="book_use").disabled


def test_a_book_put_back_to_what_is_saved_is_not_called_edited(book_page: AppTest) -> None:
    app = edit(book_page, "rates", {METAL: {"amount": 4.1}})
    app.button(key="book_use").click().run()
    app.button(key="book_discard").click().run()
    app.button(key="book_use").click().run()
    assert in_use(app) == BOOK
    assert "In use" in shown(app, "book_head")


def test_an_edited_book_is_called_so_where_its_prices_are(demo_app: AppTest) -> None:
    today = date.today()
    book = as_edited(with_amount(4.1), BOOK, today)
    demo_app.session_state["settings_book"] = book
    app = demo_app.run()
    said = f"{BOOK.name}, edited"
    assert f"{said}, {today.isoformat()}" in shown(app, "headline")
    assert said in shown(app, "basis")


def test_a_workbook_says_what_it_was_made_from() -> None:
    today = date.today()
    one = mc.estimate(DEMO_LINE, as_edited(with_amount(4.1), BOOK, today), POLICY).estimates
    content = workbook_bytes(one, made_from("the enquiry", one.book))
    said = str(openpyxl.load_workbook(io.BytesIO(content)).worksheets[0].cell(2, 1).value)
    assert re.fullmatch(
        r"Made on \d{4}-\d\d-\d\d at [\d:]{8} UTC from the enquiry, "
        rf"with the price book .*, edited, of {today.isoformat()}\.",
        said,
    )


def test_steps_are_taken_back_one_by_one_and_made_again(book_page: AppTest) -> None:
    app = edit(book_page, "rates", {METAL: {"amount": 4.1}})
    app = edit(app, "rates", {METAL: {"amount": 5.2}})
    assert "3.45 5.2" in shown(app, "book_changes")
    app.button(key="book_undo").click().run()
    assert "3.45 4.1" in shown(app, "book_changes")
    assert app.data_editor[0].value["amount"][METAL] == 4.1
    app.button(key="book_undo").click().run()
    assert "None." in shown(app, "book_changes")
    assert app.button(key="book_undo").disabled
    app.button(key="book_redo").click().run()
    app.button(key="book_redo").click().run()
    assert "3.45 5.2" in shown(app, "book_changes")
    app.button(key="book_discard").click().run()
    assert "None." in shown(app, "book_changes")
    app.button(key="book_undo").click().run()
    assert "3.45 5.2" in shown(app, "book_changes")


def test_a_cell_that_cannot_stand_is_named(book_page: AppTest) -> None:
    app = edit(book_page, "rates", {METAL: {"unit": "quux"}})
    said = shown(app, "book_messages")
    assert f"Rates, row {METAL + 1} wire.metal, unit" in said
    assert "quux" in said
    assert "Cannot be used" in shown(app, "book_head")
    assert app.button(key="book_use").disabled
    app.button(key="book_undo").click().run()
    assert "In use" in shown(app, "book_head")


def test_a_figure_that_can_hardly_be_meant_is_said_where_it_is_typed(book_page: AppTest) -> None:
    assert "not plausible" not in shown(book_page, "book_messages")
    said = shown(edit(book_page, "rates", {METAL: {"amount": 41.0}}), "book_messages")
    assert "not plausible" in said
    assert "wire.metal for 304" in said


def test_rows_are_added_and_taken_out(book_page: AppTest) -> None:
    added = {"key": "service.engrave", "amount": 2.5, "currency": "EUR", "unit": "piece",
             "date": "2026-11-01", "note": "trial"}  # fmt: skip
    app = edit(book_page, "rates", {}, added_rows=[added], deleted_rows=[METAL])
    changes = shown(app, "book_changes")
    assert "service.engrave rates, row not there 2.5 EUR piece" in changes
    assert "wire.metal for 304 rates, row 3.45 EUR kg taken out" in changes
    assert "no price" in shown(app, "book_effect")
    app.button(key="book_undo").click().run()
    assert len(app.data_editor[0].value) == len(BOOK.rates)


def test_rules_exchange_and_settings_are_edited_too(book_page: AppTest) -> None:
    rules = [rule.name for _, rule in book_draft.pricing_rules()]
    app = edit(book_page, "rules", {rules.index("tax"): {"used": True},
                                    rules.index("rounding"): {"used": False}})  # fmt: skip
    app = edit(app, "exchange", {0: {"amount": 0.9}})
    app = edit(app, "settings", {0: {"stale_after_days": 300}})
    app.button(key="book_use").click().run()
    used = in_use(app)
    assert used.rules_disabled == ("rounding",)
    assert used.exchange[0].amount == 0.9
    assert used.stale_after_days == 300
    assert app.data_editor[0].value["age"].tolist() == [""] * len(BOOK.rates)
    taxed = mc.estimate(DEMO_LINE, used, POLICY)
    assert money(taxed.price, "").strip() in shown(app, "book_effect")


@pytest.mark.parametrize("suffix", [".toml", ".xlsx"])
def test_another_book_is_opened_and_used(book_page: AppTest, tmp_path: Path, suffix: str) -> None:
    book = dataclasses.replace(with_amount(9.0), name="Another Mill (invented)")
    path = tmp_path / f"another{suffix}"
    write_price_book(book, path)
    app = book_page.file_uploader(key="book_upload").set_value(
        (path.name, path.read_bytes(), "application/octet-stream")
    ).run()  # fmt: skip
    assert not app.exception
    assert in_use(app) == book
    assert "Another Mill" in shown(app, "book_head")
    assert path.name in shown(app, "book_head")


def test_an_uploaded_book_that_is_wrong_is_refused_by_cell(book_page: AppTest) -> None:
    text = to_toml(BOOK).replace("amount = 3.45", "amount = -1", 1)
    app = book_page.file_uploader(key="book_upload").set_value(
        ("mine.toml", text.encode(), "application/toml")
    ).run()  # fmt: skip
    said = shown(app, "book_open")
    assert "mine.toml was not opened" in said
    assert f"rates[{METAL + 1}] wire.metal.amount" in said.casefold()
    assert "In use" in shown(app, "book_head")


TERMS = """
[customer]
name = "Bakery by the Weir"

[[rates]]
key = "customer.discount"
unit = "%"
amount = 5.0
date = 2026-10-01
note = "agreed"
"""


def _with_terms(app: AppTest, text: str) -> AppTest:
    given = ("weir.toml", text.encode(), "application/toml")
    return app.file_uploader(key="customer_upload").set_value(given).run()


def test_a_customers_terms_are_priced_by_until_they_are_left(demo_app: AppTest) -> None:
    plain = mc.estimate(DEMO_LINE, BOOK, POLICY)
    theirs = mc.estimate(
        DEMO_LINE, mc.for_customer(BOOK, customer_from_toml(TERMS, "weir.toml")), POLICY
    )
    assert theirs.price < plain.price
    demo_app.session_state["settings_customer"] = TERMS
    said = " ".join(element.value for element in demo_app.run().html)
    assert money(theirs.price, "").strip() in said
    assert "On the terms of Bakery by the Weir." in said
    del demo_app.session_state["settings_customer"]
    assert money(plain.price, "").strip() in " ".join(e.value for e in demo_app.run().html)


def test_a_customers_file_is_taken_named_and_left(book_page: AppTest) -> None:
    app = _with_terms(book_page, TERMS)
    assert not app.exception
    assert "on the terms of Bakery by the Weir" in shown(app, "book_open")
    # The book itself is as it was: terms are no edit of it.
    assert "In use" in shown(app, "book_head")
    app.button(key="customer_leave").click().run()
    assert "priced for anybody" in shown(app, "book_open")
    assert "settings_customer" not in app.session_state


@pytest.mark.parametrize(
    ("text", "said"),
    [(TERMS.replace("amount = 5.0", "amount = 120.0"), "below 100 %"),
     (TERMS.replace("name =", "nam ="), "customer.nam"),
     (TERMS.replace("[customer]", '[customer]\nzone = "north"'), "no freight.zone.north"),
     ("[customer", "no TOML")],
)  # fmt: skip
def test_terms_that_cannot_stand_are_not_used(book_page: AppTest, text: str, said: str) -> None:
    app = _with_terms(book_page, text)
    assert not app.exception
    assert said in shown(app, "book_open")
    assert "settings_customer" not in app.session_state


def test_new_rows_are_numbered_after_all_others() -> None:
    rows = book_draft.numbered(({"row": 7, "key": "a"}, {"key": "b"}, {"key": "c"}))
    assert [row["row"] for row in rows] == [7, 8, 9]


def test_a_state_rebuilds_the_book_that_it_is_of() -> None:
    draft = book_draft.open_draft(BOOK, "book")
    assert book_draft.build(draft) == BOOK
    draft.record(dataclasses.replace(draft.now, rates=draft.now.rates[1:]))
    built = book_draft.build(draft)
    assert isinstance(built, PriceBook)
    assert built.rates == BOOK.rates[1:]


def test_a_row_is_stale_by_its_date() -> None:
    days = (date.today(), date.min)
    rates = [dataclasses.replace(BOOK.rates[n], date=day) for n, day in enumerate(days)]
    draft = book_draft.open_draft(dataclasses.replace(BOOK, rates=tuple(rates)), "book")
    assert draft.stale["rates"] == {2}


def test_examples_in_the_modules_hold() -> None:
    assert doctest.testmod(side_by_side).failed == 0


@pytest.fixture
def open_book(browser: Browser, app_url: str) -> Iterator[Page]:
    with visiting(browser, f"{app_url}/price-book") as page:
        yield page


@pytest.mark.browser
def test_a_rate_typed_in_the_browser_reprices_the_enquiry(open_book: Page, tmp_path: Path) -> None:
    page = open_book
    edited = with_amount(4.1)
    after = mc.estimate(DEMO_LINE, edited, POLICY)
    grid = page.locator(".st-key-book_tables [data-testid=stDataFrame]").first
    grid.locator("canvas").first.wait_for()
    grid.click(position={"x": FIRST_FREE_COLUMN, "y": HEADER + METAL * ROW + ROW / 2})
    for _ in range(RATE_COLUMNS.index("amount") - RATE_COLUMNS.index("alloy")):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    cell = page.locator("#portal input")
    cell.wait_for()
    assert cell.input_value() == "3.45"
    cell.fill("4.1")
    cell.press("Enter")
    page.locator(".st-key-book_changes").filter(has_text="wire.metal for 304").wait_for()
    page.locator(".st-key-book_effect").filter(has_text=money(after.price, "").strip()).wait_for()

    target = download(page, "book_download_xlsx", tmp_path / "edited.xlsx")
    assert read_price_book(target) == edited

    page.locator(".st-key-book_use button").click()
    page.locator(".st-key-book_head").filter(has_text="In use").wait_for()
    follow(page, "Enquiry")
    page.locator(".st-key-headline").filter(has_text=money(after.price)).wait_for()
    follow(page, "Price book")
    page.locator(".st-key-book_changes").filter(has_text="wire.metal for 304").wait_for()
    page.locator(".st-key-book_undo button").click()
    page.locator(".st-key-book_changes").filter(has_text="None.").wait_for()


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("place", ["price-book", "reasons"])
def test_these_pages_fit_a_narrow_screen(
    browser: Browser, app_url: str, place: str, scheme: Literal["light", "dark"]
) -> None:
    with visiting(browser, f"{app_url}/{place}", NARROW, scheme) as page:
        assert (
            page.evaluate("document.querySelector('[data-testid=stMain]').scrollWidth") <= NARROW[0]
        )
        outside = page.evaluate(
            "[...document.querySelectorAll('.mc-figure, .mc-messages li, .mc-aside, button')]"
            ".filter(e => e.getBoundingClientRect().right > innerWidth + 1).length"
        )
        assert outside == 0
