"""The mill's terms: read, refused where they are wrong, and printed in four languages."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from quotation_fixtures import made

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.documents.plain_data import from_data, to_data
from meshcore.documents.printing import text
from meshcore.documents.quotation import quotation, quoted_lead_times
from meshcore.documents.sheet import quotation_sheet
from meshcore.documents.terms import LANGUAGES, TEXTS, Terms, TermsError, parse_terms, read_terms
from meshcore.documents.wording import words
from meshcore.estimates.lead_time import parse_lead_time


def test_every_language_has_every_word() -> None:
    held = {name: words(name).held for name in LANGUAGES}
    sections = {name: set(section) for name, section in held["en"].items() if name != "alloys"}
    for language, own in held.items():
        for name, entries in sections.items():
            assert set(own[name]) == entries, (language, name)
        for name, section in own.items():
            for key, entry in section.items():
                if isinstance(entry, str) and name not in ("alloys", "numbers"):
                    mine = set(re.findall(r"{(\w+)}", entry))
                    other = set(re.findall(r"{(\w+)}", str(held["en"][name][key])))
                    assert mine == other, (language, name, key)


def test_terms_say_all_that_is_wrong_at_once(tmp_path: Path) -> None:
    with pytest.raises(TermsError) as told:
        parse_terms(
            {"paper": "foolscap", "tax": [{"rate_pct": -1}], "text": {"payments": "x"},
             "mill": {"lines": "one"}, "validity_days": 1.5, "export": "yes"}, "t.toml",
        )  # fmt: skip
    for name in ("paper", "rate_pct: read", "tax.name", "text.payments", "lines",
                 "validity_days", "export"):  # fmt: skip
        assert name in str(told.value)
    with pytest.raises(TermsError, match="cannot be opened"):
        read_terms(tmp_path / "none.toml")
    (tmp_path / "bad.toml").write_text("= 1")
    with pytest.raises(TermsError, match="not a TOML file"):
        read_terms(tmp_path / "bad.toml")


@pytest.mark.parametrize(
    ("held", "said"),
    [
        ({"languge": "de"}, "languge: is no entry of the terms.*Perhaps language"),
        ({"taxes": [{"name": "VAT", "rate_pct": 20.0}]}, "taxes: is no entry.*Perhaps tax"),
        ({"tax": [{"name": "VAT", "rate": 20.0}]}, "Perhaps tax.rate_pct.*rate_pct: is missing"),
        ({"tax": [{"rate_pct": 20.0}]}, "has no name in en"),
        ({"tax": [{"name": {"de": "MwSt."}, "rate_pct": 20.0}]}, "has no name in en"),
        ({"packing": {"kg_per_pack": 6.0}}, "Perhaps packing.kg_per_package"),
        ({"mill": {"nam": "x"}}, "mill.nam: is no entry.*Perhaps mill.name"),
    ],
)
def test_an_entry_of_the_terms_that_is_spelt_wrong_is_not_lost(
    held: dict[str, Any], said: str
) -> None:
    with pytest.raises(TermsError, match=said):
        parse_terms(held, "t.toml")


def test_a_tax_has_a_name_in_the_language_of_the_document(estimates: mc.EstimateSet) -> None:
    named = parse_terms({"tax": [{"name": {"en": "VAT"}, "rate_pct": 20.0}]}, "t.toml")
    # English stands in where a language has no word of its own.
    assert quotation(estimates, named, language="fr").tax_minor
    german = {"language": "de", "tax": [{"name": {"de": "MwSt."}, "rate_pct": 19.0}]}
    with pytest.raises(TermsError, match="has no name in es"):
        quotation(estimates, parse_terms(german, "t.toml"), language="es")


def test_every_text_of_the_terms_is_printed(estimates: mc.EstimateSet) -> None:
    texts = {name: {"": f"own {name} text"} for name in (*TEXTS, "excluded", "standard")}
    own = replace(read_terms(demo_data() / "terms.toml"), texts=texts)
    told = " ".join(text(quotation_sheet(made(estimates, own))).split())
    for name in texts:
        assert f"own {name} text" in told


def test_a_tax_in_the_price_is_not_added_again(terms: Terms) -> None:
    book = mc.default_price_book()
    taxed = replace(book, rules_disabled=())
    e = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                               form=mc.Roll("48 in", "100 ft")), taxed)  # fmt: skip
    facts = quotation(e, terms, number="1")
    has_tax = any(item.rule == "tax" for item in e.estimates.ledger.items)
    assert facts.taxes_in == has_tax
    assert facts.total_minor == facts.net_minor + sum(facts.tax_minor)
    assert (facts.tax_minor == ()) == has_tax


LEAD = {"looms": 2, "hours_per_day": 8, "queue_days": 5, "wire_days": 15, "despatch_days": 1,
        "wire_on_hand": ["304"], "services": {}, "note": "invented"}  # fmt: skip


def test_the_day_it_could_leave_stands_with_the_lead_time_and_what_decides_it_nowhere(
    terms: Terms,
) -> None:
    roll = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="316L",
                      form=mc.Roll("48 in", "100 ft"))  # fmt: skip
    priced, data = mc.estimate_list([roll]), parse_lead_time(LEAD, "lead.toml")
    facts = made(priced, terms, lead_time=data)
    # Wednesday: 15 working days for the wire, 3.5 h of a loom, 1 day; begun days whole.
    assert facts.ready == date(2026, 12, 18)
    assert from_data(to_data(facts)) == facts
    assert [one.decided_by for one in quoted_lead_times(priced, data, facts.day)] == [
        "wire of 316L, to be bought"
    ]
    for language in LANGUAGES:
        told = text(quotation_sheet(replace(facts, language=language)))
        assert "2026-12-18" in told or "18" in told
        assert not re.search(r"bought|queue|loom", told)
    assert "it could leave on 18 December 2026: a date by today's loading, not a promise" in (
        " ".join(text(quotation_sheet(facts)).split())
    )
    assert "not a promise" not in text(quotation_sheet(made(priced, terms)))
