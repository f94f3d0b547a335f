"""The workbook of a long list: made in the background, told how far it is, and given up."""

from __future__ import annotations

import io
import os
import time
from typing import TYPE_CHECKING

import openpyxl
import pytest
from app_fixtures import serving
from browsing import PATIENCE, download, settled, visiting
from playwright.sync_api import expect
from streamlit.testing.v1 import AppTest
from streamlit.util import calc_hash

from meshcore.demo import DEMO_VARIABLE, demo_price_book
from meshcore.estimates.pipeline import estimate_list
from meshcore.lists.reading import read_list
from meshcore.lists.workbook import workbook_bytes
from meshcore_estimator.__main__ import SCRIPT
from meshcore_estimator.lists import workbook_job
from meshcore_estimator.lists.source import Upload

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser

_HEADINGS = "mesh;wire;alloy;form;width;length;quantity\n"
_LINE = "10 / in;0.025 in;304;roll;48 in;100 ft;{}\n"


def text_of(lines: int) -> str:
    return _HEADINGS + "".join(_LINE.format(number % 90 + 1) for number in range(lines))


def test_progress_rises_to_its_end_and_what_it_raises_ends_the_work() -> None:
    estimates = estimate_list(
        read_list(io.BytesIO(text_of(300).encode()), suffix=".csv"), demo_price_book()
    )
    told: list[float] = []
    content = workbook_bytes(estimates, progress=told.append)
    assert told == sorted(told)
    assert len(told) > 5
    assert 0.0 < told[0] < 0.2
    assert 0.8 < told[-1] <= 1.0
    assert openpyxl.load_workbook(io.BytesIO(content)).sheetnames[1] == "Priced list"

    def stop(_share: float) -> None:
        raise InterruptedError

    with pytest.raises(InterruptedError):
        workbook_bytes(estimates, progress=stop)


@pytest.fixture
def long_list(monkeypatch: pytest.MonkeyPatch) -> AppTest:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    monkeypatch.setattr(workbook_job, "MOST_AT_ONCE", 100)
    app = AppTest.from_file(SCRIPT, default_timeout=120)
    app._page_hash = calc_hash("list")
    app.session_state["list_file"] = Upload("long.csv", ".csv", text_of(600).encode(), "")
    return app.run()


def test_it_is_made_when_asked_for_and_taken_away(long_list: AppTest) -> None:
    app = long_list
    assert "download_xlsx" not in keys(app)
    app.button(key="workbook_begin").click().run()
    assert not app.exception
    deadline = time.monotonic() + 60
    while "download_xlsx" not in keys(app) and time.monotonic() < deadline:
        time.sleep(0.1)
        app.run()
    job = app.session_state["workbook_job"]
    made = openpyxl.load_workbook(io.BytesIO(job.content))
    assert made.worksheets[1].max_row == 601
    assert "from the list long.csv" in str(made.worksheets[0].cell(2, 1).value)


def test_it_is_given_up_by_hand_and_where_the_list_is_another(long_list: AppTest) -> None:
    app = long_list
    app.button(key="workbook_begin").click().run()
    job = app.session_state["workbook_job"]
    if job.content is None:
        app.button(key="workbook_cancel").click().run()
        assert job.given_up.is_set()
        assert "workbook_job" not in app.session_state
        app.button(key="workbook_begin").click().run()
        job = app.session_state["workbook_job"]
    app.session_state["list_file"] = Upload("other.csv", ".csv", text_of(300).encode(), "")
    app.run()
    assert job.given_up.is_set()
    assert "workbook_begin" in keys(app)


def keys(app: AppTest) -> set[str]:
    buttons = {str(one.key) for one in app.button}
    return buttons | {str(one.key) for one in app.get("download_button")}


@pytest.mark.browser
def test_in_a_browser_the_page_tells_how_far_it_is_and_then_gives_the_file(
    browser: Browser, tmp_path: Path
) -> None:
    lines = 6_000
    with (
        serving(tmp_path / "app", os.environ) as address,
        visiting(browser, f"{address}/list") as page,
    ):
        page.locator("input[type=file]").set_input_files(
            {"name": "long.csv", "mimeType": "text/csv", "buffer": text_of(lines).encode()}
        )
        page.locator(".st-key-workbook_begin button").click(timeout=PATIENCE)
        expect(page.locator(".st-key-list_totals")).to_contain_text(
            f"of {lines:,} lines", timeout=PATIENCE
        )
        # Nobody does anything: the page finds by itself that it is done.
        page.locator(".st-key-download_xlsx button").wait_for(timeout=PATIENCE)
        settled(page)
        target = download(page, "download_xlsx", tmp_path / "long.xlsx")
        sheet = openpyxl.load_workbook(target, read_only=True).worksheets[1]
        assert sum(1 for _ in sheet.iter_rows()) == lines + 1
