"""What cloth must stand goes with its line: to estimate, quotation, register and repeat."""

from __future__ import annotations

import json
from datetime import date
from random import Random
from typing import TYPE_CHECKING

import pandas as pd
import pytest

import meshcore as mc
from meshcore.alloys.comparison.assumptions import FIELD_WORDS
from meshcore.alloys.comparison.conditions import CHOICES, THREE_WAY, Conditions, held
from meshcore.alloys.comparison.service_text import read_service_text, service_text
from meshcore.alloys.comparison.surroundings import ENVIRONMENTS
from meshcore.alloys.comparison.windows import windows
from meshcore.demo import demo_data, demo_price_book
from meshcore.documents.plain_data import from_data, to_data
from meshcore.documents.printing import text
from meshcore.documents.quotation import quotation, to_settle
from meshcore.documents.sheet import quotation_sheet
from meshcore.documents.terms import LANGUAGES
from meshcore.documents.wording import words
from meshcore.register.quotations import file_quotation, mark_quotation, quoted
from meshcore.register.repeating import repeat
from meshcore.register.requoting import quoted_anew

if TYPE_CHECKING:
    from meshcore.register.connecting import Register

DAY = date(2026, 11, 25)
SEA = "sea water; temperature: 25 °C"
ROLL = mc.Roll("48 in", "100 ft")


def enquiry(alloy: str, must_stand: str = "") -> mc.Enquiry:
    return mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy=alloy, form=ROLL,
                      must_stand=must_stand)  # fmt: skip


@pytest.fixture(scope="module")
def estimates() -> mc.EstimateSet:
    lines = [enquiry("304", SEA), enquiry("titanium grade 2", SEA), enquiry("316L", "milk"),
             enquiry("316L", "a warm place"), enquiry("304")]  # fmt: skip
    return mc.estimate_list(lines, demo_price_book())


# The text.


def random_service(dice: Random) -> Conditions:
    said: dict[str, object] = {}
    for field, window in windows().items():
        if dice.random() < 0.3 and field != "water_temperature_c":
            said[field] = round(dice.uniform(max(window.least, 0.02), window.most), 3)
        elif dice.random() < 0.1 and field != "lost_share":
            said[field] = float("nan")
    for field, choices in CHOICES.items():
        if dice.random() < 0.3 and field != "environment":
            said[field] = dice.choice(choices)
    for flag in ("non_magnetic", "food_contact", "weld", "road_tunnel"):
        if dice.random() < 0.2:
            said[flag] = True
    return Conditions(environment=dice.choice(list(ENVIRONMENTS)), **said)  # type: ignore[arg-type]


def test_what_is_written_is_read_back() -> None:
    dice = Random(1313)
    for _ in range(300):
        service = random_service(dice)
        again = read_service_text(service_text(service))
        if isinstance(again, tuple):  # said of what cannot be together, never of the writing
            assert {m.code.partition(".")[0] for m in again} == {"service"}
            assert not {m.code for m in again} & {
                "service.text_not_read", "service.field_unknown", "service.choice_unknown",
                "service.amount_out_of_range",
            }, service_text(service)  # fmt: skip
            continue
        assert service_text(again) == service_text(service)


@pytest.mark.parametrize("part", ["hot", "speed: 3 knots of wind", "load: yes; load: no", "x: 1"])
def test_what_cannot_be_read_is_told_and_is_no_service(part: str) -> None:
    read = read_service_text(f"sea water; {part}")
    assert isinstance(read, tuple)
    assert all(message.text for message in read)


# The estimate.


def test_no_price_hangs_on_it(estimates: mc.EstimateSet) -> None:
    plain = mc.estimate_list([enquiry("304"), enquiry("titanium grade 2")], demo_price_book())
    with_it = mc.estimate_list(
        [enquiry("304", SEA), enquiry("titanium grade 2", SEA)], demo_price_book()
    )
    assert plain.table["price"].tolist() == with_it.table["price"].tolist()
    assert estimates.table["price"].notna().all()


def test_an_alloy_that_does_not_stand_it_is_to_review_and_one_that_does_says_on_what(
    estimates: mc.EstimateSet,
) -> None:
    assert estimates.table["status"].tolist() == ["review", "ok", "ok", "review", "ok"]
    said = [
        {m.code: str(m) for m in estimates.messages.get(row, ()) if m.field == "must_stand"}
        for row in range(5)
    ]
    assert "304 does not stand it" in said[0]["service.alloy_does_not_meet"]
    meets = said[1]["service.alloy_meets"]
    assert "titanium grade 2 meets it" in meets
    assert "no promise" in meets
    service = read_service_text(SEA)
    assert isinstance(service, Conditions)
    for one in held(service)[1]:
        assert FIELD_WORDS[one.field][0] in meets
    assert list(said[3]) == ["service.not_judged"]
    assert said[4] == {}


def test_a_list_reads_its_column_and_leaves_it_as_it_was() -> None:
    table = pd.DataFrame({"mesh_count": ["10 / in"] * 2, "wire_diameter": ["0.025 in"] * 2,
                          "alloy": ["304"] * 2, "form": ["roll"] * 2, "width": ["48 in"] * 2,
                          "length": ["100 ft"] * 2, "quantity": ["1"] * 2,
                          "must_stand": [SEA, None]})  # fmt: skip
    priced = mc.estimate_table(table, demo_price_book())
    assert priced["must_stand"].iloc[0] == SEA
    assert priced["status"].tolist() == ["review", "ok"]
    without = mc.estimate_table(table.drop(columns="must_stand"), demo_price_book())
    assert priced["price"].tolist() == without["price"].tolist()


# The quotation.


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_quotation_tells_service_assumptions_questions_papers_and_caution(
    estimates: mc.EstimateSet, language: str
) -> None:
    facts = quotation(estimates, to="Bakery by the Weir", language=language, day=DAY)
    sea, milk, unread = facts.stands
    assert (sea.labels, milk.labels, unread.labels) == (("1", "2"), ("3",), ("4",))
    assert not unread.is_read
    assert [(p.name, p.labels) for p in facts.papers] == [("food contact", ("3",))]
    printed = " ".join(text(quotation_sheet(facts)).split())
    say = words(language)
    assert say.say("sections", "service") in printed
    assert say.quoted(SEA) in printed
    assert say.say("texts", "service_unread") in printed
    assert say.say("texts", "service_caution") in printed
    for one in (sea, milk):
        assert len(one.assumed) > 5
        for field, value, _ in one.assumed:
            told = (
                say.among("service_values", value) if isinstance(value, str)
                else say.number(float(value), 2, trim=True)
            )  # fmt: skip
            assert f"{say.held['service'][field]} {told}" in printed


def test_every_field_has_its_word_in_every_language() -> None:
    for language in LANGUAGES:
        assert set(words(language).held["service"]) == set(FIELD_WORDS)


def test_what_nobody_knows_is_asked(estimates: mc.EstimateSet) -> None:
    acid = mc.estimate_list([enquiry("alloy 20", "sulphuric acid; concentration: 20 %")],
                            demo_price_book(), estimates.policy)  # fmt: skip
    facts = quotation(acid, day=DAY)
    assert {"temperature_c", "oxidisers"} <= set(facts.stands[0].unknown)
    assert "please tell us: temperature" in " ".join(text(quotation_sheet(facts)).split())


def test_whoever_quotes_is_told_before_it_is_sent(estimates: mc.EstimateSet) -> None:
    open_points = to_settle(estimates, quotation(estimates, day=DAY))
    assert any(one.label == "1" and "304 does not stand it" in one.text for one in open_points)


# The register.


def test_it_is_filed_and_repeated(register: Register, estimates: mc.EstimateSet) -> None:
    facts = quotation(estimates, demo_data() / "terms.toml", to="Bakery by the Weir", day=DAY)
    assert from_data(json.loads(json.dumps(to_data(facts)))) == facts
    sent = mark_quotation(register, file_quotation(register, facts, estimates), "sent")
    assert quoted(sent).stands == facts.stands
    again = quoted_anew(repeat(register, sent.number, demo_price_book()))
    assert [one.text for one in again.stands] == [one.text for one in facts.stands]
    assert again.papers == facts.papers


def test_what_was_filed_before_has_none(estimates: mc.EstimateSet) -> None:
    data = json.loads(json.dumps(to_data(quotation(estimates, day=DAY))))
    del data["stands"]
    assert from_data(data).stands == ()


def test_a_comparison_gives_the_text_that_carries_its_service() -> None:
    service = Conditions(environment="sea water", temperature_c=25.0)
    table = mc.compare_alloys(enquiry("304"), service, ["304", "316L"])
    assert table.attrs["must_stand"] == SEA
    assert set(THREE_WAY).isdisjoint(SEA.split())
