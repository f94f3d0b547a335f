"""Browsers at work side by side on one server: errors, times from Enter to the price, memory.

    python benchmarks/office_load.py --browsers 8 --minutes 10

Each browser is a person of its own: it types a quantity that nobody else types, waits until its own
price is there, looks at the list now and then, and comes back. A price that is another's counts as
cross-talk. The figures are of this machine and of what else runs on it: its load is told.
"""

from __future__ import annotations

import argparse
import os
import shutil
import statistics
import sys
import tempfile
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[1] / "tests" / part) for part in ("", "app")]

from app_fixtures import BROWSER_FLAGS, free_port, running  # noqa: E402 - of the tests
from browsing import follow, settled, type_in  # noqa: E402
from playwright.sync_api import Browser, Error, Page, sync_playwright  # noqa: E402

#: Pause between two things that a person does [s].
PAUSE_S = 1.0
#: After so many prices a person looks at the list.
LIST_EVERY = 8


@dataclass
class Told:
    """What came of one person's work."""

    seconds: list[float] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)
    crossed: int = 0


def resident_mb(process: int) -> float:
    """Memory that a process has [MB], by Linux' own account."""
    for line in Path(f"/proc/{process}/status").read_text().splitlines():
        if line.startswith("VmRSS:"):
            return int(line.split()[1]) / 1024.0
    return float("nan")


def at_work(page: Page, person: int, told: Told, until: float) -> None:
    """Type, wait for the price, and look whose it is, until the time is over."""
    prices: dict[str, str] = {}
    turn = 0
    while time.monotonic() < until:
        quantity = str(1 + person + 16 * (turn % 6))
        begun = time.monotonic()
        type_in(page, "Quantity", quantity)
        told.seconds.append(time.monotonic() - begun)
        price = page.locator(".st-key-headline .mc-value").first.inner_text()
        field_ = page.get_by_label("Quantity", exact=True).input_value()
        told.crossed += field_ != quantity or prices.setdefault(quantity, price) != price
        if page.locator(".st-key-fault, .stException").count():
            told.errors.append("a fault on the page")
        turn += 1
        if turn % LIST_EVERY == 0:
            follow(page, "List")
            page.get_by_role("button", name="Use the demo list").click()
            settled(page)
            follow(page, "Enquiry")
        time.sleep(PAUSE_S)


def visit(browser: Browser, address: str, person: int, told: Told, until: float) -> None:
    """Open the app as a person of one's own, and work there."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    context.set_default_timeout(120_000)
    page = context.new_page()
    page.on("pageerror", lambda error: told.errors.append(f"script: {error}"))
    try:
        page.goto(f"{address}/enquiry")
        settled(page)
        at_work(page, person, told, until)
    except (Error, AssertionError) as error:
        told.errors.append(str(error).splitlines()[0])
    finally:
        context.close()


def person_at_work(chromium: str, address: str, person: int, told: Told, until: float) -> None:
    """Run a browser of one's own: they are not shared between threads."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=BROWSER_FLAGS)
        visit(browser, address, person, told, until)
        browser.close()


def main() -> int:
    """Run the load, and print its figures; 1 where anything went wrong."""
    parser = argparse.ArgumentParser(description="A load of browsers on one server.")
    parser.add_argument("--browsers", type=int, default=8)
    parser.add_argument("--minutes", type=float, default=10.0)
    chosen = parser.parse_args()
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        sys.exit("needs chromium; on Debian: apt-get install chromium")
    people = [Told() for _ in range(chosen.browsers)]
    memory: list[float] = []
    port = free_port()
    with (
        tempfile.TemporaryDirectory() as folder,
        running(Path(folder) / "app", dict(os.environ), port) as served,
    ):
        until = time.monotonic() + 60.0 * chosen.minutes
        threads = [
            threading.Thread(
                target=person_at_work,
                args=(chromium, f"http://localhost:{port}", number, told, until),
            )
            for number, told in enumerate(people)
        ]
        for thread in threads:
            thread.start()
        while any(thread.is_alive() for thread in threads):
            memory.append(resident_mb(served.pid))
            time.sleep(5.0)
        faults = (Path(folder) / "app" / "app.log").read_text().count('"fault"')
    return _report(people, memory, faults)


def _report(people: list[Told], memory: list[float], faults: int) -> int:
    seconds = sorted(s for told in people for s in told.seconds)
    errors = [error for told in people for error in told.errors]
    crossed = sum(told.crossed for told in people)
    print(f"{len(people)} browsers, {len(seconds)} prices, load {os.getloadavg()[0]:.1f} "
          f"on {os.cpu_count()} cores")  # fmt: skip
    if seconds:
        late = seconds[min(int(0.95 * len(seconds)), len(seconds) - 1)]
        median = statistics.median(seconds)
        print(f"Enter to done: median {median:.2f} s, 95 % within {late:.2f} s, "
              f"longest {seconds[-1]:.2f} s")  # fmt: skip
    third = max(len(memory) // 3, 1)
    print(f"memory of the server: {memory[0]:.0f} MB at first, {max(memory[:third]):.0f} MB in the "
          f"first third, {max(memory[-third:]):.0f} MB in the last")  # fmt: skip
    print(f"cross-talk {crossed}, faults in the log {faults}, errors {len(errors)}")
    for error in dict.fromkeys(errors):
        print(f"  {errors.count(error)} x {error}")
    return 1 if errors or crossed or faults else 0


if __name__ == "__main__":
    sys.exit(main())
