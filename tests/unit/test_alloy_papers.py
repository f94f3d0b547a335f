"""What is to be asked and which paper proves it: by the service, and by a buyer's words."""

from __future__ import annotations

import pytest

import meshcore as mc
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.papers import papers_for
from meshcore.estimates.alloy_comparison_text import comparison_text


def names(service: Conditions, text: str = "") -> list[str]:
    return [paper.name for paper in papers_for(service, text)]


@pytest.mark.parametrize(
    ("service", "name"),
    [
        (Conditions(food_contact=True), "food contact"),
        (Conditions(environment="milk"), "food contact"),
        (Conditions(drinking_water=True), "drinking water"),
        (Conditions(environment="sour brine"), "sour service"),
        (Conditions(environment="process water", h2s="yes"), "sour service"),
    ],
)
def test_a_service_calls_for_its_papers(service: Conditions, name: str) -> None:
    assert names(service) == [name]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("sieve for the dairy", "food contact"), ("Trinkwasser", "drinking water"),
        ("to NACE MR0175", "sour service"), ("PED cat. II", "pressure equipment"),
        ("ATEX zone 1", "explosive atmospheres"), ("RoHS and REACH", "restricted substances"),
        ("CMRT please", "conflict minerals"), ("RCC-M class 2", "nuclear"),
        ("with 3.1 cert", "inspection certificate"), ("EN 10204", "inspection certificate"),
    ],
)  # fmt: skip
def test_words_call_for_their_papers(text: str, name: str) -> None:
    assert names(Conditions(), text) == [name]


def test_ordinary_words_call_for_none() -> None:
    assert (
        names(Conditions(environment="coastal"), "3 rolls of 304, 3.15 mm opening, reached") == []
    )


def test_no_line_claims_that_anything_conforms() -> None:
    every = papers_for(Conditions(food_contact=True, drinking_water=True, h2s="yes"),
                       "ped atex rohs 3tg nuclear 10204")  # fmt: skip
    assert len(every) == 9
    for paper in every:
        text = str(paper).casefold()
        assert paper.question.endswith("?")
        assert "from memory" in text or "decides" in text
        assert not any(word in text for word in ("conforms", "complies", "compliant", "approved"))


def test_they_stand_in_the_result_and_in_print() -> None:
    mesh = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", form=mc.Roll("48 in"))
    table = mc.compare_alloys(mesh, Conditions(environment="drinking water"), alloys=["316L"])
    [paper] = table.attrs["papers"]
    assert paper.startswith("drinking water: ")
    assert paper in comparison_text(table)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("beverage filter, NSF 61", "drinking water"),
        ("pharmaceutical sifter USP", "pharmaceutical"),
        ("baby formula powder", "food contact"),
        ("boiler ASME VIII", "pressure equipment"),
        ("DFARS specialty metals", "origin of specialty metals"),
        ("cadmium-free lead-free", "restricted substances"),
        ("oxygen service degreased", "oxygen service"),
        ("flour mill dust explosion vent", "explosive atmospheres"),
    ],
)
def test_words_of_more_industries_call_for_their_paper(words: str, name: str) -> None:
    assert name in [paper.name for paper in papers_for(Conditions(), words)]


def test_what_the_words_deny_calls_for_nothing() -> None:
    assert papers_for(Conditions(), "Not for food") == ()
    assert papers_for(Conditions(), "not for drinking water") == ()
