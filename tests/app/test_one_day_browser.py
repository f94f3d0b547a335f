"""A day's work by hand: enquiry, list, options, quotation, and all of it found after a restart."""

from __future__ import annotations

import os
import random
import signal
from typing import TYPE_CHECKING

import pypdf
import pytest
from app_fixtures import free_port, running
from browsing import PATIENCE, download, field, follow, settled, visiting
from playwright.sync_api import expect

import meshcore as mc
from meshcore.costing.money import money_text
from meshcore.demo import demo_price_book, demo_supply_policy
from meshcore.register.connecting import REGISTER_VARIABLE

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

#: What is typed into the form over the demonstration's enquiry, field by field.
TYPED = {"Mesh count": "12 / in", "Wire diameter": "0.023 in", "Quantity": "4"}
#: The second way to meet the enquiry.
OTHER_WIRE = "0.028 in"
#: Longest pause of a hand between two letters, and between two fields [ms].
LETTER_MS, FIELD_MS = 90, 700


def type_over(page: Page, hand: random.Random, label: str, text: str) -> None:
    """Type over a field letter by letter, and leave it at once by Tab, as a person does."""
    field(page, label).click()
    page.keyboard.press("Control+A")
    for letter in text:
        page.keyboard.type(letter, delay=hand.uniform(0, LETTER_MS))
    page.keyboard.press("Tab")
    page.wait_for_timeout(hand.uniform(0, FIELD_MS))


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def priced(wire: str) -> mc.Estimate:
    """Price what is typed by the library alone; the rest is the demonstration's first enquiry."""
    return mc.estimate(
        mc.Enquiry(
            mesh_count=TYPED["Mesh count"], wire_diameter=wire, alloy="304",
            form=mc.Roll("48 in", "100 ft"), quantity=int(TYPED["Quantity"]),
        ),
        demo_price_book(), demo_supply_policy(),
    )  # fmt: skip


def test_a_day_from_the_enquiry_to_the_quotation_found_after_a_restart(
    browser: Browser, tmp_path: Path
) -> None:
    hand = random.Random(20261126)
    port = free_port()
    own = os.environ | {REGISTER_VARIABLE: str(tmp_path / "register.sqlite")}
    first_way, second_way = priced(TYPED["Wire diameter"]), priced(OTHER_WIRE)
    amounts = [money_text(one.price, "EUR") for one in (first_way, second_way)]
    with (
        running(tmp_path, own, port) as server,
        visiting(browser, f"http://localhost:{port}/enquiry") as page,
    ):
        for label, text in TYPED.items():
            type_over(page, hand, label, text)
        # Clicked while the last field may still be under way: what is typed goes first.
        press(page, "Keep as an option")
        press(page, "Add to the list")
        expect(page.locator(".st-key-to_list_said")).to_contain_text("Added as", timeout=PATIENCE)
        type_over(page, hand, "Wire diameter", OTHER_WIRE)
        press(page, "Keep as an option")
        options = page.locator(".st-key-options")
        for amount in amounts:
            expect(options).to_contain_text(amount, timeout=PATIENCE)
        settled(page)

        follow(page, "List")
        expect(page.locator(".st-key-list_totals")).to_contain_text(amounts[0], timeout=PATIENCE)
        settled(page)

        follow(page, "Enquiry")
        press(page, "Quote them")
        expect(page.get_by_role("link", name="Quotations", exact=True)).to_have_attribute(
            "aria-current", "page", timeout=PATIENCE
        )
        settled(page)
        type_over(page, hand, "Their reference", "EVE/2026/7")
        field(page, "To").click()
        page.keyboard.type("Evening Star Brewery\nThe Quay", delay=20)
        press(page, "Draft the quotation")
        said = page.locator(".st-key-quotation_said_box")
        expect(said).to_contain_text("Drafted as Q", timeout=PATIENCE)
        settled(page)
        _looks_at(page, tmp_path / "before.pdf", amounts)

        # The machine goes down in the evening.
        server.send_signal(signal.SIGKILL)
        server.wait()
        expect(page.locator(".mc-connection")).to_contain_text("No connection", timeout=PATIENCE)
    with (
        running(tmp_path, own, port),
        visiting(browser, f"http://localhost:{port}/quotations") as page,
    ):
        # Another browser, on another day: nothing but the register knows of it.
        type_over(page, hand, "Find", "evening star")
        expect(page.locator(".st-key-quotation_one")).to_contain_text(
            "Evening Star Brewery", timeout=PATIENCE
        )
        settled(page)
        _looks_at(page, tmp_path / "after.pdf", amounts)


def _looks_at(page: Page, target: Path, amounts: list[str]) -> None:
    """Take the quotation away, and read in it what was asked and at what prices."""
    reader = pypdf.PdfReader(download(page, "quotation_pdf", target))
    told = "\n".join(one.extract_text() for one in reader.pages)
    for text in ("Evening Star Brewery", "EVE/2026/7", *(a.removeprefix("EUR ") for a in amounts)):
        assert text.removesuffix(" EUR") in told, text
