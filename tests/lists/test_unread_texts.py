"""What a list says beside its cells and in remarks is named on its lines, and never passed by.

The lists were written by a stranger to break the reader; what each must give was judged by hand
before it was run (common practice, no source).
"""

from __future__ import annotations

import io
from pathlib import Path

import openpyxl
import pytest
from openpyxl.comments import Comment

import meshcore as mc
from meshcore.estimates.results import EstimateSet
from meshcore.reading.tables.weighing import weighing_words

FOLDER = Path(__file__).parent / "unread"


def priced(name: str) -> EstimateSet:
    return mc.estimate_list(mc.read_list(FOLDER / name))


def statuses(name: str) -> dict[str, str]:
    return {str(row): str(status) for row, status in priced(name).table["status"].items()}


@pytest.mark.parametrize(
    ("name", "row", "aperture", "wire"),
    [
        ("g1_units_midway_silent.csv", 3, 2, 0.8),
        ("g1_units_midway_silent.csv", 5, 6.35, 2.032),
        ("g1_units_midway_silent.csv", 6, 12.7, 3.048),
        ("d2_units_midway.csv", 5, 6.35, 2.032),
    ],
)
def test_a_second_row_of_units_governs_what_stands_below_it(
    name: str, row: int, aperture: float, wire: float
) -> None:
    table = priced(name).table
    place = table.index.tolist().index(row)
    found = [table[column].tolist()[place] for column in ("aperture_mm", "wire_diameter_mm")]
    assert found == pytest.approx([aperture, wire], abs=1e-6)


@pytest.mark.parametrize("name", ["d1_other_heading_below.csv", "g2_heading_below_swapped.csv"])
def test_nothing_is_read_under_headings_that_are_not_known(name: str) -> None:
    estimates = priced(name)
    said = estimates.messages
    below = [
        n for n in range(len(estimates.table))
        if any(m.code == "list.headings_unknown" for m in said.get(n, ()))
    ]  # fmt: skip
    assert len(below) == 2
    assert set(estimates.table["status"].iloc[below]) == {"refused"}
    assert set(estimates.table["status"].drop(estimates.table.index[below])) == {"ok"}


@pytest.mark.parametrize(
    ("name", "ok"),
    [
        ("g3_units_in_section.csv", {"2"}),
        ("d3_sections.csv", {"2"}),
        ("g6_line2_cancelled.csv", {"2"}),
        ("b1_pos_order_note.csv", set()),
        ("g5_footer_orders.csv", set()),
        ("76_ctx_notes.csv", set()),
        ("47_struck_comment.xlsx", set()),
        ("86_marks.xlsx", set()),
        ("b9_sheetnames.xlsx", set()),
        ("85_sheet_alloy.xlsx", set()),
        ("j4_true.xlsx", {"2"}),
    ],
)
def test_only_lines_that_nothing_speaks_of_are_ok(name: str, ok: set[str]) -> None:
    assert {row for row, status in statuses(name).items() if status == "ok"} == ok


def test_a_row_below_the_list_that_is_a_line_is_said_not_to_be_read() -> None:
    for name in ("b1_pos_order_note.csv", "g5_footer_orders.csv"):
        codes = [m.code for said in priced(name).messages.values() for m in said]
        assert codes.count("list.line_not_read") == 2


@pytest.mark.parametrize(
    ("name", "ok"),
    [
        ("06_remarks.csv", {"same as last year"}),
        ("a1_notes_en.csv", {"dry", "each"}),
        ("a2_notes_de.csv", set()),
        ("a3_notes_fr_es.csv", set()),
        ("82_negatives.csv", {"thanks!"}),
        ("83_langs_notes.csv", {"wie gehabt"}),
    ],
)
def test_remarks_that_may_change_a_line_put_it_to_review(name: str, ok: set[str]) -> None:
    table = mc.read_list(FOLDER / name)
    estimates = mc.estimate_list(table)
    remarks = table["Remarks" if "Remarks" in table else "Bemerkung"].tolist()
    found = estimates.table["status"].tolist()
    assert {r for r, status in zip(remarks, found, strict=True) if status == "ok"} == ok
    for n, remark in enumerate(remarks):
        if remark != "thanks!":
            assert any(m.field == "note" for m in estimates.messages.get(n, ())), remark


@pytest.mark.parametrize(
    "text", ["Enquiry 4711 of 3 March 2026", "Tel. 0123 456", "Page 1 of 2", "as last year", "316"]
)
def test_what_counts_nothing_is_no_amount(text: str) -> None:
    assert weighing_words(text) == ()


def _book(change: str) -> io.BytesIO:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.append(["Mesh", "Wire mm", "Alloy", "Width mm", "Length m", "Qty"])
    sheet.append([10, 0.63, "304", 1000, 30, 1])
    sheet.append([10, 0.63, "304", 1000, 30, 2])
    cell = sheet.cell(3, 6)
    if change == "comment":
        cell.comment = Comment("make it 5", "buyer")
    elif change == "struck":
        cell.font = openpyxl.styles.Font(strike=True)
    elif change:
        cell.number_format = change
    content = io.BytesIO()
    book.save(content)
    content.seek(0)
    return content


@pytest.mark.parametrize("change", ["comment", "struck", '0"00"', "0,"])
def test_what_is_marked_at_a_cell_puts_its_line_to_review(change: str) -> None:
    marked = mc.estimate_list(mc.read_list(_book(change), ".xlsx"))
    assert marked.table["status"].tolist() == ["ok", "review"]
    assert any(m.code == "list.marked_cell" for m in marked.messages[1])
    plain = mc.estimate_list(mc.read_list(_book(""), ".xlsx"))
    assert plain.table["status"].tolist() == ["ok", "ok"]
