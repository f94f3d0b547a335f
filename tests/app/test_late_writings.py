"""What the app wrote before it heard of a hand comes late, and does not take the hand's place."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from browsing import field, follow, settled, slow_line, type_in, visiting

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser
_YEARS, _LOAD = "Years wanted", ".st-key-service_load button[role=radio]"
#: Presses a choice as soon as the page has it and the field that is typed in: before the page has
#: told the app that it shows what was written there, so that the next run writes it again.
_AT_ONCE = """([choices, field]) => new Promise((done) => {
  const look = () => {
    const choice = [...document.querySelectorAll(choices)].find((one) => one.innerText === "Yes");
    const typed = document.querySelector(field)?.value;
    if (choice && typed) (choice.click(), done());
    else requestAnimationFrame(look);
  };
  look();
})"""


@pytest.fixture
def come_back(browser: Browser, app_url: str) -> Iterator[Page]:
    """The page of alloys, come back to over a slow line: a run that writes all again has begun."""
    with visiting(browser, f"{app_url}/alloys", prepare=slow_line) as page:
        type_in(page, _YEARS, "49 years")
        follow(page, "Enquiry")
        page.get_by_role("link", name="Alloys", exact=True).click()
        page.evaluate(_AT_ONCE, [_LOAD, ".st-key-service_years_wanted input"])
        yield page


def test_a_text_typed_meanwhile_stands(come_back: Page) -> None:
    years = field(come_back, _YEARS)
    years.click()
    come_back.keyboard.press("Control+A")
    come_back.keyboard.type("31 years")
    come_back.keyboard.press("Tab")
    settled(come_back)
    settled(come_back)
    assert years.input_value() == "31 years"
    chosen = come_back.locator(f"{_LOAD}[aria-checked=true]")
    assert chosen.inner_text() == "Yes"


def test_a_choice_made_meanwhile_stands(come_back: Page) -> None:
    come_back.locator(_LOAD).get_by_text("No", exact=True).click()
    settled(come_back)
    settled(come_back)
    assert come_back.locator(f"{_LOAD}[aria-checked=true]").inner_text() == "No"
    assert field(come_back, _YEARS).input_value() == "49 years"
