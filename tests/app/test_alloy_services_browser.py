"""The services that people ask about, on the page of alloys: each with an answer and its basis."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pypdf
import pytest
from app_fixtures import serving
from browsing import (
    NARROW,
    PATIENCE,
    WIDE,
    download,
    field,
    follow,
    settled,
    type_in,
    visiting,
)
from playwright.sync_api import expect
from streamlit.testing.v1 import AppTest
from test_page_alloys import _alloys_page, grid, said

from meshcore.demo import DEMO_VARIABLE
from meshcore.register.connecting import REGISTER_VARIABLE

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

#: Where pictures of the pages go, if anybody wants to look at them.
SHOTS = "SCREENSHOTS_OF_SERVICES"
#: Name → what is typed and chosen, and what must stand on the page: the verdict of some alloys.
SERVICES: Mapping[str, tuple[Mapping[str, str], Mapping[str, str]]] = {
    "indoor": ({"Surroundings": "Indoor"}, {"304": "meets", "316L": "meets"}),
    "pool hall": ({"Surroundings": "Pool hall"}, {"316L": "not judged", "304": "fails"}),
    "caustic": (
        {"Surroundings": "Caustic soda", "Strength": "50 %", "Metal temperature": "110 °C"},
        {"nickel 201": "marginal", "aluminium 5052": "fails", "316L": "fails"},
    ),
    "furnace": (
        {"Surroundings": "Hot air", "Metal temperature": "900 °C"},
        {"304": "fails", "carbon steel": "fails"},
    ),
    "sea water": ({"Surroundings": "Sea water"}, {"titanium grade 2": "meets", "316L": "fails"}),
    "sour brine": (
        {"Surroundings": "Sour brine", "Metal temperature": "60 °C",
         "Temper of the wire": "Annealed"},
        {"alloy C-276": "meets", "316L": "fails"},
    ),
    "drinking water": (
        {"Surroundings": "Drinking water"}, {"316L": "meets", "434": "marginal"},
    ),
    "non-magnetic sieve": (
        {"Surroundings": "Indoor", "Must be": "non-magnetic"},
        {"304": "fails", "titanium grade 2": "meets", "alloy 400": "fails"},
    ),
}  # fmt: skip
_KEYS = {
    "Strength": "service_concentration",
    "Metal temperature": "service_temperature",
}


@pytest.mark.parametrize("name", SERVICES)
def test_the_answer_and_what_it_rests_on(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    page = AppTest.from_function(_alloys_page, default_timeout=60).run()
    typed, verdicts = SERVICES[name]
    page.selectbox(key="service_environment").set_value(typed["Surroundings"].lower()).run()
    for label, text in typed.items():
        if label in _KEYS:
            page.text_input(key=_KEYS[label]).set_value(text).run()
    if "Temper of the wire" in typed:
        page.selectbox(key="service_temper").set_value("annealed").run()
    if "Must be" in typed:
        page.pills(key="service_must_be").set_value(["non_magnetic"]).run()
    assert not page.exception
    shown = grid(page)
    assert np.isfinite(shown["life_years"].dropna()).all(), "no grid says Infinity"
    assert np.isfinite(shown["corrosion_margin"].dropna()).all()
    found = {a: v[0] for a, v in zip(shown["alloy"], shown["verdict"], strict=True)}
    for alloy, verdict in verdicts.items():
        assert found[alloy].endswith(verdict), alloy
    assert "what would change a verdict" in said(page, "alloy_rests_on")


def test_every_preset_shows_every_value_that_it_assumes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    page = AppTest.from_function(_alloys_page, default_timeout=60).run()
    page.selectbox(key="service_environment").set_value("drinking water").run()
    shown = said(page, "alloy_rests_on")
    for words in (
        "chloride: 250 mg/l (assumed)", "temperature: 20 °C (assumed)", "pH: 7.5 (assumed)",
        "free chlorine: 0.5 mg/l (assumed)", "ammonia: no (assumed)", "in tension: no (assumed)",
    ):  # fmt: skip
        assert words in shown


def test_the_speed_of_strong_acid_is_asked_and_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    page = AppTest.from_function(_alloys_page, default_timeout=60).run()
    page.selectbox(key="service_environment").set_value("sulphuric acid").run()
    page.text_input(key="service_concentration").set_value("98 %").run()
    page.text_input(key="service_temperature").set_value("25 °C").run()
    assert "speed of the liquid: 0.5 m/s (assumed)" in said(page, "alloy_rests_on")
    slow = grid(page).set_index("alloy")["verdict"]
    page.text_input(key="service_flow").set_value("3 m/s").run()
    fast = grid(page).set_index("alloy")["verdict"]
    for alloy, before, after in (
        ("carbon steel", "marginal", "fails"), ("304", "marginal", "not judged"),
        ("tantalum", "meets", "meets"),
    ):  # fmt: skip
        assert slow[alloy][0].endswith(before)
        assert fast[alloy][0].endswith(after)


def test_more_margin_is_told_only_where_it_reads_as_more(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    page = AppTest.from_function(_alloys_page, default_timeout=60).run()
    page.selectbox(key="service_environment").set_value("sea water").run()
    words = said(page, "verdict_in_words")
    assert "More corrosion margin costs, at the least: alloy C-276 +1.5" in words
    assert "S31254 +0.4" not in words


def test_what_is_to_be_asked_stands_on_the_page(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    page = AppTest.from_function(_alloys_page, default_timeout=60).run()
    page.selectbox(key="service_environment").set_value("drinking water").run()
    assert "positive list" in said(page, "alloy_papers")
    assert "cost_over_years" in grid(page)


def test_what_a_replacement_costs_is_typed_and_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    page = AppTest.from_function(_alloys_page, default_timeout=60).run()
    before = grid(page).set_index("alloy")["cost_over_years"]
    page.text_input(key="service_fitting").set_value("500").run()
    page.text_input(key="service_discount").set_value("5 %").run()
    after = grid(page).set_index("alloy")["cost_over_years"]
    assert not page.exception
    assert after["316L"] == pytest.approx(before["316L"]), "what lasts is not replaced"
    assert after["galvanized steel"] != pytest.approx(before["galvanized steel"])
    page.text_input(key="service_discount").set_value("much").run()
    assert "Discount a year" in said(page, "alloys_answer")
    assert "Write it as 5 % a year" in said(page, "alloys_answer")


def test_who_weaves_it_stands_on_the_page(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    page = AppTest.from_function(_alloys_page, default_timeout=60).run()
    assert "Who weaves it?" in said(page, "verdict_in_words")
    assert {"stocked", "to order", "not listed"} <= set(grid(page)["availability"])


def _choose(page: Page, label: str, option: str) -> None:
    if label == "Must be":
        page.get_by_role("button", name=option, exact=True).click()
    else:
        if label == "Temper of the wire":
            page.get_by_text("What else is known").click()
            settled(page)
        box = page.get_by_role("combobox", name=label)
        box.click()
        box.fill(option)
        page.get_by_role("option", name=option, exact=True).click()
    settled(page)


@pytest.mark.browser
@pytest.mark.parametrize("size", [WIDE, NARROW], ids=["wide", "narrow"])
@pytest.mark.parametrize("name", SERVICES)
def test_in_a_browser(name: str, size: tuple[int, int], browser: Browser, app_url: str) -> None:
    typed, _ = SERVICES[name]
    with visiting(browser, f"{app_url}/alloys", size) as page:
        for label, text in typed.items():
            if label in _KEYS:
                type_in(page, label, text)
            else:
                _choose(page, label, text)
        assert page.locator(".stException").count() == 0
        assert page.locator(".st-key-alloy_rests_on li").count() >= 2
        over = page.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        assert over <= 0
        first = page.locator(".st-key-alloys_first")
        if size == NARROW:
            box = first.bounding_box()
            assert box is not None
            assert box["y"] + box["height"] <= size[1], "the answer stands on the first screen"
            assert re.search(r"\d+ (meet|fail)", first.inner_text())
        else:
            assert not first.is_visible()
        if folder := os.environ.get(SHOTS):
            target = Path(folder) / f"{name.replace(' ', '-')}-{size[0]}.png"
            page.screenshot(path=target, full_page=size == WIDE)


@pytest.mark.browser
def test_the_service_goes_along_to_the_quotation(browser: Browser, tmp_path: Path) -> None:
    own = os.environ | {REGISTER_VARIABLE: str(tmp_path / "register.sqlite")}
    with serving(tmp_path, own) as address, visiting(browser, f"{address}/alloys", WIDE) as page:
        _choose(page, "Surroundings", "Sour brine")
        type_in(page, "Metal temperature", "60 °C")
        _choose(page, "Temper of the wire", "Annealed")
        page.get_by_role("button", name="Use this alloy").click()
        enquiry = page.get_by_role("link", name="Enquiry", exact=True)
        expect(enquiry).to_have_attribute("aria-current", "page", timeout=PATIENCE)
        settled(page)
        stands = field(page, "Must stand").input_value()
        assert stands.startswith("sour brine; temperature: 60 °C")
        follow(page, "Quotations")
        page.get_by_text("The enquiry", exact=True).click()
        settled(page)
        field(page, "To").fill("Cloud Chamber Drilling\nThe Rig")
        field(page, "To").blur()
        settled(page)
        page.get_by_role("button", name="Draft the quotation", exact=True).click()
        said = page.locator(".st-key-quotation_said_box")
        expect(said).to_contain_text("Drafted as Q", timeout=PATIENCE)
        settled(page)
        reader = pypdf.PdfReader(download(page, "quotation_pdf", tmp_path / "quotation.pdf"))
        printed = " ".join("\n".join(one.extract_text() for one in reader.pages).split())
        for words in ("sour brine", "60 °C", "temper", "annealed", "chloride", "50,000"):
            assert words in printed
        if folder := os.environ.get(SHOTS):
            page.screenshot(path=Path(folder) / "quotation-from-alloys.png", full_page=True)
            (Path(folder) / "quotation.txt").write_text(printed, "utf-8")
