"""What a quotation tells as open, not in the price, to be confirmed, or to be careful about."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest
from quotation_fixtures import quoted_line

import meshcore as mc
from meshcore.documents.printing import text
from meshcore.documents.quotation import quotation, to_settle
from meshcore.documents.sheet import quotation_sheet
from meshcore.documents.terms import LANGUAGES, Terms
from meshcore.documents.uses import uses_of
from meshcore.documents.wording import words


def test_what_cannot_be_woven_is_open_with_an_offer_beside(terms: Terms) -> None:
    enquiry = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.08 in", alloy="304",
                         form=mc.Roll("48 in", "100 ft"))  # fmt: skip
    facts = quotation(mc.estimate(enquiry), terms, number="1", alternatives=2)
    assert facts.lines == ()
    assert facts.net_minor == 0
    assert [line.role for line in facts.offers] == ["instead"] * len(facts.offers)
    assert facts.offers
    told = text(quotation_sheet(facts))
    assert "Offered instead of what was asked: 10 / in · 0.08 in" in told
    assert "Still open" in told


@pytest.mark.parametrize(
    ("language", "asked"),
    [
        ("en", "What are H₂S partial pressure, chloride, pH and temperature?"),
        ("de", "Wie hoch sind Partialdruck von H₂S"),
        ("fr", "Quels sont la pression partielle de H₂S"),
        ("es", "¿Cuáles son la presión parcial de H₂S"),
    ],
)
def test_what_the_words_of_a_line_call_for_in_papers(
    terms: Terms, language: str, asked: str
) -> None:
    line = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
            "width": "48 in", "length": "100 ft", "quantity": "2"}  # fmt: skip
    notes = ["for sour service", "", "NACE MR0175, 3.1 certificate"]
    table = pd.DataFrame([{"line": str(n + 1), **line, "note": note}
                          for n, note in enumerate(notes)])  # fmt: skip
    facts = quotation(mc.estimate_list(table), terms, number="1", language=language)
    assert [(p.name, p.labels) for p in facts.papers] == [
        ("sour service", ("1", "3")), ("inspection certificate", ("3",)),
    ]  # fmt: skip
    # The type is written: it is not asked for again.
    assert [bool(p.question) for p in facts.papers] == [True, False]
    told = " ".join(text(quotation_sheet(facts)).split())
    assert asked in told
    assert "EN 10204" in told
    say = words(language)
    assert say.say("sections", "papers") in told
    assert " ".join(say.say("texts", "papers").split()) in told, "it claims nothing"


def test_a_line_that_speaks_of_no_industry_calls_for_no_paper(terms: Terms) -> None:
    table = pd.DataFrame([{"mesh_count": "10 / in", "wire_diameter": "2.1 mm", "alloy": "304",
                           "form": "roll", "width": "48 in", "length": "100 ft"}])  # fmt: skip
    assert quotation(mc.estimate_list(table), terms, number="1").papers == ()


@pytest.mark.parametrize(
    ("cells", "included", "left_out"),
    [
        ({"services": "certificate"}, ("certificate",), ()),
        ({"services": "passivated, certificate"}, ("certificate",), ("passivated",)),
        # It is charged by metres of cut, of which a roll has none: not "with a welded seam".
        ({"services": "weld seam"}, (), ("weld seam",)),
        ({"services": "3.2 certificate"}, (), ("3.2 certificate",)),
        ({"note": "test report with delivery please"}, (), ("test report with delivery please",)),
    ],
)
def test_what_is_asked_for_and_not_in_the_price_is_said(
    terms: Terms, cells: dict[str, str], included: tuple[str, ...], left_out: tuple[str, ...]
) -> None:
    facts = quoted_line(terms, cells)
    assert facts.lines[0].services == included
    assert facts.lines[0].not_included == left_out
    told = " ".join(text(quotation_sheet(facts)).split())
    for name in left_out:
        shown = words("en").held["services"].get(name, f"“{name}”")
        assert f"Not in the price, to be agreed: {shown}" in told
    assert ("The prices of lines with open points" in told) == bool(left_out)


def test_a_service_that_no_rule_charges_is_not_said_to_be_in_the_price(terms: Terms) -> None:
    book = replace(mc.default_price_book(), rules_disabled=("services", "tax"))
    facts = quoted_line(terms, {"services": "certificate"}, book)
    assert facts.lines[0].services == ()
    assert facts.lines[0].not_included == ("certificate",)


def test_what_is_in_doubt_is_marked_until_it_is_confirmed(terms: Terms) -> None:
    line = {"mesh_count": "2 / in", "wire_diameter": "0.12 in", "alloy": "carbon steel",
            "form": "roll", "width": "48 in", "length": "100 ft", "quantity": "2",
            "weave": "pre-crimped"}  # fmt: skip
    estimates = mc.estimate_list(pd.DataFrame([line]))
    facts = quotation(estimates, terms, number="1", language="de")
    told = " ".join(text(quotation_sheet(facts)).split())
    assert "Noch zu bestätigen: Webart „pre-crimped“" in told
    open_ = to_settle(estimates, facts)
    assert [one.label for one in open_ if one.can_confirm] == ["1"]
    settled = quotation(estimates, terms, number="1", confirmed=("1",))
    assert settled.lines[0].to_confirm == ()
    assert not [one for one in to_settle(estimates, settled) if one.can_confirm]
    assert settled.net_minor == facts.net_minor


def test_the_buyers_own_number_and_date_stand_with_each_line(terms: Terms) -> None:
    facts = quoted_line(terms, {"Customer ref": "E-2207/1", "Wanted by": "wk 50"})
    told = " ".join(text(quotation_sheet(facts)).split())
    assert "Your number: E-2207/1 · Wanted by: wk 50, sooner than our lead time" in told
    # Friday of week 50 is 11 December, and 35 days from 25 November end on the 30th.
    assert facts.lines[0].late
    later = quoted_line(terms, {"Wanted by": "wk 3"})
    assert not later.lines[0].late
    assert "Wanted by: wk 3" in text(quotation_sheet(later))


@pytest.mark.parametrize(
    ("note", "named"),
    [
        ("machine guard over a rotating shaft", {"guard"}),
        ("walkway for people; lifted by crane; dust explosion vent",
         {"walkway", "lifting", "explosion"}),
        ("fall protection net", {"fall"}),
        ("Behälter unter Überdruck", {"pressure"}),
        ("for Vanguard House", set()),
    ],
)  # fmt: skip
def test_a_use_in_which_cloth_can_hurt_someone_is_cautioned_by_line(
    terms: Terms, note: str, named: set[str]
) -> None:
    cloth = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                       form=mc.Roll("48 in", "100 ft"), note=note)  # fmt: skip
    facts = quotation(mc.estimate(cloth), terms, number="Q1")
    assert set(uses_of(facts.lines)) == named
    for language in LANGUAGES:
        say = words(language)
        told = quotation_sheet(replace(facts, language=language)).sections[-1].texts
        for name in named:
            assert any(say.say("uses", name) in one for one in told)
        assert len(told) == len(named) + 1


def test_a_part_number_beside_an_item_is_printed_and_a_wish_is_told_once(terms: Terms) -> None:
    row = {"Item": "1", "Part no": "PN-1", "Mesh": "10 / in", "Wire dia": "0.025 in",
           "Grade": "304", "form": "roll", "width": "48 in", "length": "100 ft", "Qty": "3",
           "Wanted by": "asap"}  # fmt: skip
    facts = quotation(mc.estimate_list(pd.DataFrame([row])), terms, number="Q1")
    told = text(quotation_sheet(facts))
    assert "Your number: PN-1" in told
    assert told.count("asap") == 1


def test_of_two_lines_of_one_name_whoever_quotes_is_told(terms: Terms) -> None:
    row = {"line": "1", "mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304",
           "form": "roll", "width": "48 in", "length": "100 ft", "quantity": "3"}  # fmt: skip
    estimates = mc.estimate_list(pd.DataFrame([row, row]))
    told = [one for one in to_settle(estimates, quotation(estimates, terms)) if one.label == "1-2"]
    assert [one.text for one in told] == ['another line is called "1" too; here it is "1-2".']


@pytest.mark.parametrize(
    ("language", "said"),
    [("en", "Lines 1, 2, "), ("de", "Positionen 1, 2, "), ("fr", "Lignes 1, 2, "),
     ("es", "Líneas 1, 2, ")],
)  # fmt: skip
def test_several_lines_are_spoken_of_as_several(terms: Terms, language: str, said: str) -> None:
    line = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
            "width": "48 in", "length": "100 ft", "quantity": "2",
            "note": "machine guard, 3.1 certificate"}  # fmt: skip
    table = pd.DataFrame([line | {"line": n} for n in ("1", "2")])
    facts = quotation(mc.estimate_list(table), terms, number="1", language=language)
    told = [text for one in quotation_sheet(facts).sections for text in one.texts]
    assert sum(one.startswith(said[:-2]) for one in told) >= 2
