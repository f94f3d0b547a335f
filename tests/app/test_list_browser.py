"""A list in a browser: uploaded, its reading changed, a cell mended, and all of it kept."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import pytest
from browsing import PATIENCE, WIDE, download, follow, settled, visiting
from playwright.sync_api import expect

import meshcore as mc
from meshcore.costing.money import money_text
from meshcore.demo import demo_data
from meshcore.estimates.summary import list_totals

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

LIST = (
    "Mesh;Draht A;Draht B;alloy;form;width;length;Qty\n"
    "10 / in;0.025 in;0.020 in;304;roll;48 in;100 ft;3\n"
    "8 / in;0.028 in;0.032 in;316L;roll;36 in;100 ft;1\n"
)
MAPPING = {"Draht A": "", "Draht B": "wire_diameter"}
#: Where the grid of lines has its cells [px]: pages of one width draw it alike.
ROW_HEIGHT, FIRST_COLUMN = 35, 90


def total(text: str) -> str:
    read = mc.read_list(io.BytesIO(text.encode()), ".csv", mapping=MAPPING)
    policy = mc.read_supply_policy(demo_data() / "supply_policy.toml")
    totals = list_totals(mc.estimate_list(read, supply_policy=policy))
    return money_text(totals.price, totals.currency, totals.digits).strip()


def expect_total(page: Page, text: str) -> None:
    expect(page.locator(".st-key-list_totals")).to_contain_text(text, timeout=PATIENCE)


def read_as(page: Page, heading: str, word: str) -> None:
    """Choose what a heading stands for, as a person does."""
    box = page.get_by_role("combobox", name=heading, exact=True)
    box.click()
    page.get_by_role("option", name=word, exact=True).click()
    settled(page)


def mend(page: Page, row: int, column: str, text: str) -> None:
    """Write over a cell of the grid of lines."""
    grid = page.locator('[class*="st-key-list_cells_"]')
    grid.locator("canvas").first.wait_for(timeout=PATIENCE)
    columns = LIST.splitlines()[0].split(";")
    # The grid is drawn on a canvas; its cells are moved to by the keyboard.
    grid.locator("[data-testid=stDataFrame]").click(
        position={"x": FIRST_COLUMN, "y": ROW_HEIGHT * (row + 1) + ROW_HEIGHT / 2}
    )
    for _ in range(columns.index(column)):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    editor = page.locator("#portal textarea, #portal input").first
    editor.wait_for(timeout=PATIENCE)
    editor.fill(text)
    page.keyboard.press("Enter")
    settled(page)


def test_a_list_is_uploaded_its_reading_changed_a_cell_mended_and_priced(
    browser: Browser, app_url: str, tmp_path: Path
) -> None:
    with visiting(browser, app_url, WIDE) as page:
        follow(page, "List")
        page.locator("input[type=file]").set_input_files(
            {"name": "inbox.csv", "mimeType": "text/csv", "buffer": LIST.encode()}
        )
        page.locator(".st-key-how_read").wait_for(timeout=PATIENCE)
        settled(page)
        page.get_by_text("How it was read").click()
        read_as(page, "Draht A", "Not read")
        read_as(page, "Draht B", "Wire diameter")
        expect_total(page, total(LIST))

        page.get_by_text("Mend the lines").click()
        mend(page, 0, "Qty", "5")
        mended = LIST.replace(";100 ft;3", ";100 ft;5")
        expect_total(page, total(mended))
        assert total(mended) != total(LIST)
        expect(page.locator(".st-key-how_read")).to_contain_text("1 cell mended")

        saved = download(page, "download_mapping", tmp_path / "mapping.toml")
        again = mc.read_list(io.BytesIO(LIST.encode()), ".csv", mapping=saved)
        assert again.headings.column["wire_diameter"] == "Draht B"

        follow(page, "About")
        follow(page, "List")
        expect_total(page, total(mended))
        page.reload()
        settled(page)
        expect_total(page, total(mended))
        expect(page.locator(".st-key-how_read")).to_contain_text("1 cell mended")
