"""Make the pictures of the README from the demonstration data.

Run it from anywhere, with the development set-up and a Chromium on the path:

    .venv/bin/python docs/screenshots/make.py
"""

from __future__ import annotations

import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

from playwright.sync_api import ViewportSize, sync_playwright

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.documents.printing import preview
from meshcore.documents.sheet import quotation_sheet

HERE = Path(__file__).parent
#: Width of the window, and its height for each picture [px].
WIDTH = 1440
HEIGHTS = {"enquiry": 1180, "alloys": 1600, "cutting": 1262}
#: Picture → page that it shows, and what must be there before it is taken.
PAGES = {
    "enquiry": ("/enquiry", ".st-key-chart table"),
    "alloys": ("/alloys", ".st-key-alloy"),
    "cutting": ("/cutting", ".st-key-cutting_patterns table"),
}
START_TIMEOUT = 60
#: Whether all that the page shows is loaded and drawn.
_IS_WHOLE = """() => !document.querySelector('[data-testid="stSkeleton"]')
  && document.querySelector('[data-testid="stApp"]').dataset.testScriptState !== "running"
  && Boolean(document.querySelector(".mc-done"))
  && [...document.images].every((image) => image.complete)"""
#: A grid is painted after it is there [ms].
PAINTED = 1500


def quotation_page() -> None:
    """Take the page that the README's command prints."""
    letter = mc.read_letter(demo_data() / "inbox" / "04-observatory.eml")
    policy = mc.read_supply_policy(demo_data() / "supply_policy.toml")
    estimates = mc.estimate_list(letter.lines, mc.demo_price_book(), policy)
    facts = mc.quotation(
        estimates, demo_data() / "terms.toml", to="Corrie Top Observatory",
        reference="CTO/2026/51", number="Q-1",
    )  # fmt: skip
    (HERE / "quotation.png").write_bytes(preview(quotation_sheet(facts))[0])


def main() -> None:
    """Serve the app, and photograph it."""
    quotation_page()
    chromium = next(
        filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None
    )
    if chromium is None:
        sys.exit("make.py: needs chromium; on Debian: apt-get install chromium")
    port = free_port()
    command = [
        sys.executable,
        "-m",
        "meshcore_estimator",
        "--demo",
        "--no-browser",
        "--port",
        str(port),
    ]
    with subprocess.Popen(command, stdout=subprocess.DEVNULL) as served:
        try:
            wait_for(f"http://localhost:{port}/_stcore/health")
            photograph(f"http://localhost:{port}", chromium)
        finally:
            served.terminate()


def photograph(address: str, chromium: str) -> None:
    """Take each page as it opens."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        for name, (path, awaited) in PAGES.items():
            size = ViewportSize(width=WIDTH, height=HEIGHTS[name])
            page = browser.new_page(viewport=size, color_scheme="light")
            page.goto(address + path)
            page.wait_for_selector(awaited)
            page.wait_for_function(_IS_WHOLE)
            page.wait_for_timeout(PAINTED)
            page.screenshot(path=HERE / f"{name}.png")
            page.close()
        browser.close()


def free_port() -> int:
    """Return a port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("localhost", 0))
        return int(probe.getsockname()[1])


def wait_for(address: str) -> None:
    """Wait until the app answers."""
    deadline = time.monotonic() + START_TIMEOUT
    while True:
        try:
            with urllib.request.urlopen(address, timeout=2):
                return
        except (urllib.error.URLError, TimeoutError, ConnectionError):
            if time.monotonic() > deadline:
                raise
            time.sleep(0.2)


if __name__ == "__main__":
    main()
