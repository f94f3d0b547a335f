"""What a click is to do is done, though the next message comes while it is being done."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from app_fixtures import free_port, wait_for
from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser
#: A page whose button takes a while, and looks into the session afterwards.
SCRIPT = """
import time
import streamlit as st
{install}
def add():
    time.sleep(0.4)
    st.session_state.added = st.session_state.get("added", 0) + 1
st.button("Add", on_click=add)
st.text_input("Word")
st.write(f"added {{st.session_state.get('added', 0)}} {{st.session_state.get('Word', '')}}")
"""
INSTALL = "from meshcore_estimator.shared import unbroken; unbroken.install()"
CLICKS = 3


@contextmanager
def served(script: Path) -> Iterator[str]:
    port = free_port()
    command = [sys.executable, "-m", "streamlit", "run", str(script), "--server.headless=true",
               f"--server.port={port}", "--server.address=localhost",
               "--runner.fastReruns=false"]  # fmt: skip
    log = script.with_suffix(".log")
    with log.open("w") as out, subprocess.Popen(command, stdout=out, stderr=out) as process:
        try:
            wait_for(f"http://localhost:{port}/_stcore/health", process, log)
            yield f"http://localhost:{port}"
        finally:
            process.terminate()


def added(browser: Browser, script: Path, install: str) -> str:
    """Click, and type a word while that is being done; tell what has been added."""
    script.write_text(SCRIPT.format(install=install))
    with served(script) as address:
        page = browser.new_page()
        page.goto(address)
        button = page.get_by_role("button", name="Add", exact=True)
        button.wait_for(timeout=60_000)
        for number in range(CLICKS):
            button.click()
            page.wait_for_timeout(100)
            page.get_by_label("Word").fill(f"word{number}")
            page.get_by_label("Word").press("Enter")
            page.wait_for_timeout(1500)
        expect(page.locator('[data-testid="stApp"]')).to_have_attribute(
            "data-test-script-state", "notRunning", timeout=60_000
        )
        said = page.get_by_text("added").inner_text()
        page.close()
        return said


def test_a_click_is_done_though_a_message_comes_meanwhile(browser: Browser, tmp_path: Path) -> None:
    assert added(browser, tmp_path / "page.py", INSTALL).startswith(f"added {CLICKS}")


def test_without_that_streamlit_loses_it(browser: Browser, tmp_path: Path) -> None:
    """Where this fails, streamlit has mended it, and `shared.unbroken` can go."""
    assert not added(browser, tmp_path / "page.py", "").startswith(f"added {CLICKS}")
