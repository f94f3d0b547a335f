"""Whatever stands in names, addresses and remarks, and however many lines: the documents hold."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pandas as pd
import pytest
from printed import read_back, signs

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.documents.facts import Quotation
from meshcore.documents.labels import label_pdf
from meshcore.documents.order_sheets import label_lines, order_sheet
from meshcore.documents.printing import lines_csv, pdf, text
from meshcore.documents.quotation import quotation
from meshcore.documents.sheet import quotation_sheet
from meshcore.documents.terms import LANGUAGES
from meshcore.documents.wording import words
from meshcore.documents.workbook import workbook
from meshcore.register.finding import find
from meshcore.register.labels import make_labels, printable
from meshcore.register.orders import accept_order, draft_order, ordered
from meshcore.register.quotations import file_quotation, mark_quotation
from meshcore.register.repeating import repeat

if TYPE_CHECKING:
    from meshcore.register.connecting import Register

DAY = date(2026, 11, 25)
ROLL = {"line": "1", "mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304",
        "form": "roll", "width": "48 in", "length": "100 ft", "quantity": "2"}  # fmt: skip
NAMES = [
    ("مصنع النسيج السلكي", "طلب ٧"), ("織物株式会社 \N{FACTORY}", "注文 7"),
    ("A" * 200, "R" * 200), ("<script>alert(1)</script>", '$x$ #eval("1") *b*'),
    ('#import "x"; = H', "=1+1"), ("Ⅻ \N{ZERO WIDTH JOINER}ﬁ \u202eabc", "'; DROP TABLE heads; --"),
]  # fmt: skip


def quoted(rows: list[dict[str, str]], to: str, reference: str = "", **more: str) -> tuple[
    mc.EstimateSet, Quotation
]:  # fmt: skip
    estimates = mc.estimate_list(pd.DataFrame(rows))
    return estimates, quotation(estimates, demo_data() / "terms.toml", to=[to, "Street " * 28],
                                reference=reference, day=DAY, **more)  # type: ignore[arg-type] # fmt: skip


@pytest.mark.parametrize(("name", "reference"), NAMES)
@pytest.mark.parametrize("place", ["sqlite"], indirect=True)
def test_a_day_with_any_name(register: Register, name: str, reference: str) -> None:
    estimates, facts = quoted([ROLL | {"note": name}], name, reference, person=name)
    filed = file_quotation(register, facts, estimates)
    sent = mark_quotation(register, filed, "sent")
    order = accept_order(register, sent, draft_order(sent, reference, DAY))
    for sheet in (quotation_sheet(facts), order_sheet(ordered(order))):
        for (width, height), found in signs(pdf(sheet).content):
            assert all(one.left > 0 and one.right < width - 20 for one in found)
            assert all(one.bottom > 20 and one.top < height for one in found)
        assert workbook(sheet)
        assert lines_csv(sheet)
        assert sheet.totals[-1][1] in text(sheet)
    labels = make_labels(register, order)
    printed = label_pdf(printable(order, labels), "single")
    for (width, height), found in signs(printed.content):
        assert all(0 < one.left < one.right < width for one in found)
        assert all(0 < one.bottom < one.top < height for one in found)
    assert labels[0].number in {one.number for one in find(register, labels[0].number)}
    assert repeat(register, labels[0].number).then_minor == facts.lines[0].amount_minor


def test_a_long_name_is_cut_and_not_left_out() -> None:
    _, facts = quoted([ROLL], "A" * 400)
    [first, *_] = quotation_sheet(facts).to
    assert first == "A" * (len(first) - 1) + "…"
    assert len(first) > 40


@pytest.mark.parametrize("place", ["sqlite"], indirect=True)
def test_the_name_on_a_label_is_cut_and_not_left_out(register: Register) -> None:
    estimates, facts = quoted([ROLL], "A" * 200)
    sent = mark_quotation(register, file_quotation(register, facts, estimates), "sent")
    order = draft_order(sent, "PO 7", DAY)
    assert label_lines(order, order.lines[0], "R1")[1] == "A" * 79 + "…"


@pytest.mark.parametrize("language", LANGUAGES)
def test_where_nothing_has_a_price_nothing_is_said_to_be_offered(language: str) -> None:
    say = words(language)
    rows = [ROLL | {"line": str(n), "alloy": "unobtainium"} for n in range(30)]
    _, facts = quoted([*rows, {"line": "30"}], "x", language=language)
    sheet = quotation_sheet(facts)
    assert sheet.intro == say.say("texts", "intro_unpriced")
    assert say.say("head", "valid_until") not in dict(sheet.facts)
    _, printed = read_back(pdf(sheet).content)
    assert say.say("table", "gross") not in printed
    told = " ".join(text(sheet).split())
    colon = str(say.held["numbers"]["colon"])
    typed = f"10 / in · 0.025 in · unobtainium · {say.form('roll', False)}"
    assert f"29{colon}{typed}" in told.replace("\xa0", " ")
    # Of a line that says nothing, there is nothing to be said again.
    assert f"30{colon}{say.say('cloth', 'not_priced')}" in told


@pytest.mark.parametrize("place", ["sqlite"], indirect=True)
def test_five_hundred_lines(register: Register) -> None:
    estimates, facts = quoted([ROLL | {"line": str(n)} for n in range(500)], "x")
    sheet = quotation_sheet(facts)
    reader, printed = read_back(pdf(sheet).content)
    assert sheet.totals[-1][1] in printed.replace("\xa0", " ")
    head = sheet.columns[1]
    assert all(head in page.extract_text() for page in reader.pages[:-1])
    filed = file_quotation(register, facts, estimates)
    assert filed.head.total_minor == sum(line.amount_minor for line in facts.lines)
    assert [one.label for one in find(register, "10 mesh 304", kinds=("quotation",))]
