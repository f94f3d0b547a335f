"""The page of alloys shows the library's comparison whole, with its cautions, and hands it on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING

import openpyxl
import pandas as pd
import pytest
from browsing import download, follow, visiting
from streamlit.testing.v1 import AppTest
from test_app_enquiry import DEMO_LINE, POLICY, money

import meshcore as mc
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.demo import DEMO_VARIABLE

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

#: Longest wait for anything on the page [ms].
PATIENCE = 30_000


def _alloys_page() -> None:
    from meshcore_estimator.alloys import page as page_alloys  # noqa: PLC0415 - run as a script of its own

    page_alloys.page()


@pytest.fixture
def alloys_page(monkeypatch: pytest.MonkeyPatch) -> AppTest:
    """The page on the demonstration line, by the coast for 15 years."""
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    return AppTest.from_function(_alloys_page, default_timeout=60).run()


@pytest.fixture
def bare_page() -> AppTest:
    """The page as it opens without the demonstration data."""
    return AppTest.from_function(_alloys_page, default_timeout=60).run()


@pytest.fixture
def coast() -> pd.DataFrame:
    """What the library says of the demonstration line by the coast."""
    return mc.compare_alloys(
        DEMO_LINE, Conditions(environment="coastal", years_wanted=15.0), supply_policy=POLICY
    )


def said(page: AppTest, container: str) -> str:
    """Text of a container, without its markup."""
    found = page.get_by_key(container)
    html = " ".join(e.value for kind in (found.html, found.markdown) for e in kind)
    return " ".join(unescape(re.sub(r"<style>.*?</style>|<[^>]+>", " ", html)).split())


def markup(page: AppTest, container: str) -> str:
    return " ".join(element.value for element in page.get_by_key(container).markdown)


def drawn(page: AppTest, width: int = 940) -> set[str]:
    """Alloys in the picture of one width."""
    svg = re.search(rf'<div class="mc-picture-{width}".*?</svg>', markup(page, "alloy_picture"))
    assert svg
    return {unescape(name) for name in re.findall(r'data-alloy="([^"]*)"', svg[0])}


def in_strip(page: AppTest) -> set[str]:
    chips = re.findall(r'class="mc-chip".*?</svg>([^<]*) <', markup(page, "alloy_strip"))
    return {unescape(name) for name in chips}


def grid(page: AppTest) -> pd.DataFrame:
    shown: pd.DataFrame = page.dataframe[0].value
    return shown


def test_it_opens_on_the_librarys_answer(alloys_page: AppTest, coast: pd.DataFrame) -> None:
    best = coast.iloc[0]
    assert not alloys_page.exception
    assert best["cheapest_that_meets"]
    words = said(alloys_page, "verdict_in_words")
    headline = said(alloys_page, "headline")
    assert f"Cheapest that meets {best['alloy']}" in headline
    assert money(best["price"]) in headline
    assert best["reason"] in words
    assert grid(alloys_page)["price"].tolist() == pytest.approx(
        coast["price"].tolist(), nan_ok=True
    )


def test_every_cheaper_alloy_is_accounted_for(alloys_page: AppTest, coast: pd.DataFrame) -> None:
    words = said(alloys_page, "verdict_in_words")
    cheaper = coast[coast["price"] < coast["price"].iloc[0]]
    assert f"{len(cheaper)} cost less" in words
    for name, price in zip(cheaper["alloy"], cheaper["price"], strict=True):
        assert f"{name} {money(price, '').strip()}" in words


def test_cautions_stand_open_with_the_results(alloys_page: AppTest, coast: pd.DataFrame) -> None:
    shown = said(alloys_page, "alloy_cautions")
    assert len(coast.attrs["cautions"]) >= 3
    assert all(caution in shown for caution in coast.attrs["cautions"])
    hidden = " ".join(element.value for box in alloys_page.expander for element in box.html)
    assert "not a design code" not in hidden


def test_no_alloy_is_dropped_from_the_picture(alloys_page: AppTest, coast: pd.DataFrame) -> None:
    for width in (940, 620, 350):
        assert drawn(alloys_page, width) | in_strip(alloys_page) == set(coast["alloy"])
        assert not drawn(alloys_page, width) & in_strip(alloys_page)
    assert f"({len(in_strip(alloys_page))})" in said(alloys_page, "alloy_strip")


def test_filters_act_on_table_and_picture(alloys_page: AppTest, coast: pd.DataFrame) -> None:
    alloys_page.pills(key="alloy_verdicts").set_value(["fails"]).run()
    fails = set(coast["alloy"][coast["verdict"] == "fails"])
    assert set(grid(alloys_page)["alloy"]) == fails
    assert drawn(alloys_page) | in_strip(alloys_page) == fails
    alloys_page.multiselect(key="alloy_families").set_value(["ferritic stainless steel"]).run()
    ferritic = coast["alloy"][coast["family"] == "ferritic stainless steel"]
    assert set(grid(alloys_page)["alloy"]) == fails & set(ferritic) >= {"409", "430"}
    assert not alloys_page.exception


def test_a_filter_that_leaves_nothing_says_so(alloys_page: AppTest) -> None:
    alloys_page.pills(key="alloy_verdicts").set_value(["fails"]).run()
    alloys_page.multiselect(key="alloy_families").set_value(["titanium"]).run()
    assert not alloys_page.exception
    assert not alloys_page.dataframe
    assert any("No alloy is of such" in caption.value for caption in alloys_page.caption)


def test_the_service_is_read_with_its_units(alloys_page: AppTest) -> None:
    alloys_page.selectbox(key="service_environment").set_value(None).run()
    alloys_page.text_input(key="service_years_wanted").set_value("").run()
    alloys_page.text_input(key="service_temperature").set_value("932 °F").run()
    expected = mc.compare_alloys(DEMO_LINE, Conditions(temperature_c=500.0), supply_policy=POLICY)
    assert grid(alloys_page)["alloy"].tolist() == expected["alloy"].tolist()
    assert "heat" in grid(alloys_page)
    assert "outdoor_air" not in grid(alloys_page)


def test_what_the_alloy_must_take_is_asked(alloys_page: AppTest) -> None:
    alloys_page.pills(key="service_must_be").set_value(["non_magnetic"]).run()
    alloys_page.pills(key="service_after_weaving").set_value(["weld", "coat"]).run()
    expected = mc.compare_alloys(
        DEMO_LINE,
        Conditions(
            environment="coastal", years_wanted=15.0, non_magnetic=True, weld=True, coat=True
        ),
        supply_policy=POLICY,
    )
    assert grid(alloys_page)["alloy"].tolist() == expected["alloy"].tolist()
    assert {"non_magnetic", "weld", "coat"} <= set(grid(alloys_page))


def test_a_service_that_cannot_be_read_is_refused_by_field(alloys_page: AppTest) -> None:
    alloys_page.text_input(key="service_temperature").set_value("hot").run()
    assert not alloys_page.exception
    assert "Metal temperature" in said(alloys_page, "said_years_wanted_temperature")
    assert "not a number with a unit" in said(alloys_page, "alloys_answer")
    assert not alloys_page.dataframe


def test_without_mesh_there_are_verdicts_but_no_prices(bare_page: AppTest) -> None:
    assert not bare_page.exception
    assert "No service is described" in said(bare_page, "verdict_in_words")
    bare_page.selectbox(key="service_environment").set_value("shore").run()
    assert not bare_page.exception
    shown = grid(bare_page)
    assert shown["price"].isna().all()
    verdict = {a: v[0] for a, v in zip(shown["alloy"], shown["verdict"], strict=True)}
    assert verdict["304"].endswith("fails")
    assert verdict["2205"].endswith("not judged"), "it depends on washing, which nobody named"
    assert verdict["S31254"].endswith("meets")
    assert len(shown) > 35
    assert "nothing to set one against the other" in said(bare_page, "compared")


def test_a_mesh_that_cannot_be_is_explained(alloys_page: AppTest) -> None:
    alloys_page.text_input(key="ask_wire_diameter").set_value("5 in").run()
    assert not alloys_page.exception
    assert "no prices until" in said(alloys_page, "no_prices")
    assert grid(alloys_page)["price"].isna().all()


def test_prices_follow_the_wire_path_chosen(alloys_page: AppTest) -> None:
    before = grid(alloys_page)["price"].dropna()
    alloys_page.segmented_control(key="ask_path_model").set_value("flat").run()
    after = grid(alloys_page)["price"].dropna()
    # 10 mesh of 0.635 mm: the flat rule is 0.2 % lighter.
    assert (after < before).all()


def test_where_none_meets_it_says_so(alloys_page: AppTest) -> None:
    alloys_page.text_input(key="service_temperature").set_value("1400 °C").run()
    assert not alloys_page.exception
    assert "No alloy meets this service" in said(alloys_page, "verdict_in_words")


def test_each_alloy_is_shown_with_how_it_takes_services(alloys_page: AppTest) -> None:
    shown = said(alloys_page, "alloy")
    assert "Outdoor air" in shown
    for service in ("Welding", "Forming", "Annealing", "Coating"):
        assert service in shown


@pytest.fixture
def in_browser(browser: Browser, app_url: str) -> Iterator[Page]:
    """The page on a wide screen."""
    with visiting(browser, f"{app_url}/alloys") as opened:
        yield opened


#: Boxes of names and centres of marks in the picture that fits, as the browser drew them.
_DRAWN = """() => {
  const shown = [...document.querySelectorAll('.mc-pictures > div')]
    .filter(div => getComputedStyle(div).display !== 'none');
  const box = e => {
    const r = e.getBoundingClientRect();
    return [r.left, r.top, r.right, r.bottom];
  };
  return [shown.length, [...shown[0].querySelectorAll('.mc-name')].map(box),
          [...shown[0].querySelectorAll('.mc-dot')].map(box)];
}"""


def _overlap(first: list[float], second: list[float]) -> bool:
    return (
        min(first[2], second[2]) - max(first[0], second[0]) > 0.5
        and min(first[3], second[3]) - max(first[1], second[1]) > 2.5
    )


@pytest.mark.browser
@pytest.mark.parametrize("size", [(1440, 900), (1000, 800), (390, 844)])
def test_names_as_drawn_stay_clear(in_browser: Page, size: tuple[int, int]) -> None:
    """A line box is taller than its letters, so two pixels of it may touch."""
    in_browser.set_viewport_size({"width": size[0], "height": size[1]})
    in_browser.reload()
    in_browser.locator(".mc-pictures svg:visible").wait_for()
    in_browser.wait_for_selector(".st-key-alloy")
    pictures, names, marks = in_browser.evaluate(_DRAWN)
    assert pictures == 1
    assert len(names) > 10
    assert not any(_overlap(a, b) for a, b in combinations(names, 2))
    assert not any(_overlap(name, mark) for name in names for mark in marks)
    overflow = in_browser.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    assert overflow <= 0


@pytest.mark.browser
def test_the_alloy_chosen_is_priced_as_an_enquiry(
    in_browser: Page, coast: pd.DataFrame, tmp_path: Path
) -> None:
    best = coast.iloc[0]
    target = download(in_browser, "download_alloys_xlsx", tmp_path / "alloys.xlsx")
    sheet = openpyxl.load_workbook(target)["Alloys"]
    cells = [cell for row in sheet.values for cell in row]
    assert all(caution in cells for caution in coast.attrs["cautions"])
    given = pd.read_csv(download(in_browser, "download_alloys_csv", tmp_path / "alloys.csv"))
    assert given["alloy"].astype(str).tolist() == coast["alloy"].tolist()

    in_browser.locator(".st-key-use_alloy button").click()
    price = in_browser.locator(".st-key-headline .mc-value").first
    price.filter(has_text=money(best["price"])).wait_for()
    carried = in_browser.get_by_label("Must stand", exact=True).input_value()
    assert carried == "coastal; years wanted: 15 years"
    follow(in_browser, "Alloys")
    answer = in_browser.locator(".st-key-headline .mc-value").first
    answer.filter(has_text=best["alloy"]).wait_for()
    assert in_browser.get_by_label("Years wanted").input_value() == "15 years"
    follow(in_browser, "Enquiry")
    in_browser.locator(".st-key-headline .mc-value").first.filter(
        has_text=money(best["price"])
    ).wait_for()


def test_the_service_goes_with_the_alloy_into_the_enquiry(alloys_page: AppTest) -> None:
    """From there it is quoted as it is priced: the list of one line has it in its own column."""
    alloys_page.selectbox(key="service_environment").set_value("sea water").run()
    best = grid(alloys_page)["alloy"].iloc[0]
    alloys_page.button(key="use_alloy").click().run()
    kept = alloys_page.session_state["enquiry_kept"]
    assert kept["ask_must_stand"] == "sea water; years wanted: 15 years"
    assert kept["ask_alloy"] == best
