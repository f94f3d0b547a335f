"""The app as a person has it in a browser: opened, typed into, and waited for by its own mark."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Literal

from playwright.sync_api import expect

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Locator, Page

WIDE, NARROW = (1440, 900), (390, 844)
#: Longest wait for anything on the page; none is meant to take it [ms].
PATIENCE = 60_000
_IS_READY = "() => Boolean(window.meshcoreSettling?.send && document.querySelector('.mc-done'))"
_IS_DONE = "n => meshcoreSettling.isDone(n)"

#: What a bad line and a busy server take each way [ms].
LATENCY = 1000
_SLOW = """
const Quick = window.WebSocket;
window.WebSocket = class extends Quick {
  send(data) { setTimeout(() => super.send(data), LATENCY); }
  addEventListener(kind, heard, ...rest) {
    super.addEventListener(kind, kind === "message" ? this.late(heard) : heard, ...rest);
  }
  set onmessage(heard) { super.onmessage = this.late(heard); }
  late(heard) { return (event) => setTimeout(() => heard(event), LATENCY); }
};
"""


def slow_line(page: Page) -> None:
    """Let every message between page and app come late, in the order in which they were sent."""
    page.add_init_script(_SLOW.replace("LATENCY", str(LATENCY)))


@contextmanager
def visiting(
    browser: Browser,
    address: str,
    size: tuple[int, int] = WIDE,
    scheme: Literal["light", "dark"] = "light",
    prepare: Callable[[Page], None] = lambda _page: None,
) -> Iterator[Page]:
    """Open the app as a new visitor, and wait until its first page is drawn."""
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, color_scheme=scheme
    )
    context.set_default_timeout(PATIENCE)
    page = context.new_page()
    prepare(page)
    page.goto(address)
    settled(page)
    yield page
    context.close()


def settled(page: Page) -> None:
    """Wait until the run for the latest input is done, by the mark that it leaves."""
    page.wait_for_function(_IS_READY)
    number = page.evaluate("meshcoreSettling.settle()")
    page.wait_for_function(_IS_DONE, arg=number)


def field(page: Page, label: str) -> Locator:
    """The one field of that label."""
    only = page.get_by_label(label, exact=True)
    expect(only).to_have_count(1, timeout=PATIENCE)
    return only


def type_in(page: Page, label: str, text: str) -> None:
    """Write a text into a field, and wait for what comes of it."""
    field(page, label).fill(text)
    page.keyboard.press("Enter")
    settled(page)


def wait_for_price(page: Page, text: str) -> None:
    """Wait until the price of the enquiry is that."""
    price = page.locator(".st-key-headline .mc-value").first
    price.filter(has_text=text).wait_for(timeout=PATIENCE)


def follow(page: Page, name: str) -> None:
    """Go to another page by its link, and wait until it is drawn."""
    link = page.get_by_role("link", name=name, exact=True)
    link.click()
    expect(link).to_have_attribute("aria-current", "page", timeout=PATIENCE)
    settled(page)


def download(page: Page, key: str, target: Path) -> Path:
    """Take a file away by its button."""
    with page.expect_download() as given:
        page.locator(f".st-key-{key} button").click()
    given.value.save_as(target)
    return target
