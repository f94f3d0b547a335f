"""Everyone can use the app: axe-core on every page and state, by ear, by keyboard, at 320 px.

axe-core (npm, MPL-2.0) checks against the Web Content Accessibility Guidelines 2.2, A and AA.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import pytest
from browsing import PATIENCE, field, settled, type_in, visiting
from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

_RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
#: Good practice that is held to as well.
_MORE = ["page-has-heading-one", "empty-heading", "empty-table-header", "heading-order"]
_FIND = """
async ([tags, more]) => {
  const found = await axe.run(document, {
    runOnly: {type: "tag", values: tags}, resultTypes: ["violations"],
    rules: Object.fromEntries(more.map(name => [name, {enabled: true}])),
  });
  return found.violations.flatMap(v => v.nodes.map(n => `${v.id}: ${n.html.slice(0, 200)}`));
}
"""
PLACES = (
    "",
    "enquiry",
    "use",
    "weaves",
    "list",
    "cutting",
    "alloys",
    "quotations",
    "price-book",
    "reasons",
    "about",
)
#: A page of 1,280 px magnified four times (1.4.10) [px].
NARROWEST = 320


def _nothing(_page: Page) -> None:
    """Look at the page as it opens."""


def _refused(page: Page) -> None:
    type_in(page, "Wire diameter", "16 ga")


def _to_review(page: Page) -> None:
    type_in(page, "Wire diameter", "0.052 in")


def _with_a_list(page: Page) -> None:
    page.get_by_role("button", name="Use the demo list").click()
    page.wait_for_selector(".st-key-list_totals")
    settled(page)
    page.get_by_text("How it was read").click()
    settled(page)


def _pieces(page: Page) -> None:
    page.get_by_role("radio", name="Pieces").click()
    settled(page)


def _with_a_use(page: Page) -> None:
    type_in(page, "Cut size", "6 mm")


def _with_the_model(page: Page) -> None:
    page.get_by_role("tab", name="Model").click()
    page.locator('canvas[data-ready="yes"]').wait_for()


STATES: dict[str, tuple[Callable[[Page], None], ...]] = {
    "enquiry": (_nothing, _refused, _to_review, _with_the_model),
    "use": (_nothing, _with_a_use),
    "list": (_nothing, _with_a_list),
    "cutting": (_nothing, _pieces),
}


def violations(page: Page, axe: Path) -> list[str]:
    if not page.evaluate("Boolean(window.axe)"):
        page.evaluate(axe.read_text(encoding="utf-8"))
    found: list[str] = page.evaluate(_FIND, [_RULES, _MORE])
    return found


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("place", PLACES)
def test_no_page_or_state_violates_the_guidelines(
    browser: Browser, app_url: str, axe_path: Path, place: str, scheme: Literal["light", "dark"]
) -> None:
    with visiting(browser, f"{app_url}/{place}", scheme=scheme) as page:
        for state in STATES.get(place, (_nothing,)):
            state(page)
            assert violations(page, axe_path) == [], state.__name__
        page.set_viewport_size({"width": NARROWEST, "height": 800})
        # A grid follows the width of its page a moment later.
        page.wait_for_function(
            "most => [document.documentElement, document.querySelector('[data-testid=stMain]')]"
            ".every(e => e.scrollWidth <= most)",
            arg=NARROWEST,
            timeout=PATIENCE,
        )


@pytest.mark.parametrize("width", [390, 768])
@pytest.mark.parametrize("place", ["enquiry", "cutting", "reasons"])
def test_no_amount_is_off_a_narrow_screen(
    browser: Browser, app_url: str, axe_path: Path, place: str, width: int
) -> None:
    """Amounts began beyond the edge of a telephone, and fields beyond that of their column."""
    with visiting(browser, f"{app_url}/{place}", size=(width, 844)) as page:
        beyond = page.evaluate(
            "[...document.querySelectorAll('.mc-table .mc-number')].filter(e => {"
            "  const box = e.closest('.mc-scroll')?.getBoundingClientRect() ?? {right: innerWidth};"
            "  return e.checkVisibility() && e.getBoundingClientRect().right > box.right + 1;"
            "}).map(e => e.innerText)"
        )
        assert beyond == []
        cut = page.evaluate(
            "[...document.querySelectorAll('.stColumn input, .stColumn button')].filter(e => {"
            "  const right = e.getBoundingClientRect().right;"
            "  let column = e.closest('.stColumn');"
            "  while (column && right <= column.getBoundingClientRect().right + 1)"
            "    column = column.parentElement.closest('.stColumn');"
            "  return e.checkVisibility() && column;"
            "}).map(e => e.getAttribute('aria-label') ?? e.innerText)"
        )
        assert cut == []
        assert page.get_by_role("row").count() > 0
        assert violations(page, axe_path) == []


def test_a_refused_field_is_told_so_and_a_mended_one_no_more(
    browser: Browser, app_url: str
) -> None:
    with visiting(browser, f"{app_url}/enquiry") as page:
        wire = field(page, "Wire diameter")
        expect(wire).not_to_have_attribute("aria-invalid", "true")
        type_in(page, "Wire diameter", "16 ga")
        expect(wire).to_have_attribute("aria-invalid", "true", timeout=PATIENCE)
        described = page.locator(f"[id='{wire.get_attribute('aria-describedby')}']")
        expect(described).to_contain_text("16 SWG")
        type_in(page, "Wire diameter", "0.025 in")
        expect(wire).not_to_have_attribute("aria-invalid", "true", timeout=PATIENCE)
        expect(page.locator(".mc-note.mc-refused")).to_have_count(0)


def test_a_new_price_is_announced(browser: Browser, app_url: str) -> None:
    with visiting(browser, f"{app_url}/enquiry") as page:
        shown = page.locator(".st-key-headline .mc-value").first
        before = shown.inner_text()
        # What stands there when the page is opened is read with it; only another is announced.
        page.wait_for_timeout(1200)
        type_in(page, "Quantity", "5")
        expect(shown).not_to_have_text(before, timeout=PATIENCE)
        live = page.locator(".mc-unseen[aria-live=polite]")
        expect(live).to_have_text(f"Price: {shown.inner_text()}", timeout=PATIENCE)


@pytest.mark.parametrize("width", [720, 768, 1024])
@pytest.mark.parametrize(("place", "form"), [("enquiry", "enquiry_form"), ("use", "by_use_form")])
def test_the_form_is_not_clipped_beside_its_answer(
    browser: Browser, app_url: str, width: int, place: str, form: str
) -> None:
    """720 px is a page of 1,440 px at 200 % (WCAG 2.2, 1.4.4)."""
    with visiting(browser, f"{app_url}/{place}", size=(width, 900)) as page:
        clipped = page.evaluate(
            f"[...document.querySelectorAll('.st-key-{form} :is(label, button) p')]"
            ".filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.innerText)"
        )
        assert clipped == []
        assert page.evaluate("document.querySelector('[data-testid=stMain]').scrollWidth") <= width


@pytest.mark.parametrize("width", [NARROWEST, 390, 768, 1024])
def test_no_figure_of_an_offer_is_cut_off(browser: Browser, app_url: str, width: int) -> None:
    with visiting(browser, f"{app_url}/use", size=(width, 900)) as page:
        type_in(page, "Cut size", "6 mm")
        page.locator(".mc-offer").first.wait_for()
        cut = page.evaluate(
            "most => [...document.querySelectorAll('.mc-offer, .mc-offer *')]"
            ".filter(e => e.getBoundingClientRect().right > most).map(e => e.innerText)",
            width,
        )
        assert cut == []


def test_an_enquiry_is_made_and_taken_away_by_the_keyboard_alone(
    browser: Browser, app_url: str, tmp_path: Path
) -> None:
    with visiting(browser, f"{app_url}/enquiry") as page:
        before = page.locator(".st-key-headline .mc-value").first.inner_text()
        _tab_to(page, "Quantity")
        page.keyboard.press("Control+A")
        page.keyboard.type("5")
        page.keyboard.press("Enter")
        settled(page)
        assert page.locator(".st-key-headline .mc-value").first.inner_text() != before
        _tab_to(page, "Workbook")
        with page.expect_download() as given:
            page.keyboard.press("Enter")
        given.value.save_as(tmp_path / "estimate.xlsx")


def _tab_to(page: Page, name: str) -> None:
    """Go on by Tab until the field or button of that name has the focus."""
    for _ in range(60):
        focused = page.evaluate(
            "(e => e === document.body ? '' : e.getAttribute('aria-label') ?? e.innerText)"
            "(document.activeElement)"
        )
        if name == (focused or "").strip().split("\n")[-1]:
            return
        page.keyboard.press("Tab")
    pytest.fail(f"{name} is not come to by Tab")
