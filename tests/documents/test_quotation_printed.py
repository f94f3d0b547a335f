"""A quotation as it leaves: what it never holds, and the PDF as a reader of PDFs finds it."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from typing import Any

import openpyxl
import pandas as pd
import pypdf
import pypdfium2
import pytest
from printed import read_back
from quotation_fixtures import made, quoted_line

import meshcore as mc
from meshcore.documents.facts import Party
from meshcore.documents.labels import code_svg
from meshcore.documents.plain_data import to_data
from meshcore.documents.printing import lines_csv, missing_text, pdf, text
from meshcore.documents.quotation import quotation
from meshcore.documents.sheet import Sheet, quotation_sheet
from meshcore.documents.terms import LANGUAGES, Terms
from meshcore.documents.typesetting import typeset
from meshcore.documents.wording import words
from meshcore.documents.workbook import workbook

#: Words of costing in any of the languages; none may stand in what leaves for a customer.
INNER = re.compile(
    r"\b(cost|costs|margin|overhead|surcharge|markup|profit|rate|kosten|marge|gemeinkosten|"
    r"zuschlag|gewinn|co[uû]ts?|co[uû]t|b[ée]n[ée]fice|costes?|margen|beneficio)\b",
    re.IGNORECASE,
)


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_cost_rate_or_margin_leaves(
    estimates: mc.EstimateSet, terms: Terms, language: str
) -> None:
    sheet = quotation_sheet(made(estimates, terms, language, breaks=(5, 50)))
    content = pdf(sheet).content
    _, printed = read_back(content)
    cells = cells_of_book(workbook(sheet))
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


def cells_of_book(content: bytes) -> list[str]:
    book = openpyxl.load_workbook(io.BytesIO(content))
    return [str(c.value) for row in book.worksheets[0].iter_rows() for c in row if c.value]


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
        is_archival(reader, language)
        attached = reader.attachments["lines.csv"][0].decode("utf-8")
        assert attached == lines_csv(sheet)
        rows = list(csv.DictReader(io.StringIO(attached)))
        assert [row["amount"] for row in rows] == [
            f"{line.amount_minor / 100:.2f}" for line in facts.lines
        ]


def is_archival(reader: pypdf.PdfReader, language: str) -> None:
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
    is_archival(reader, "en")


def test_a_drawing_where_the_terms_want_one(estimates: mc.EstimateSet, terms: Terms) -> None:
    facts = replace(made(estimates, replace(terms, drawings=True)), offers=())
    sheet: Sheet = quotation_sheet(replace(facts, lines=facts.lines[:2]))
    # Both lines are of one cloth, which is drawn once.
    assert [one.caption[:9] for one in sheet.figures] == ["Lines 1, "]
    assert "<svg" in sheet.figures[0].svg
    reader, _ = read_back(pdf(sheet).content)
    is_archival(reader, "en")


@pytest.mark.parametrize("language", LANGUAGES)
def test_invented_prices_are_said_to_be_so(
    estimates: mc.EstimateSet, terms: Terms, language: str
) -> None:
    sheet = quotation_sheet(made(estimates, terms, language))
    said = words(language).say("texts", "sample")
    assert sheet.banner == said
    for told in (text(sheet), " ".join(cells_of_book(workbook(sheet)))):
        assert said in " ".join(told.split())
    own = mc.estimate_list(
        estimates.enquiries.head(1), replace(estimates.book, name="Mill of the reader")
    )
    assert quotation_sheet(made(own, terms)).banner == ""


@pytest.mark.parametrize("to", [["A street of many houses, number " * 3] * 30, ["W" * 400], ["x"]])
def test_a_long_address_leaves_the_page_whole(terms: Terms, to: list[str]) -> None:
    sheet = quotation_sheet(replace(quoted_line(terms), to=Party(tuple(to))))
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
    is_archival(reader, "fr")


def test_its_facts_hold_no_cost_at_all(estimates: mc.EstimateSet, terms: Terms) -> None:
    names = re.findall(r'"(\w+)":', pd.Series([to_data(made(estimates, terms))]).to_json())
    assert not [name for name in names if re.search("cost|margin|rate(?!_pct)", name)]
