"""A quotation: what it holds, what it never holds, and the PDF as a reader of PDFs finds it."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pandas as pd
import pypdf
import pypdfium2
import pytest
from printed import read_back

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.documents.facts import Party, Quotation
from meshcore.documents.labels import code_svg
from meshcore.documents.plain_data import from_data, to_data
from meshcore.documents.printing import lines_csv, missing_text, pdf, text
from meshcore.documents.quotation import quotation, quoted_lead_times, to_settle
from meshcore.documents.sheet import Sheet, quotation_sheet
from meshcore.documents.terms import LANGUAGES, TEXTS, Terms, TermsError, parse_terms, read_terms
from meshcore.documents.typesetting import typeset
from meshcore.documents.uses import uses_of
from meshcore.documents.wording import words
from meshcore.documents.workbook import workbook
from meshcore.estimates.lead_time import parse_lead_time

#: Words of costing in any of the languages; none may stand in what leaves for a customer.
INNER = re.compile(
    r"\b(cost|costs|margin|overhead|surcharge|markup|profit|rate|kosten|marge|gemeinkosten|"
    r"zuschlag|gewinn|co[uû]ts?|co[uû]t|b[ée]n[ée]fice|costes?|margen|beneficio)\b",
    re.IGNORECASE,
)


@pytest.fixture(scope="module")
def terms() -> Terms:
    return read_terms(demo_data() / "terms.toml")


@pytest.fixture(scope="module")
def estimates() -> mc.EstimateSet:
    table = mc.read_list(demo_data() / "enquiries.csv").head(60)
    return mc.estimate_list(
        table, supply_policy=mc.read_supply_policy(demo_data() / "supply_policy.toml")
    )


def made(
    estimates: mc.EstimateSet, terms: Terms, language: str = "en", **more: object
) -> Quotation:
    given: dict[str, object] = {
        "to": ["Corrie Top Observatory", "The Dome"], "reference": "CTO/2026/51",
        "number": "Q2026-000017", "day": date(2026, 11, 25), "language": language,
    }  # fmt: skip
    return quotation(estimates, terms, **given | more)  # type: ignore[arg-type]


def test_amounts_are_the_estimates_to_the_cent(estimates: mc.EstimateSet, terms: Terms) -> None:
    facts = made(estimates, terms)
    good = ~estimates.log.refused()
    assert [line.amount_minor for line in facts.lines] == estimates.ledger.price_minor[good].astype(
        int
    ).tolist()
    assert len(facts.lines) + len(facts.unpriced) == len(estimates)
    assert facts.tax_minor == (round(facts.net_minor * 0.2),)
    assert facts.valid_until == date(2026, 12, 25)


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_cost_rate_or_margin_leaves(
    estimates: mc.EstimateSet, terms: Terms, language: str
) -> None:
    sheet = quotation_sheet(made(estimates, terms, language, breaks=(5, 50)))
    content = pdf(sheet).content
    _, printed = read_back(content)
    cells = _cells(workbook(sheet))
    asked = {str(cell) for cell in estimates.enquiries.to_numpy().ravel()}
    for told in (text(sheet), printed, " ".join(cells), lines_csv(sheet)):
        own = told
        for typed in sorted(asked, key=len, reverse=True):
            own = own.replace(typed, "") if len(typed) > 20 else own
        assert not INNER.search(own), INNER.search(own)
    # No item's amount stands there, but for one that is a price by chance.
    prices = {f"{p:.2f}" for p in (*estimates.table["price"], *estimates.table["unit_price"])}
    items = {f"{a:.2f}" for a in estimates.cost_items()["amount"] if a > 1000} - prices
    plain = words("en")
    if language == "en":
        shown = set(re.findall(r"[\d,]+\.\d\d", text(sheet)))
        assert not {plain.number(float(a), 2) for a in items} & shown


def _cells(content: bytes) -> list[str]:
    book = openpyxl.load_workbook(io.BytesIO(content))
    return [str(c.value) for row in book.worksheets[0].iter_rows() for c in row if c.value]


def test_its_facts_hold_no_cost_at_all(estimates: mc.EstimateSet, terms: Terms) -> None:
    names = re.findall(r'"(\w+)":', pd.Series([to_data(made(estimates, terms))]).to_json())
    assert not [name for name in names if re.search("cost|margin|rate(?!_pct)", name)]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("count", [1, 6, 60])
def test_the_pdf_as_a_reader_finds_it(
    estimates: mc.EstimateSet, terms: Terms, language: str, count: int
) -> None:
    facts = made(estimates, terms, language)
    facts = replace(facts, lines=facts.lines[:count], offers=(), unpriced=(), questions=())
    if count == 60:
        facts = replace(facts, lines=(facts.lines * 3)[:60])
    say = words(language)
    for paper in ("a4", "us-letter"):
        sheet = quotation_sheet(replace(facts, terms=replace(terms, paper=paper)))
        reader, printed = read_back(pdf(sheet).content)
        assert "Q2026-000017" in printed
        assert say.money(facts.total_minor, 2, "EUR") in printed.replace("\xa0", " ")
        for row in sheet.rows:
            assert row.amount in printed
        width = float(reader.pages[0].mediabox.width)
        assert width == pytest.approx(595.28 if paper == "a4" else 612.0, abs=0.1)
        # One page for up to six lines; more are numbered, with the table's head on each.
        if count <= 6:
            assert len(reader.pages) == 1
        else:
            tables = [p.extract_text() for p in reader.pages[:-1]]
            assert all(sheet.columns[1] in page for page in tables)
            assert sheet.page.replace("{n}", "2").replace("{all}", str(len(reader.pages))) in (
                printed.replace("\n", " ")
            )
        _is_archival(reader, language)
        attached = reader.attachments["lines.csv"][0].decode("utf-8")
        assert attached == lines_csv(sheet)
        rows = list(csv.DictReader(io.StringIO(attached)))
        assert [row["amount"] for row in rows] == [
            f"{line.amount_minor / 100:.2f}" for line in facts.lines
        ]


def _is_archival(reader: pypdf.PdfReader, language: str) -> None:
    """Tags, language, title shown, and the marks of PDF/A-3a and PDF/UA-1 in its metadata."""
    root: Any = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/StructTreeRoot"]["/K"]
    assert root["/Lang"] == language
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    metadata = root["/Metadata"].get_data().decode("utf-8")
    assert re.search(r"pdfaid:part>3<", metadata)
    assert re.search(r"pdfaid:conformance>A<", metadata)
    assert re.search(r"pdfuaid:part>1<", metadata)
    assert root["/OutputIntents"]
    assert root["/AF"][0].get_object()["/AFRelationship"] == "/Data"
    pages: Any = reader.pages
    for page in pages:
        for font in page["/Resources"]["/Font"].values():
            for inner in font.get_object().get("/DescendantFonts", [font]):
                described = inner.get_object().get("/FontDescriptor", {})
                assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(described.keys())


HOSTILE = [
    "#panic(\"run\")", "#import \"/etc/passwd\"", "$x^2$ *bold* _it_ `raw` <label> @ref",
    "= Heading", "\\u{41} \\ #{1+1}", "]] #[ ( { \"", "//comment /* block */", "~ --- ... 'quotes'",
    "=HYPERLINK(\"http://x.example\")", "+1+1", "@SUM(A1)", "-2+3", "{n} {all} {line} {name}",
    "<script>alert(1)</script>", "%s %n {0}", "a\x00b\x07c\x1b[31m", "\u202eright to left",
]  # fmt: skip


@pytest.mark.parametrize("hostile", HOSTILE)
def test_what_others_typed_is_never_run(terms: Terms, hostile: str) -> None:
    table = pd.DataFrame(
        [{"line": hostile, "mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304",
          "form": "roll", "width": "48 in", "length": "100 ft", "quantity": 1, "note": hostile},
         {"line": "2", "mesh_count": "10 / in", "alloy": hostile, "form": "roll", "note": hostile}]
    )  # fmt: skip
    facts = quotation(
        mc.estimate_list(table), replace(terms, mill=hostile), to=[hostile, "x"],
        person=hostile, reference=hostile, number=hostile.replace("\x00", ""),
    )  # fmt: skip
    sheet = quotation_sheet(facts)
    _, printed = read_back(pdf(sheet).content)
    shown = "".join(s for s in hostile if s.isprintable() and not s.isspace())[:14]
    assert shown in "".join(printed.split())
    for cell in openpyxl.load_workbook(io.BytesIO(workbook(sheet))).worksheets[0]["A"]:
        assert cell.data_type != "f"
    for row in csv.reader(io.StringIO(lines_csv(sheet))):
        assert not any(cell.startswith(("=", "+", "@")) for cell in row)


def test_a_sign_that_no_font_shows_stands_as_its_code_and_is_told() -> None:
    data = {"sheet": "single", "language": "en", "title": "Labels R1", "code": "Code", "labels": [
        {"number": "R1", "lines": ["織物 Παπαδόπουλος Ткань"], "mill": "M", "cloth": 0,
         "code": code_svg("R1")}]}  # fmt: skip
    printed = typeset("labels.typ", data, system_fonts=False)
    assert set(printed.missing) == set("織物")
    _, shown = read_back(printed.content)
    assert "[U+7E54]" in shown
    assert "Παπαδόπουλος" in shown
    assert "Ткань" in shown
    assert "[U+7E54]" in missing_text(printed.missing)


def test_a_sign_is_shown_where_the_machine_has_a_font_for_it(terms: Terms) -> None:
    e = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                               form=mc.Roll("48 in", "100 ft")))  # fmt: skip
    facts = quotation(e, terms, to="織物 \N{FACTORY}", number="Q1")
    printed = pdf(quotation_sheet(facts))
    reader, shown = read_back(printed.content)
    for sign in "織物\N{FACTORY}":
        assert (f"[U+{ord(sign):04X}]" in shown) == (sign in printed.missing)
        assert (sign in shown) != (sign in printed.missing)
    _is_archival(reader, "en")


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
    assert [one.quantity for one in line.breaks] == [5, 10]


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


def test_a_drawing_where_the_terms_want_one(estimates: mc.EstimateSet, terms: Terms) -> None:
    facts = replace(made(estimates, replace(terms, drawings=True)), offers=())
    sheet: Sheet = quotation_sheet(replace(facts, lines=facts.lines[:2]))
    # Both lines are of one cloth, which is drawn once.
    assert [one.caption[:9] for one in sheet.figures] == ["Line 1, 2"]
    assert "<svg" in sheet.figures[0].svg
    reader, _ = read_back(pdf(sheet).content)
    _is_archival(reader, "en")


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


def _quoted(
    terms: Terms, cells: Mapping[str, str] | None = None, book: mc.PriceBook | None = None
) -> Quotation:
    line = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
            "width": "48 in", "length": "100 ft", "quantity": "2"}  # fmt: skip
    estimates = mc.estimate_list(pd.DataFrame([line | dict(cells or {})]), book)
    return quotation(estimates, terms, number="1", day=date(2026, 11, 25))


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
    facts = _quoted(terms, cells)
    assert facts.lines[0].services == included
    assert facts.lines[0].not_included == left_out
    told = " ".join(text(quotation_sheet(facts)).split())
    for name in left_out:
        shown = words("en").held["services"].get(name, f"“{name}”")
        assert f"Not in the price, to be agreed: {shown}" in told
    assert ("The prices of lines with open points" in told) == bool(left_out)


def test_a_service_that_no_rule_charges_is_not_said_to_be_in_the_price(terms: Terms) -> None:
    book = replace(mc.default_price_book(), rules_disabled=("services", "tax"))
    facts = _quoted(terms, {"services": "certificate"}, book)
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


@pytest.mark.parametrize("language", LANGUAGES)
def test_invented_prices_are_said_to_be_so(
    estimates: mc.EstimateSet, terms: Terms, language: str
) -> None:
    sheet = quotation_sheet(made(estimates, terms, language))
    said = words(language).say("texts", "sample")
    assert sheet.banner == said
    for told in (text(sheet), " ".join(_cells(workbook(sheet)))):
        assert said in " ".join(told.split())
    own = mc.estimate_list(
        estimates.enquiries.head(1), replace(estimates.book, name="Mill of the reader")
    )
    assert quotation_sheet(made(own, terms)).banner == ""


def test_the_buyers_own_number_and_date_stand_with_each_line(terms: Terms) -> None:
    facts = _quoted(terms, {"Customer ref": "E-2207/1", "Wanted by": "wk 50"})
    told = " ".join(text(quotation_sheet(facts)).split())
    assert "Your number: E-2207/1 · Wanted by: wk 50, sooner than our lead time" in told
    # Friday of week 50 is 11 December, and 35 days from 25 November end on the 30th.
    assert facts.lines[0].late
    later = _quoted(terms, {"Wanted by": "wk 3"})
    assert not later.lines[0].late
    assert "Wanted by: wk 3" in text(quotation_sheet(later))


@pytest.mark.parametrize("to", [["A street of many houses, number " * 3] * 30, ["W" * 400], ["x"]])
def test_a_long_address_leaves_the_page_whole(terms: Terms, to: list[str]) -> None:
    sheet = quotation_sheet(replace(_quoted(terms), to=Party(tuple(to))))
    reader, printed = read_back(pdf(sheet).content)
    assert len(reader.pages) == 1
    assert sum(map(len, sheet.to)) < 500
    # Nothing of it is lost, and nothing runs off the page.
    assert "".join(to[-1].split())[-20:] in "".join(printed.replace("\u200b", "").split())
    right = float(reader.pages[0].mediabox.width)
    [page] = [pypdfium2.PdfDocument(pdf(sheet).content)[0]]
    text_page = page.get_textpage()
    boxes = [text_page.get_charbox(n) for n in range(text_page.count_chars())]
    assert max(box[2] for box in boxes) <= right - 40


def test_pieces_are_drawn_over_all(terms: Terms) -> None:
    enquiry = mc.Enquiry(mesh_count="4 / in", wire_diameter="0.047 in", alloy="304",
                         form=mc.Piece(shape="disc", diameter="300 mm"), quantity=6)  # fmt: skip
    facts = quotation(mc.estimate(enquiry), replace(terms, drawings=True), number="1",
                      language="fr")  # fmt: skip
    cloth, piece = quotation_sheet(facts).figures
    assert "chaîne" in cloth.svg
    assert "300 mm" in piece.svg
    reader, printed = read_back(pdf(quotation_sheet(facts)).content)
    assert "épaisseur" in printed
    _is_archival(reader, "fr")


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


def test_of_two_lines_of_one_name_whoever_quotes_is_told(terms: Terms) -> None:
    row = {"line": "1", "mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304",
           "form": "roll", "width": "48 in", "length": "100 ft", "quantity": "3"}  # fmt: skip
    estimates = mc.estimate_list(pd.DataFrame([row, row]))
    told = [one for one in to_settle(estimates, quotation(estimates, terms)) if one.label == "1-2"]
    assert [one.text for one in told] == ['another line is called "1" too; here it is "1-2".']
