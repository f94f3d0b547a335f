"""The whole day in a browser, on a register of its own: from a list to the repeat order."""

from __future__ import annotations

import io
import os
from typing import TYPE_CHECKING, Any

import numpy as np
import pypdf
import pypdfium2
import pytest
import zxingcpp
from app_fixtures import serving
from browsing import PATIENCE, WIDE, download, field, follow, settled, type_in, visiting
from playwright.sync_api import expect

from meshcore.register.connecting import REGISTER_VARIABLE

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

LIST = (
    "Mesh;Wire;alloy;form;width;length;Qty\n"
    "10 / in;0.025 in;304;roll;48 in;100 ft;2\n"
    "20 / in;0.016 in;316L;roll;36 in;100 ft;1\n"
)


def press(page: Page, name: str, text: str) -> None:
    """Press a button, and wait until the page says what came of it."""
    page.get_by_role("button", name=name, exact=True).click()
    expect(page.locator(".st-key-quotation_said_box")).to_contain_text(text, timeout=PATIENCE)
    settled(page)


def printed(path: Path) -> tuple[pypdf.PdfReader, str]:
    reader = pypdf.PdfReader(path)
    return reader, "\n".join(page.extract_text() for page in reader.pages)


def test_the_whole_day(browser: Browser, tmp_path: Path) -> None:
    own = os.environ | {REGISTER_VARIABLE: str(tmp_path / "register.sqlite")}
    with serving(tmp_path / "first", own) as address, visiting(browser, address, WIDE) as page:
        follow(page, "List")
        page.locator("input[type=file]").set_input_files(
            {"name": "inbox.csv", "mimeType": "text/csv", "buffer": LIST.encode()}
        )
        page.locator(".st-key-how_read").wait_for(timeout=PATIENCE)
        settled(page)
        label = _quote_and_order(page, tmp_path)
    # The server is stopped, and started anew on the same register.
    with serving(tmp_path / "second", own) as address, visiting(browser, address, WIDE) as page:
        follow(page, "Quotations")
        type_in(page, "Label or number to repeat", label)
        compared = page.locator(".st-key-quotation_repeat")
        expect(compared).to_contain_text("Q20", timeout=PATIENCE)
        differences = compared.locator("tr td:last-child").all_inner_texts()
        assert differences
        press(page, "Quote it anew", "-000002")


def _quote_and_order(page: Page, folder: Path) -> str:
    """Draft, send, take the order, deliver and bill; return what a label's code says."""
    follow(page, "Quotations")
    field(page, "To").fill("Corrie Top Observatory\nThe Dome")
    field(page, "To").blur()
    settled(page)
    type_in(page, "Their reference", "CTO/2026/51")
    press(page, "Draft the quotation", "Drafted as Q")
    expect(page.locator(".st-key-quotation_page img").first).to_be_visible(timeout=PATIENCE)
    reader, told = printed(download(page, "quotation_pdf", folder / "quotation.pdf"))
    assert "Corrie Top Observatory" in told
    assert "316L" in told
    assert not [word for word in ("cost", "margin", "overhead") if word in told.casefold()]
    root: Any = reader.trailer["/Root"]
    assert "/StructTreeRoot" in root
    lines = reader.attachments["lines.csv"][0].decode().splitlines()
    assert len(lines) == 3
    amounts = [line.split(",")[-2] for line in lines[1:]]
    assert all(f"{float(amount):,.2f}" in told for amount in amounts)

    press(page, "Mark as sent", "is sent")
    type_in(page, "Buyer's order", "PO 7")
    press(page, "Accept the order", "with 3 labels")
    key = page.locator('[class*="st-key-labels_single_"]').first
    name = key.get_attribute("class") or ""
    labels = download(page, next(c for c in name.split() if c.startswith("st-key-labels_single_"))
                      .removeprefix("st-key-"), folder / "labels.pdf")  # fmt: skip
    codes = _codes(labels.read_bytes())
    assert len(codes) == 3
    assert all("PO 7" in code for code in codes)

    type_in(page, "Lengths delivered", "98 ft; 112 ft; 100 ft")
    press(page, "Note the lengths", "3 lengths are noted")
    press(page, "Bill what is delivered", "for 3 labels")
    expect(page.locator(".st-key-quotation_one")).to_contain_text(
        "outside the tolerance", timeout=PATIENCE
    )
    return codes[2].splitlines()[1]


def _codes(content: bytes) -> list[str]:
    found: list[str] = []
    for page in pypdfium2.PdfDocument(io.BytesIO(content)):
        image = np.asarray(page.render(scale=3).to_pil().convert("L"))
        found += [code.text for code in zxingcpp.read_barcodes(image)]
    return found
