"""The page of a letter: from paste to priced lines and the reply."""

from __future__ import annotations

from email import message_from_bytes, policy
from html import unescape
from typing import TYPE_CHECKING

import pandas as pd
import pytest
from browsing import NARROW, PATIENCE, WIDE, download, field, follow, settled, visiting
from playwright.sync_api import expect
from streamlit.testing.v1 import AppTest

import meshcore as mc
from meshcore.costing.money import money_text
from meshcore.demo import DEMO_VARIABLE, demo_data
from meshcore.estimates.letters import PricedLetter, mended, price_letter
from meshcore.reading.letters.letter import read_text_of_letter
from meshcore_estimator.letter import marks

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser, Page

INBOX = sorted(p for p in (demo_data() / "inbox").iterdir() if p.suffix in (".txt", ".eml"))
LETTER = """From: Works Office <works@quarry.example>

Good morning, please quote, our ref. TQ 12:
- 3 rolls 10 mesh, .025 in wire, 304, 48 in x 100 ft
- 2 rolls of 4 mesh, 16 gauge wire, 304, 48 in wide, full rolls
- 6 sheets of perforated plate, 2 mm thick
"""


def _letter_page() -> None:
    from meshcore_estimator.letter import page as page_letter  # noqa: PLC0415 - run as a script of its own

    page_letter.page()


@pytest.fixture
def page(monkeypatch: pytest.MonkeyPatch) -> AppTest:
    """The page on the demonstration data, with its first letter."""
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    return AppTest.from_function(_letter_page, default_timeout=60).run()


def priced(text: str) -> PricedLetter:
    """What the library makes of a letter with what the demonstration is priced with."""
    supply = mc.read_supply_policy(demo_data() / "supply_policy.toml")
    return price_letter(read_text_of_letter(text), supply_policy=supply)


def html(page: AppTest, container: str) -> str:
    return unescape(" ".join(e.value for e in page.get_by_key(container).html))


def price(priced_: PricedLetter, row: int) -> str:
    return money_text(priced_.estimates[row].price, "", 2).strip()


def test_it_opens_on_the_first_letter_of_the_demo_mill(page: AppTest) -> None:
    assert not page.exception
    expected = priced(str(page.text_area[0].value))
    assert "PD-26/4" in html(page, "letter_header")
    for row in range(len(expected.letter.lines)):
        assert price(expected, row) in html(page, "letter_lines")


@pytest.mark.parametrize("file", INBOX, ids=lambda p: p.stem)
def test_every_letter_of_the_inbox_is_shown_and_priced(page: AppTest, file: Path) -> None:
    page.selectbox[0].select(file.name).run()
    assert not page.exception
    expected = priced(str(page.text_area[0].value))
    shown = html(page, "letter_lines")
    for way in expected.ways:
        for one in way:
            if one.status != "refused":
                assert money_text(one.price, "", 2).strip() in shown or len(expected.ways) > 1
    reply = " ".join(code.value for code in page.get_by_key("letter_reply").code)
    assert reply == expected.reply().strip()


def test_a_choice_is_shown_both_ways(page: AppTest) -> None:
    text = LETTER.replace("304, 48 in x", "304 or 316L, 48 in x")
    page.text_area[0].set_value(text).run()
    shown, expected = html(page, "letter_lines"), priced(text)
    for way in expected.ways:
        assert money_text(way[0].price, "", 2).strip() in shown
    assert " to " in html(page, "letter_totals").split("Lines")[0]


def test_nothing_is_drawn_without_a_letter(page: AppTest) -> None:
    page.text_area[0].set_value("").run()
    assert not page.exception
    assert "asked, not guessed" in " ".join(e.value for e in page.html)


def test_a_letter_without_lines_says_so(page: AppTest) -> None:
    page.text_area[0].set_value("Thank you for the calendar.").run()
    assert not page.exception
    assert "No line was read" in html(page, "letter_grid")


def cells_key(page: AppTest) -> str:
    """Key of the grid as it stands on the page."""
    return next(k for e in page.data_editor if (k := str(e.key)).startswith("letter_cells_"))


def test_a_line_is_mended_in_a_letter_that_leaves_nothing_open(page: AppTest) -> None:
    text = "Please quote 4 rolls 10 mesh, 0.025 in wire, 304, 48 in x 100 ft."
    page.text_area[0].set_value(text).run()
    letter = read_text_of_letter(text)
    assert letter.asked.empty
    key = cells_key(page)
    page.session_state[key] = {
        "edited_rows": {0: {"quantity": "7"}}, "added_rows": [], "deleted_rows": [],
    }  # fmt: skip
    page.run()
    assert not page.exception
    supply = mc.read_supply_policy(demo_data() / "supply_policy.toml")
    both = price_letter(mended(letter, letter.lines.assign(quantity="7")), supply_policy=supply)
    assert price(both, 0) in html(page, "letter_lines")


def test_what_was_mended_is_given_up_in_a_grid_of_its_own(page: AppTest) -> None:
    before, key = html(page, "letter_lines"), cells_key(page)
    page.session_state[key] = {
        "edited_rows": {0: {"quantity": "7"}}, "added_rows": [], "deleted_rows": [],
    }  # fmt: skip
    page.run()
    assert html(page, "letter_lines") != before
    page.button(key="letter_unmend").click().run()
    assert not page.exception
    assert html(page, "letter_lines") == before
    # Under the same key the page would hold what was typed, and send it again.
    assert cells_key(page) != key


def test_what_a_letter_says_is_text_and_never_markup(page: AppTest) -> None:
    page.text_area[0].set_value(f"<script>alert(1)</script> & <b>{LETTER}").run()
    assert not page.exception
    raw = " ".join(e.value for e in page.html)
    assert "<script" not in raw
    assert "&lt;script&gt;" in raw


def test_every_cell_is_marked_where_it_was_read() -> None:
    letter = read_text_of_letter(LETTER)
    shown = marks.marked(letter)
    assert unescape("".join(_texts(shown))) == letter.text
    for row in letter.evidence.itertuples():
        assert f"{row.text}"[:8] in unescape(shown)


def _texts(shown: str) -> list[str]:
    """Texts of the letter without the labels."""
    import re  # noqa: PLC0415 - only here

    bare = re.sub(r'<span class="mc-read-label">[^<]*</span>', "", shown)
    return re.split(r"<[^>]*>", bare)


@pytest.mark.browser
def test_from_paste_to_priced_lines_and_on_to_a_list(browser: Browser, app_url: str) -> None:
    expected = priced(LETTER)
    with visiting(browser, app_url, WIDE) as page:
        follow(page, "Letter")
        paste(page, LETTER)
        expect(page.locator(".st-key-letter_lines")).to_contain_text(price(expected, 0))
        expect(page.locator(".st-key-letter_lines")).to_contain_text("Refused")
        expect(page.locator(".mc-letter mark", has_text="16 gauge")).to_have_count(1)
        expect(page.locator(".mc-letter mark[class*=apart]").first).to_be_visible()

        # The line that was to be asked about is mended in the grid, by the keyboard alone.
        mend(page, row=1, right=1, text="16 SWG")
        lines = read_text_of_letter(LETTER).lines
        lines.loc[1, "wire_diameter"] = "16 SWG"
        supply = mc.read_supply_policy(demo_data() / "supply_policy.toml")
        both = mc.estimate_list(pd.DataFrame(lines), supply_policy=supply)
        shown = page.locator(".st-key-letter_lines")
        expect(shown).to_contain_text(money_text(both[1].price, "", 2).strip())
        expect(shown).not_to_contain_text("Refused")
        expect(page.locator(".st-key-letter_grid")).to_contain_text("1 cell mended")

        # Another page and a reload lose neither the letter nor what was mended.
        follow(page, "About")
        follow(page, "Letter")
        page.reload()
        settled(page)
        expect(page.locator(".st-key-letter_grid")).to_contain_text("1 cell mended")
        expect(shown).to_contain_text(money_text(both[1].price, "", 2).strip())

        page.locator(".st-key-letter_as_list button").click()
        expect(page.locator(".st-key-list_totals")).to_contain_text("2 ok", timeout=PATIENCE)


@pytest.mark.browser
def test_the_reply_is_taken_away_as_a_mail(browser: Browser, app_url: str, tmp_path: Path) -> None:
    expected = priced(LETTER)
    with visiting(browser, app_url, WIDE) as page:
        field(page, "Letter").fill(LETTER)
        mail = download(page, "download_reply_mail", tmp_path / "reply.eml").read_bytes()
        read = message_from_bytes(mail, policy=policy.default)
        body = read.get_body()
        assert body is not None
        assert read["To"] == "works@quarry.example"
        assert body.get_content().replace("\r\n", "\n") == expected.reply()
        assert "perforated plate" in expected.reply()


@pytest.mark.browser
def test_on_a_narrow_screen_nothing_lies_beside_the_page(browser: Browser, app_url: str) -> None:
    with visiting(browser, app_url, NARROW) as page:
        page.locator(".st-key-letter_reply").wait_for()
        wide = page.evaluate(
            "[document.documentElement.scrollWidth, document.documentElement.clientWidth]"
        )
        assert wide[0] <= wide[1]


def paste(page: Page, text: str) -> None:
    """Paste a letter, and leave the field."""
    field(page, "Letter").fill(text)
    settled(page)


def mend(page: Page, row: int, right: int, text: str) -> None:
    """Write over a cell of the grid, `right` places from the first."""
    grid = page.locator('[class*="st-key-letter_cells_"]')
    grid.locator("canvas").first.wait_for()
    grid.locator("[data-testid=stDataFrame]").click(position={"x": 130, "y": 35 * (row + 1) + 17})
    for _ in range(right):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    editor = page.locator("#portal textarea, #portal input").first
    editor.wait_for()
    editor.fill(text)
    page.keyboard.press("Enter")
    settled(page)


@pytest.mark.browser
def test_from_a_letter_to_a_drafted_quotation(
    browser: Browser, app_url: str, tmp_path: Path
) -> None:
    words = LETTER.replace("304, 48 in x", "304 or 316L, 48 in x")
    expected = priced(words)
    with visiting(browser, app_url, WIDE) as page:
        paste(page, words)
        page.locator(".st-key-letter_quotation button").click()
        expect(field(page, "Their reference")).to_have_value("TQ 12")
        expect(field(page, "To")).to_have_value("Works Office <works@quarry.example>")
        page.locator(".st-key-quotation_way button", has_text="316L").click()
        settled(page)
        page.locator(".st-key-quotation_draft button").click()
        page.locator(".st-key-quotation_txt button").wait_for()
        text = download(page, "quotation_txt", tmp_path / "quotation.txt").read_text("utf-8")
        assert money_text(expected.ways[1][0].price, "", 2).strip() in text
        assert "Works Office" in text
        assert "TQ 12" in text
