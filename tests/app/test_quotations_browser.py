"""The whole day in a browser, on a register of its own: from a list to the repeat order."""

from __future__ import annotations

import csv
import io
import os
import re
from typing import TYPE_CHECKING, Any

import numpy as np
import pypdf
import pypdfium2
import pytest
import zxingcpp
from app_fixtures import serving
from browsing import PATIENCE, WIDE, download, field, follow, settled, type_in, visiting
from playwright.sync_api import expect

from meshcore.demo import demo_data
from meshcore.register.connecting import REGISTER_VARIABLE

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

LIST = (
    "Mesh;Wire;alloy;form;width;length;Qty;weave;services\n"
    "10 / in;0.025 in;304;roll;48 in;100 ft;2;;gold plating\n"
    "4 / in;0.063 in;316L;roll;36 in;100 ft;1;pre-crimped;\n"
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
    # The server is stopped, and started anew on the same register, with a dearer book.
    with (
        serving(tmp_path / "second", own, "--book", str(_dearer(tmp_path))) as address,
        visiting(browser, address, WIDE) as page,
    ):
        follow(page, "Quotations")
        type_in(page, "Label or number to repeat", label)
        compared = page.locator(".st-key-quotation_repeat")
        expect(compared).to_contain_text("Q20", timeout=PATIENCE)
        expect(compared.locator("tfoot")).to_be_visible(timeout=PATIENCE)
        told = compared.locator("tr td:last-child").all_inner_texts()
        *items, total = [_amount(text) for text in told if text.strip()]
        assert round(sum(items), 2) == total > 0
        press(page, "Quote it anew", "-000002")


def _dearer(folder: Path) -> Path:
    """Write a book in which the loom is dearer."""
    book = (demo_data() / "price_book.toml").read_text("utf-8")
    dearer = re.sub(r'(key = "weaving\.loom"[^\[]*?amount = )([\d.]+)', r"\g<1>999.0", book)
    assert dearer != book
    path = folder / "book.toml"
    path.write_text(dearer, "utf-8")
    return path


def _amount(text: str) -> float:
    number = re.search(r"[+−-]?[\d,]+(?:\.\d+)?", text)
    return float(number[0].replace(",", "").replace("−", "-")) if number else 0.0


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
    lines = list(csv.DictReader(io.StringIO(reader.attachments["lines.csv"][0].decode())))
    assert [line["line"] for line in lines] == ["1", "2"]
    assert all(f"{float(line['amount']):,.2f}" in told for line in lines)

    # What is in doubt is told beside the page, and confirmed there.
    beside = page.locator(".st-key-quotation_one")
    expect(beside).to_contain_text("Line 2: still to be confirmed", timeout=PATIENCE)
    expect(beside).to_contain_text("not in the price, and told so: gold plating")
    assert "Still to be confirmed" in told
    assert "gold plating" in told
    page.get_by_role("combobox", name="Settled lines").click()
    page.get_by_role("option", name="2", exact=True).click()
    page.keyboard.press("Escape")
    settled(page)
    press(page, "Confirm these lines", "Lines 2 are confirmed")
    _, confirmed = printed(download(page, "quotation_pdf", folder / "confirmed.pdf"))
    assert "Still to be confirmed" not in confirmed
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

    type_in(page, "Lengths delivered", "980 ft")
    press(page, "Note the lengths", "check the unit")
    numbers = [code.splitlines()[1] for code in codes]
    rows = "".join(f"{n},{length},H7\n" for n, length in zip(numbers, (98, 112, 100), strict=True))
    type_in(page, "Lengths delivered", "")
    page.locator('[class*="st-key-order_file_"] input[type=file]').set_input_files(
        {"name": "rolls.csv", "mimeType": "text/csv",
         "buffer": f"Roll,Delivered [ft],Heat\n{rows}".encode()}
    )  # fmt: skip
    settled(page)
    press(page, "Note the lengths", "3 lengths are noted")
    expect(page.locator(".st-key-quotation_one")).to_contain_text("heat H7", timeout=PATIENCE)
    press(page, "Bill what is delivered", "for 3 labels")
    expect(page.locator(".st-key-quotation_one")).to_contain_text(
        "outside the tolerance", timeout=PATIENCE
    )
    return codes[0].splitlines()[1]


def _codes(content: bytes) -> list[str]:
    found: list[str] = []
    for page in pypdfium2.PdfDocument(io.BytesIO(content)):
        image = np.asarray(page.render(scale=3).to_pil().convert("L"))
        found += [code.text for code in zxingcpp.read_barcodes(image)]
    return found
