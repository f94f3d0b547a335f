"""A list that takes new entries: what is typed and known is marked, and entered as what it is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from browsing import settled, visiting
from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

pytestmark = pytest.mark.browser

ALLOY = ".st-key-field_alloy input"
#: What stands in the list as marked.
MARKED = '[role="option"][data-focused]'
OFFER = '[role="option"][data-key="__creatable__"]'


@pytest.fixture
def enquiry(browser: Browser, app_url: str) -> Iterator[Page]:
    with visiting(browser, f"{app_url}/enquiry") as page:
        yield page


def typed(page: Page, text: str) -> Locator:
    field = page.locator(ALLOY)
    field.click()
    field.fill("")
    field.press_sequentially(text, delay=50)
    return field


# Designation, EN number and UNS number of one alloy, as its record in the plugin has them.
@pytest.mark.parametrize(
    ("text", "designation"),
    [("316", "316"), ("1.4401", "316"), ("s31603", "316L"), ("316ti", "316Ti")],
)
@pytest.mark.parametrize("leave", ["Enter", "Tab"])
def test_a_known_alloy_is_marked_and_the_offer_to_add_it_is_away(
    enquiry: Page, text: str, designation: str, leave: str
) -> None:
    field = typed(enquiry, text)
    marked = enquiry.locator(MARKED)
    expect(marked).to_have_count(1)
    expect(marked).to_contain_text(f"{designation} · ")
    expect(enquiry.locator(OFFER)).to_be_hidden()
    enquiry.keyboard.press(leave)
    settled(enquiry)
    assert field.input_value().startswith(f"{designation} · ")


def test_what_no_alloy_is_called_can_be_added(enquiry: Page) -> None:
    field = typed(enquiry, "unheard-of")
    expect(enquiry.locator(MARKED)).to_contain_text("Add: unheard-of")
    expect(enquiry.locator(OFFER)).to_be_visible()
    enquiry.keyboard.press("Enter")
    settled(enquiry)
    assert field.input_value() == "unheard-of"


def test_a_hand_that_goes_on_to_another_choice_is_followed(enquiry: Page) -> None:
    field = typed(enquiry, "316")
    expect(enquiry.locator(MARKED)).to_contain_text("316 · ")
    enquiry.keyboard.press("ArrowDown")
    expect(enquiry.locator(MARKED)).to_contain_text("316L · ")
    enquiry.keyboard.press("Enter")
    settled(enquiry)
    assert field.input_value().startswith("316L · ")


#: How many times slower the page is made, and what is typed: no alloy of that name is in the list.
SLOWER, UNKNOWN = 20, "unheard-of"


@pytest.mark.parametrize("leave", ["Enter", "Tab"])
def test_what_is_left_before_the_list_is_there_stands(enquiry: Page, leave: str) -> None:
    """On a busy machine the list opens after the hand has gone on; what was typed was dropped."""
    slowed = enquiry.context.new_cdp_session(enquiry)
    slowed.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    field = enquiry.locator(ALLOY)
    field.fill(UNKNOWN)
    enquiry.keyboard.press(leave)
    settled(enquiry)
    assert field.input_value() == UNKNOWN
    slowed.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    enquiry.reload()
    settled(enquiry)
    assert field.input_value() == UNKNOWN
