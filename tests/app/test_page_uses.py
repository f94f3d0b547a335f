"""The page that starts from the use shows the library's answer, and hands it on to the enquiry."""

from __future__ import annotations

import re
from html import unescape

import pytest
from app_fixtures import shown
from streamlit.testing.v1 import AppTest
from test_app_enquiry import POLICY, money

import meshcore as mc
from meshcore.demo import DEMO_VARIABLE
from meshcore.estimates.wording import CAUTION
from meshcore.reading.uses import USES
from meshcore.uses.catalogue import STATEMENTS
from meshcore.uses.sentences.passages import use_passage

ORDER = {"form": "roll", "width": "48 in", "length": "100 ft"}


def _uses_page() -> None:
    from meshcore_estimator.uses import page as page_uses  # noqa: PLC0415 - run as a script of its own

    page_uses.page()


@pytest.fixture
def uses_page(monkeypatch: pytest.MonkeyPatch) -> AppTest:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    return shown(AppTest.from_function(_uses_page, default_timeout=60).run())


def said(page: AppTest, container: str) -> str:
    found = page.get_by_key(container)
    html = " ".join(e.value for kind in (found.html, found.markdown) for e in kind)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def test_it_asks_for_what_is_missing(uses_page: AppTest) -> None:
    assert not uses_page.exception
    assert 'Cut size: it is needed. Write it as "6 mm".' in said(uses_page, "by_use_answer")


def test_a_figure_gives_the_librarys_specifications(uses_page: AppTest) -> None:
    uses_page.text_input(key="by_use_screening_cut_size").set_value("6 mm").run()
    assert not uses_page.exception
    found = mc.specify("screening", cut_size="6 mm", form=ORDER, quantity=3, supply_policy=POLICY)
    answer = said(uses_page, "by_use_answer")
    for one in found.offers:
        assert one.name in answer
        assert money(one.price) in answer
    assert STATEMENTS["screening"].caution in answer


def test_words_fill_the_form(uses_page: AppTest) -> None:
    words = "for a vibrating screen, cutting at 6 mm, damp feed"
    uses_page.text_area(key="by_use_words").set_value(words)
    uses_page.button(key="by_use_read").click().run()
    assert not uses_page.exception
    assert uses_page.text_input(key="by_use_screening_cut_size").value == "6 mm"
    assert uses_page.selectbox(key="by_use_screening_feed").value == "damp"


@pytest.mark.parametrize("use", USES)
def test_every_use_has_its_fields_and_its_answer(uses_page: AppTest, use: str) -> None:
    uses_page.selectbox(key="by_use_use").set_value(use).run()
    assert not uses_page.exception
    for one in STATEMENTS[use].figures:
        key = f"by_use_{use}_{one.name}".replace(" ", "_")
        field = uses_page.selectbox if one.kind == "choice" else uses_page.text_input
        if one.needed:
            field(key=key).set_value(one.example)
    uses_page.run()
    assert not uses_page.exception
    assert STATEMENTS[use].caution in said(uses_page, "by_use_cautions")
    assert uses_page.button(key="by_use_take_0").label == "Use this one"


def test_what_is_wrong_is_said_below_its_field(uses_page: AppTest) -> None:
    uses_page.text_input(key="by_use_screening_cut_size").set_value("six").run()
    assert not uses_page.exception
    assert said(uses_page, "said_screening_cut_size")


def test_the_enquirys_cloth_is_judged_for_the_use(uses_page: AppTest) -> None:
    uses_page.selectbox(key="by_use_use").set_value("insects").run()
    uses_page.selectbox(key="by_use_insects_insect").set_value("mosquitoes").run()
    own = said(uses_page, "by_use_own")
    # The demonstration line is 10 mesh: 1.9 mm open, and mosquitoes are kept out to 1.3 mm.
    assert "does not keep it" in own
    assert "56.2 %" in own


def test_use_this_one_is_put_into_the_enquiry(uses_page: AppTest) -> None:
    uses_page.text_input(key="by_use_screening_cut_size").set_value("6 mm").run()
    uses_page.button(key="by_use_take_0").click().run()
    assert not uses_page.exception
    kept = uses_page.session_state["enquiry_kept"]
    order = {"form": "roll", "width": "48 in", "length": "100 ft"}
    best = mc.specify("screening", cut_size="6 mm", form=order, quantity=3, supply_policy=POLICY)
    for name, cell in best.offers[0].cells.items():
        assert kept[f"ask_{name}"] == cell


def test_a_letter_that_names_a_use_leads_there() -> None:
    assert use_passage("Hello,\nit is for a vibrating screen, cutting at 6 mm.\nBest") == (
        "it is for a vibrating screen, cutting at 6 mm", "screening",
    )  # fmt: skip
    assert use_passage("Please quote 10 mesh.") == ("", "")


def test_amounts_of_the_words_that_are_not_used_are_told(uses_page: AppTest) -> None:
    words = "20 rolls for a vibrating screen, cutting at 6 mm, wet, in 316L"
    uses_page.text_area(key="by_use_words").set_value(words)
    uses_page.button(key="by_use_read").click().run()
    assert not uses_page.exception
    assert "20 rolls" in said(uses_page, "said_use_words")
    assert uses_page.selectbox(key="by_use_screening_feed").value == "wet"
    assert uses_page.selectbox(key="by_use_alloy").value == "316L"
    uses_page.text_area(key="by_use_words").set_value("something for next week")
    uses_page.button(key="by_use_read").click().run()
    assert "no use known here" in said(uses_page, "said_use_words")


def test_a_caution_stands_once(uses_page: AppTest) -> None:
    """What holds of every estimate stands at the foot of each page of the app."""
    uses_page.text_input(key="by_use_screening_cut_size").set_value("6 mm").run()
    told = said(uses_page, "by_use_answer")
    assert told.count(STATEMENTS["screening"].caution) == 1
    assert CAUTION not in told


def test_an_alloy_that_rusts_in_the_wet_is_doubted_on_the_page(uses_page: AppTest) -> None:
    uses_page.text_input(key="by_use_screening_cut_size").set_value("6 mm").run()
    uses_page.selectbox(key="by_use_screening_feed").set_value("wet").run()
    assert "304: a damp" in said(uses_page, "by_use_answer")
    uses_page.selectbox(key="by_use_alloy").set_value("carbon steel").run()
    assert "It rusts where this is wet" in said(uses_page, "said_alloy_of_use")


def test_doubts_stand_below_their_figure_and_dashes_have_their_reason(uses_page: AppTest) -> None:
    uses_page.selectbox(key="by_use_use").set_value("ventilation").run()
    uses_page.text_input(key="by_use_ventilation_keep_out").set_value("6 mm").run()
    uses_page.text_input(key="by_use_ventilation_speed").set_value("400 m/s").run()
    assert not uses_page.exception
    assert "Unusual here" in said(uses_page, "said_ventilation_speed")
    answer = said(uses_page, "by_use_answer")
    assert "Pressure drop: none is given where a dash stands" in answer


def test_what_is_said_of_one_offer_alone_is_drawn(uses_page: AppTest) -> None:
    uses_page.selectbox(key="by_use_use").set_value("test sieving").run()
    uses_page.text_input(key="by_use_test_sieving_aperture").set_value("45 µm").run()
    uses_page.selectbox(key="by_use_alloy").set_value("carbon steel").run()
    found = mc.specify("test sieving", aperture="45 µm", alloy="carbon steel", form=ORDER,
                       quantity=3, supply_policy=POLICY)  # fmt: skip
    (only,) = found.offers
    assert any("finest wire" in one.text for one in only.told)
    for one in only.told:
        assert one.text in said(uses_page, "by_use_answer")


def test_the_enquirys_cloth_is_told_of_before_any_figure_is_given(uses_page: AppTest) -> None:
    uses_page.selectbox(key="by_use_use").set_value("insects").run()
    own = said(uses_page, "by_use_own")
    assert "keeps out wasps and larger" in own
    assert "keeps all of it" not in own
    assert STATEMENTS["insects"].caution in own
