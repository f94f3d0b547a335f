"""Pages as they look: what stands together, what has room, and what a checker finds."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date
from pathlib import Path

import openpyxl
import pandas as pd
import pdfua
import pypdf
import pypdfium2
import pytest
import zxingcpp
from printed import read_back, signs, word_box

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.documents.facts import Quotation
from meshcore.documents.labels import Label, LabelSheet, label_pdf
from meshcore.documents.printing import pdf, text
from meshcore.documents.quotation import quotation
from meshcore.documents.sheet import quotation_sheet
from meshcore.documents.terms import LANGUAGES, Terms, read_terms
from meshcore.documents.wording import words
from meshcore.documents.workbook import workbook

MM = 72 / 25.4
TO = ["Corrie Top Observatory", "The Dome", "Corrie Top 1"]


@pytest.fixture(scope="module")
def terms() -> Terms:
    return read_terms(demo_data() / "terms.toml")


@pytest.fixture(scope="module")
def estimates() -> mc.EstimateSet:
    table = mc.read_list(demo_data() / "enquiries.csv").head(70)
    return mc.estimate_list(
        table, supply_policy=mc.read_supply_policy(demo_data() / "supply_policy.toml")
    )


@pytest.fixture(scope="module")
def facts(estimates: mc.EstimateSet, terms: Terms) -> Quotation:
    return quotation(estimates, terms, to=TO, person="Ada Invented", reference="CTO/2026/51",
                     number="Q2026-000017", day=date(2026, 11, 25))  # fmt: skip


def only(facts: Quotation, count: int) -> Quotation:
    """The first lines of a quotation by themselves; more than there are begin again."""
    return replace(facts, lines=(facts.lines * 3)[:count], offers=(), unpriced=(), questions=())


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_six_lines_with_remarks_and_a_caution_take_one_page(
    facts: Quotation, language: str, paper: str
) -> None:
    six = replace(only(facts, 6), language=language, terms=replace(facts.terms, paper=paper))
    assert any(line.not_included for line in six.lines)
    reader, printed = read_back(pdf(quotation_sheet(six)).content)
    assert len(reader.pages) == 1
    # The last words of the last section are there.
    assert words(language).say("texts", "caution").split()[-1] in printed


@pytest.mark.parametrize("count", range(9, 30))
def test_the_sums_are_never_alone_on_a_page(facts: Quotation, count: int) -> None:
    sheet = quotation_sheet(only(facts, count))
    total = sheet.totals[-1][1].replace(" ", "")
    pages = [
        "".join(page.extract_text().split()).replace("\u200b", "")
        for page in read_back(pdf(sheet).content)[0].pages
    ]
    [held] = [page for page in pages if total in page]
    last = "".join(sheet.rows[-1].heading.split())
    assert last in held
    # What is said of the sums stands with them.
    for note in sheet.notes:
        assert "".join(note.split()) in held


def test_a_long_label_keeps_to_its_column(facts: Quotation) -> None:
    label = "Rahmenvertrag-2026/0077-b_Nachtrag"
    one = replace(facts.lines[0], label=label)
    sheet = quotation_sheet(replace(only(facts, 1), lines=(one,)))
    [(_, found)] = signs(pdf(sheet).content)
    head = "".join(sheet.rows[0].heading.split())
    assert word_box(found, label)[2] < word_box(found, head)[0]


def test_a_long_reference_leaves_the_address_its_room(facts: Quotation) -> None:
    to = ["Vereinigte Siebbodenfabriken am Unteren Graben", "Oberunterwiesenthal"]
    long = "Anfrage 2026-4711/0815-XYZ vom 20. November, zweiter Nachtrag zum Rahmenvertrag"
    sheet = quotation_sheet(
        replace(only(facts, 1), reference=long, to=replace(facts.to, lines=tuple(to)))
    )
    [(_, found)] = signs(pdf(sheet).content)
    # Each line of the address is set whole, with no sign of parting in it.
    for line in to:
        _, bottom, _, top = word_box(found, "".join(line.split()))
        assert top - bottom < 15


def test_what_is_longer_than_a_page_goes_on_over_the_next(facts: Quotation) -> None:
    long = " ".join(f"word{n}" for n in range(2500))
    one = replace(facts.lines[0], not_included=(long,))
    texts = {"excluded": {"": " ".join(f"term{n}" for n in range(2500))}}
    sheet = quotation_sheet(
        replace(only(facts, 1), lines=(one,), terms=replace(facts.terms, texts=texts))
    )
    content = pdf(sheet).content
    for (_, height), found in signs(content):
        assert min(sign.bottom for sign in found) > 5 * MM
        assert max(sign.top for sign in found) < height - 5 * MM
    assert "word2499" in read_back(content)[1]
    assert "term2499" in read_back(content)[1]


def test_offers_stand_under_a_heading_of_their_own(facts: Quotation) -> None:
    offered = replace(facts.lines[0], role="beside", label="option")
    sheet = quotation_sheet(replace(only(facts, 2), offers=(offered,)))
    assert sheet.offers_heading == "Also offered, in no sum above"
    _, printed = read_back(pdf(sheet).content)
    for told in (printed, text(sheet)):
        assert told.index(sheet.totals[-1][1]) < told.index(sheet.offers_heading)
    assert quotation_sheet(only(facts, 2)).offers_heading == ""


def test_sums_of_a_workbook_are_numbers(facts: Quotation) -> None:
    two = only(facts, 2)
    page = openpyxl.load_workbook(io.BytesIO(workbook(quotation_sheet(two)))).worksheets[0]
    sums = [row[4].value for row in page.iter_rows() if row[1].value in ("Total", "VAT 20 %")]
    assert sums == [two.tax_minor[0] / 100, two.total_minor / 100]


@pytest.mark.parametrize("language", ["de", "fr", "es"])
def test_the_trades_own_words_of_what_was_asked_stand_in_the_language(
    terms: Terms, language: str
) -> None:
    table = pd.DataFrame([
        {"line": "1", "mesh_count": "30 mesh", "wire_diameter": "1 mm", "alloy": "carbon steel",
         "form": "roll", "width": "48 in", "length": "100 ft", "note": "no roll cores please"},
        {"line": "2", "mesh_count": "10 mesh", "alloy": "304", "form": "piece", "shape": "disc",
         "dimensions": "diameter 300 mm", "services": "clean"},
    ])  # fmt: skip
    facts = quotation(mc.estimate_list(table), terms, number="1", language=language)
    say = words(language)
    asked = [line for line in text(quotation_sheet(facts)).splitlines() if "30 mesh" in line]
    told = " ".join(text(quotation_sheet(facts)).split())
    assert asked
    for word in ("roll", "piece"):
        assert say.form(word, False) in told
        assert f" {word} ·" not in told
    for section, name in (("alloys", "carbon steel"), ("shapes", "disc"), ("services", "clean"),
                          ("shapes", "diameter")):  # fmt: skip
        assert say.among(section, name) in told
    # A remark is the buyer's own.
    assert "no roll cores please" in told


def test_signs_that_take_no_room_leave_none(terms: Terms) -> None:
    e = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                               form=mc.Roll("48 in", "100 ft")))  # fmt: skip
    facts = quotation(e, terms, to="Nieder\N{SOFT HYPHEN}mühl\N{ZERO WIDTH SPACE}bach", number="1")
    assert facts.to.name == "Niedermühlbach"


LONG = Label(
    "R2026-000004",
    ("R2026-000004", "Vereinigte Siebbodenfabriken am Unteren Mühlgraben und Söhne Gesellschaft …",
     "Ihre Bestellung PO-4500012345/67, Positionen 10–40, Rahmenvertrag vom 3. Januar 2026",
     "Unser Auftrag A2026-000001 / Position 3 der zweiten Lieferung",
     "Kohlenstoffstahl, Maschenweite 10 mm (0,3937 in), Draht 3,15 mm (0,124 in)",
     "Flachgekröpft, verriegelt, offene Siebfläche 57,8 % · UNS G10080, EN 1.0304",
     "40 × Zuschnitt: Ring Außendurchmesser 400 mm, Innendurchmesser 150 mm; 15,75 in × 15,75 in",
     "Mit: zugeschnitten, gefasste Kanten, entfettet, geglüht, kalandriert, beschichtet",
     "Schmelze oder Charge H7-123456, 99812-ABC-77, 4711, 4712"),
    "Harrow Vale Wire Weavers",
)  # fmt: skip


@pytest.mark.parametrize("sheet", ["single", "a4"])
def test_all_that_a_label_says_has_room_on_it(sheet: LabelSheet) -> None:
    content = label_pdf([LONG] * 9, sheet, "de").content
    pages = list(signs(content))
    assert len(pages) == (9 if sheet == "single" else 2)
    (width, height), found = pages[0]
    if sheet == "single":
        assert (width, height) == pytest.approx((100 * MM, 60 * MM), abs=0.1)
        assert min(sign.bottom for sign in found) > 3 * MM
        assert max(sign.right for sign in found) < 64 * MM
    else:
        # Each of the eight keeps to its own 60 mm, the first row from 28 mm below the edge.
        tops = sorted({round(sign.top, 1) for sign in found if sign.text == "H"}, reverse=True)
        assert height - max(tops) == pytest.approx((28 + 4) * MM, abs=8)
    plain = "".join(sign.text for sign in found)
    assert "".join(LONG.lines[-1].split()) in plain
    [page] = [pypdfium2.PdfDocument(content)[0]]
    held = zxingcpp.read_barcodes(page.render(scale=4).to_pil())
    assert {code.text for code in held} == {LONG.code_text}


def test_a_sheet_of_labels_keeps_each_to_its_sixty_millimetres() -> None:
    [(_, found), _] = list(signs(label_pdf([LONG] * 9, "a4", "de").content))
    height = 297 * MM
    per_row = [0] * 4
    for sign in found:
        low, high = (height - sign.bottom) / MM - 28, (height - sign.top) / MM - 28
        assert int(low // 60) == int(high // 60)
        per_row[int(low // 60)] += 1
    assert len(set(per_row)) == 1


def test_the_words_around_labels_are_in_their_language() -> None:
    reader, _ = read_back(label_pdf([LONG], "single", "de").content)
    assert reader.metadata is not None
    assert reader.metadata.title == "Etiketten R2026-000004"


#: A rule of the checker that fails in its own code with this release of pikepdf: whether a
#: heading is empty.
NOT_RUN = {"UA-14-001"}


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("count", [1, 6, 60])
def test_a_checker_of_tagged_documents_finds_nothing(
    facts: Quotation, tmp_path: Path, language: str, count: int
) -> None:
    """The checks of PDF/UA-1 (ISO 14289-1) that the package pdfua can make: 16 rules of 106."""
    held = replace(only(facts, count), language=language, offers=facts.offers)
    file = tmp_path / "quotation.pdf"
    file.write_bytes(pdf(quotation_sheet(held)).content)
    report = pdfua.validate(str(file))
    assert not report.findings
    assert {one.rule_id for one in report.outcomes if one.skipped_reason} <= NOT_RUN


def test_labels_pass_the_checker_and_what_is_not_tagged_does_not(tmp_path: Path) -> None:
    file = tmp_path / "labels.pdf"
    file.write_bytes(label_pdf([LONG], "single", "de").content)
    assert not pdfua.validate(str(file)).findings
    writer = pypdf.PdfWriter(clone_from=file)
    del writer.root_object["/StructTreeRoot"]
    del writer.root_object["/MarkInfo"]
    writer.write(file)
    found = {one.rule_id for one in pdfua.validate(str(file)).findings}
    assert {"UA-01-002", "UA-01-005"} <= found
