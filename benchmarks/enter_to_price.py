"""The app in a browser: from Enter to the new price on the screen, from a click to a cloth's model.

The browser is Chromium; without it the bench says so and ends. The clock is the page's own, from
the key going down to the change of the price in the page. What else the machine is doing stretches
all of it, so the load is told beside the figures.
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from meshcore.demo import BOOK_VARIABLE, POLICY_VARIABLE
from meshcore.register.connecting import RECORDS_VARIABLE, REGISTER_VARIABLE
from meshcore_estimator.shared.drafts import DRAFTS_VARIABLE

if TYPE_CHECKING:
    from playwright.sync_api import Page

#: Changes that are timed, and before the first one [-].
CHANGES, WARM = 200, 5
#: What is held to on a machine that does nothing else [ms].
P50_MS, P95_MS = 250.0, 500.0
#: Visits of the page of weaves that are timed, and what one is held to [-, ms]. The viewer is in
#: the browser from the visit before.
VISITS, MODEL_MS = 5, 1000.0
#: Longest wait for the app to answer, and for one price [s].
START_S, PRICE_S = 120.0, 10.0
_BROWSERS = ("chromium", "chromium-browser", "google-chrome")
_FLAGS = ["--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu", "--no-first-run",
          "--disable-background-networking"]  # fmt: skip
_READY = "() => Boolean(window.meshcoreSettling?.send && document.querySelector('.mc-done'))"
#: Notes when Enter goes down, and when the price is another one.
_WATCH = """() => {
  const price = () => document.querySelector('.st-key-headline .mc-value')?.textContent;
  window.benchBegun = null;
  addEventListener('keydown', (event) => {
    if (event.key === 'Enter') {
      window.benchBegun = { at: performance.now(), price: price() };
      window.benchTook = null;
    }
  }, true);
  new MutationObserver(() => {
    const begun = window.benchBegun;
    if (begun && price() && price() !== begun.price) {
      window.benchTook = performance.now() - begun.at;
      window.benchBegun = null;
    }
  }).observe(document.body, { subtree: true, childList: true, characterData: true });
}"""


def main() -> None:
    """Time changes of the demonstration's enquiry from Enter to the new price."""
    found = next(filter(None, map(shutil.which, _BROWSERS)), None)
    if found is None:
        print("enter: no Chromium is installed, so nothing is measured")
        return
    before = os.getloadavg()[0]
    with _served() as address:
        changes, visits = _measured(found, address)
    times = np.array(changes)
    p50, p95 = np.percentile(times, (50, 95))
    held = "held" if p50 <= P50_MS and p95 <= P95_MS else "not held"
    print(
        f"enter: {CHANGES} changes in Chromium: p50 {p50:.0f} ms, p95 {p95:.0f} ms from Enter to "
        f"the price; wanted {P50_MS:.0f} and {P95_MS:.0f} on an idle machine, {held} at a load of "
        f"{before:.1f} before and {os.getloadavg()[0]:.1f} after, on {os.cpu_count()} processors"
    )
    print(
        f"model: {VISITS} visits of the weaves: {np.median(visits):.0f} ms in the middle from the "
        f"click to the model, {min(visits):.0f} at least; wanted {MODEL_MS:.0f}"
    )


@contextmanager
def _served() -> Iterator[str]:
    with socket.socket() as probe, tempfile.TemporaryDirectory() as name:
        probe.bind(("localhost", 0))
        port = int(probe.getsockname()[1])
        folder = Path(name)
        own = {n: text for n, text in os.environ.items()
               if n not in (BOOK_VARIABLE, POLICY_VARIABLE, REGISTER_VARIABLE)}  # fmt: skip
        own[RECORDS_VARIABLE] = str(folder / "records.sqlite")
        own[DRAFTS_VARIABLE] = str(folder / "drafts.sqlite")
        probe.close()
        command = [sys.executable, "-m", "meshcore_estimator", "--demo", "--no-browser",
                   "--port", str(port)]  # fmt: skip
        with subprocess.Popen(command, env=own, stdout=subprocess.DEVNULL,
                              stderr=subprocess.DEVNULL) as served:  # fmt: skip
            try:
                _wait_for(f"http://localhost:{port}/_stcore/health")
                yield f"http://localhost:{port}/enquiry"
            finally:
                served.terminate()


def _wait_for(address: str) -> None:
    deadline = time.monotonic() + START_S
    while True:
        try:
            with urllib.request.urlopen(address, timeout=2):
                return
        except OSError:
            if time.monotonic() > deadline:
                raise
            time.sleep(0.2)


def _measured(browser: str, address: str) -> tuple[list[float], list[float]]:
    """Return what changes and visits take [ms]."""
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - only where it is measured

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=browser, args=_FLAGS)
        page = opened.new_page(viewport={"width": 1440, "height": 900})
        page.set_default_timeout(START_S * 1e3)
        page.goto(address)
        page.wait_for_function(_READY)
        page.evaluate(_WATCH)
        changes = _changes(page)
        visits = [_visit(page) for _ in range(1 + VISITS)]
        opened.close()
    return changes, visits[1:]


def _visit(page: Page) -> float:
    """Return how long it takes from a click on the page of weaves to its model [ms]."""
    began = time.perf_counter()
    page.get_by_role("link", name="Weaves", exact=True).click()
    page.locator('canvas[data-ready="yes"]').wait_for()
    took = (time.perf_counter() - began) * 1e3
    page.get_by_role("link", name="Enquiry", exact=True).click()
    page.get_by_label("Quantity", exact=True).wait_for()
    return took


def _changes(page: Page) -> list[float]:
    field = page.get_by_label("Quantity", exact=True)
    times: list[float] = []
    number = 4
    while len(times) < WARM + CHANGES:
        number += 1
        field.click()
        page.keyboard.press("Control+A")
        page.keyboard.type(str(number))
        page.keyboard.press("Enter")
        # A machine that stalls between the last letter and Enter has taken the letters already:
        # then Enter changes nothing, and another quantity is typed.
        deadline = time.monotonic() + PRICE_S
        while (took := page.evaluate("window.benchTook")) is None:
            if time.monotonic() > deadline:
                break
            page.wait_for_timeout(20)
        times += [] if took is None else [float(took)]
        # The next change begins when the last run is drawn to its end, as a person's does.
        asked = page.evaluate("meshcoreSettling.settle()")
        page.wait_for_function("n => meshcoreSettling.isDone(n)", arg=asked)
    return times[WARM:]


if __name__ == "__main__":
    main()
