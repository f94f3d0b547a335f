"""A quotation: what it holds of each line, and what it comes to."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pandas as pd
from quotation_fixtures import made

import meshcore as mc
from meshcore.documents.plain_data import from_data, to_data
from meshcore.documents.printing import text
from meshcore.documents.quotation import quotation
from meshcore.documents.sheet import quotation_sheet
from meshcore.documents.terms import LANGUAGES, Terms


def test_amounts_are_the_estimates_to_the_cent(estimates: mc.EstimateSet, terms: Terms) -> None:
    facts = made(estimates, terms)
    good = ~estimates.log.refused()
    assert [line.amount_minor for line in facts.lines] == estimates.ledger.price_minor[good].astype(
        int
    ).tolist()
    assert len(facts.lines) + len(facts.unpriced) == len(estimates)
    assert facts.tax_minor == (round(facts.net_minor * 0.2),)
    assert facts.valid_until == date(2026, 12, 25)


def test_sizes_stand_in_the_buyers_units_with_the_other_beside(terms: Terms) -> None:
    def line(**sizes: str) -> str:
        table = pd.DataFrame([{"alloy": "316L", "form": "roll", "quantity": 2} | sizes])
        return text(quotation_sheet(quotation(mc.estimate_list(table), terms, number="1")))

    inches = line(mesh_count="10 / in", wire_diameter="0.025 in", width="48 in", length="100 ft")
    assert "10 mesh per inch (3.937 per cm), wire 0.025 in (0.635 mm)" in inches
    assert "Roll 48 in (1,219.2 mm) × 100 ft (30.48 m)" in inches
    metric = line(mesh_count="4 / cm", wire_diameter="0.63 mm", width="1200 mm", length="30 m")
    assert "4 mesh per cm (10.16 per inch), wire 0.63 mm (0.0248 in)" in metric
    # A cloth counted by the inch stays so, whatever the width is written in.
    mixed = line(mesh_count="10 / in", wire_diameter="0.635 mm", width="1200 mm", length="30 m")
    assert "10 mesh per inch (3.937 per cm), wire 0.635 mm" in mixed
    assert "Roll 1,200 mm (47.24 in) × 30 m (98.43 ft)" in metric
    assert "UNS S31603, EN 1.4404" in " ".join(metric.split())


def test_pieces_stand_as_typed_with_the_box_in_the_other_unit(terms: Terms) -> None:
    """And no tolerance is told where the mill states none; EN is not said twice."""
    enquiry = mc.Enquiry(mesh_count="4 / in", wire_diameter="0.047 in", alloy="aluminium 5056",
                         form=mc.Piece(width="1200 mm", height="900 mm"), quantity=6)  # fmt: skip
    told = " ".join(
        text(quotation_sheet(quotation(mc.estimate(enquiry), terms, number="1"))).split()
    )
    assert "width 1200 mm, height 900 mm; 47.24 in × 35.43 in over all" in told
    assert "Aluminium 5056, 4 mesh per inch" in told
    assert "EN EN" not in told
    assert "−0 / +0" not in told
    # Nothing is exact: where the mill states no tolerance, that is said.
    assert "Delivery tolerances: to be agreed" in told


def test_breaks_are_what_each_quantity_costs_as_an_order_of_its_own(terms: Terms) -> None:
    enquiry = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                         form=mc.Roll("48 in", "100 ft"), quantity=3)  # fmt: skip
    facts = quotation(mc.estimate(enquiry), terms, number="1", breaks=(3, 5, 10))
    [line] = facts.lines
    for one in line.breaks:
        alone = mc.estimate(replace(enquiry, quantity=one.quantity))
        assert one.unit_minor == round(float(alone.row["unit_price"]) * 100)
    # What the line itself says is not said again; with others in the order it says another price.
    assert [one.quantity for one in line.breaks] == [5, 10]
    both = mc.estimate_list([enquiry, replace(enquiry, alloy="316L")])
    [first, _] = quotation(both, terms, number="1", breaks=(3, 10)).lines
    by_itself = [(3, line.unit_minor), (10, line.breaks[1].unit_minor)]
    assert [(one.quantity, one.unit_minor) for one in first.breaks] == by_itself
    assert first.unit_minor < line.unit_minor


def test_lines_of_one_name_are_told_apart(terms: Terms) -> None:
    table = pd.DataFrame([{"line": "1", "mesh_count": "10 / in", "wire_diameter": "0.025 in",
                           "alloy": "304", "form": "roll", "width": "48 in", "length": "100 ft",
                           "quantity": n} for n in (1, 2, 3)])  # fmt: skip
    facts = quotation(mc.estimate_list(table), terms, number="1")
    assert [line.label for line in facts.lines] == ["1", "1-2", "1-3"]


def test_facts_come_back_from_plain_data(estimates: mc.EstimateSet, terms: Terms) -> None:
    import json  # noqa: PLC0415

    facts = made(estimates, terms, "de", breaks=(5,))
    assert from_data(json.loads(json.dumps(to_data(facts)))) == facts


def test_shapes_and_their_sizes_stand_in_the_language_of_the_document(terms: Terms) -> None:
    disc = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                      form=mc.Piece("disc: diameter 200 mm"), quantity=25)  # fmt: skip
    facts = quotation(mc.estimate(disc), terms, number="Q1")
    told = {
        language: text(quotation_sheet(replace(facts, language=language))) for language in LANGUAGES
    }
    assert "diameter 200 mm" in told["en"]
    for language, said in (("de", "Durchmesser 200 mm"), ("fr", "diamètre 200 mm"),
                           ("es", "diámetro 200 mm")):  # fmt: skip
        assert said in told[language]
        assert "disc diameter" not in told[language]
