"""The page of weaves tells what the library tells, and hands a weave on to the enquiry."""

from __future__ import annotations

import re
from html import unescape

import pytest
from app_fixtures import shown
from streamlit.testing.v1 import AppTest

import meshcore as mc
from meshcore.demo import DEMO_VARIABLE
from meshcore.enquiry import WEAVES
from meshcore.estimates.weave_guide import weave_guide


def _weaves_page() -> None:
    from meshcore_estimator.weaves import page as page_weaves  # noqa: PLC0415 - run as a script of its own

    page_weaves.page()


@pytest.fixture
def weaves_page(monkeypatch: pytest.MonkeyPatch) -> AppTest:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    return shown(AppTest.from_function(_weaves_page, default_timeout=60).run())


def said(page: AppTest) -> str:
    html = " ".join(one.value for one in page.html)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def test_every_weave_is_told_of_with_its_numbers(weaves_page: AppTest) -> None:
    assert not weaves_page.exception
    first = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304")
    text = said(weaves_page)
    for entry in weave_guide(mc.estimate(first).estimates.orders.cloth):
        for sentence in (entry.story.what, entry.story.told, entry.story.used, entry.story.stops):
            assert sentence in text
        for name, fact in entry.facts:
            assert f"{name.capitalize()}. {fact}" in text
    assert text.count("plain") + text.count("Plain") > 2


def test_no_weave_is_told_of_twice(weaves_page: AppTest) -> None:
    text = said(weaves_page)
    for entry in weave_guide():
        for sentence in (entry.story.told, entry.story.used, entry.story.stops):
            assert text.count(sentence) == 1


def test_a_weave_goes_into_the_enquiry(weaves_page: AppTest) -> None:
    weaves_page.selectbox(key="weave_looked_at").set_value("double crimp").run()
    assert not weaves_page.exception
    weaves_page.button(key="weave_use").click().run()
    assert weaves_page.session_state["enquiry_kept"]["ask_weave"] == "double crimp"


def test_a_choice_is_there_for_each_weave(weaves_page: AppTest) -> None:
    options = weaves_page.selectbox(key="weave_looked_at").options
    assert [name.casefold() for name in options] == list(WEAVES)
