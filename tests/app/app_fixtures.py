"""The app for the tests: in this process, and served for a browser."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from streamlit.components.v2 import manifest_scanner
from streamlit.util import calc_hash

from meshcore.demo import BOOK_VARIABLE, DEMO_VARIABLE, POLICY_VARIABLE, demo_data
from meshcore.register.connecting import RECORDS_VARIABLE, REGISTER_VARIABLE
from meshcore_estimator.__main__ import SCRIPT
from meshcore_estimator.shared.drafts import DRAFTS_VARIABLE

if TYPE_CHECKING:
    from playwright.sync_api import Browser
    from streamlit.testing.v1 import AppTest

#: Flags for a machine without a screen and with a closed network.
BROWSER_FLAGS = [
    "--no-sandbox",
    "--disable-dev-shm-usage",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
#: A cold start on a slow machine [s].
START_TIMEOUT = 60


@pytest.fixture(scope="session", autouse=True)
def _components_are_looked_for_once() -> Iterator[None]:
    """Streamlit's tests look through all distributions for components, each time a page is made."""
    found = cache(manifest_scanner.scan_component_manifests)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(manifest_scanner, "scan_component_manifests", found)
        yield


@pytest.fixture(autouse=True)
def _own_settings(
    monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Keep the settings of whoever runs the tests out of them, and theirs out of his."""
    for name in (DEMO_VARIABLE, POLICY_VARIABLE, RECORDS_VARIABLE, REGISTER_VARIABLE):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv(BOOK_VARIABLE, str(demo_data() / "price_book.toml"))
    drafts = tmp_path_factory.getbasetemp() / "drafts.sqlite"
    monkeypatch.setenv(DRAFTS_VARIABLE, str(drafts))


@pytest.fixture
def demo_app(monkeypatch: pytest.MonkeyPatch) -> AppTest:
    """The app opened on the demonstration data."""
    from streamlit.testing.v1 import AppTest  # noqa: PLC0415 - heavy, and most tests need none

    monkeypatch.setenv(DEMO_VARIABLE, "1")
    return shown(on_enquiry(AppTest.from_file(SCRIPT, default_timeout=START_TIMEOUT)).run())


def on_enquiry(app: AppTest) -> AppTest:
    """Open the page of the enquiry, as its address does."""
    # Of streamlit's own means, `switch_page` knows pages that are files, and these are functions.
    app._page_hash = calc_hash("enquiry")
    return app


def shown(app: AppTest) -> AppTest:
    """Say what a browser says by itself: that the page shows what the app wrote into fields."""
    app.session_state["settling_written"] = {}
    return app


def opened(app: AppTest, tab: str) -> AppTest:
    """Open a tab of the estimate, as a click does: what is in the others is not worked out."""
    app.session_state["answer_tabs"] = tab
    return app.run()


@pytest.fixture
def empty_app() -> AppTest:
    """The app as it opens without the demonstration data."""
    from streamlit.testing.v1 import AppTest  # noqa: PLC0415 - heavy, and most tests need none

    return on_enquiry(AppTest.from_file(SCRIPT, default_timeout=START_TIMEOUT)).run()


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("localhost", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="session")
def app_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of the app, served by its own launcher on the demonstration data."""
    with serving(tmp_path_factory.mktemp("app"), dict(os.environ)) as address:
        yield address


@contextmanager
def serving(folder: Path, environment: Mapping[str, str], *options: str) -> Iterator[str]:
    """Serve the app on the demonstration data, with records and drafts of its own in a folder."""
    port = free_port()
    with running(folder, environment, port, *options):
        yield f"http://localhost:{port}"


@contextmanager
def running(
    folder: Path, environment: Mapping[str, str], port: int, *options: str
) -> Iterator[subprocess.Popen[bytes]]:
    """Run the process that serves the app on a port, and wait until it answers."""
    folder.mkdir(exist_ok=True)
    log = folder / "app.log"
    own = {**environment, RECORDS_VARIABLE: str(folder / "records.sqlite"),
           DRAFTS_VARIABLE: str(folder / "drafts.sqlite")}  # fmt: skip
    command = [sys.executable, "-m", "meshcore_estimator", "--demo", "--no-browser",
               "--port", str(port), *options]  # fmt: skip
    with log.open("w") as out, subprocess.Popen(command, stdout=out, stderr=out, env=own) as served:
        try:
            wait_for(f"http://localhost:{port}/_stcore/health", served, log)
            yield served
        finally:
            served.terminate()


def wait_for(address: str, served: subprocess.Popen[bytes], log: Path) -> None:
    """Wait until a process that serves pages answers."""
    deadline = time.monotonic() + START_TIMEOUT
    while time.monotonic() < deadline:
        assert served.poll() is None, f"the app ended at once: {log.read_text()}"
        try:
            with urllib.request.urlopen(address, timeout=2):
                return
        except (urllib.error.URLError, TimeoutError, ConnectionError):
            time.sleep(0.2)
    pytest.fail(f"the app did not answer within {START_TIMEOUT} s: {log.read_text()}")


@pytest.fixture(scope="session")
def browser(chromium_path: Path) -> Iterator[Browser]:
    """Chromium of the system."""
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - only where a browser is

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=str(chromium_path), args=BROWSER_FLAGS)
        yield opened
        opened.close()
