"""Every document held to what PDF/A-3a and PDF/UA-1 ask; and each check shown to find its fault."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

import pandas as pd
import pikepdf
import pytest
from archival import elements, faults
from quotation_fixtures import made, quoted_line

import meshcore as mc
from meshcore.documents.labels import label_pdf
from meshcore.documents.order_sheets import bill_sheet, order_sheet
from meshcore.documents.printing import pdf
from meshcore.documents.quotation import quotation
from meshcore.documents.sheet import quotation_sheet
from meshcore.documents.terms import LANGUAGES
from meshcore.register.bills import file_bill
from meshcore.register.deliveries import typed_deliveries
from meshcore.register.labels import deliver, make_labels, printable
from meshcore.register.opening import open_register
from meshcore.register.orders import accept_order, draft_order, ordered
from meshcore.register.quotations import file_quotation, mark_quotation

if TYPE_CHECKING:
    from pathlib import Path

    from meshcore.documents.terms import Terms

DAY = date(2026, 11, 25)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("count", [1, 6, 60])
def test_a_quotation(estimates: mc.EstimateSet, terms: Terms, language: str, count: int) -> None:
    facts = made(estimates, terms, language, breaks=(5,))
    whole = replace(facts, lines=(facts.lines * 3)[:count])
    assert faults(pdf(quotation_sheet(whole)).content) == []
    # And with nothing beside the lines: no offers, no open points.
    bare = replace(whole, offers=(), unpriced=(), questions=(), papers=())
    assert faults(pdf(quotation_sheet(bare)).content) == []


def test_a_quotation_with_drawings_and_one_of_a_choice(terms: Terms) -> None:
    drawn = quoted_line(replace(terms, drawings=True))
    content = pdf(quotation_sheet(drawn)).content
    assert faults(content) == []
    with pikepdf.open(io.BytesIO(content)) as file:
        figures = [one for one in elements(file.Root.StructTreeRoot.K) if one.S == "/Figure"]
    assert [str(one.Alt)[:6] for one in figures] == ["Line 1"]
    roll = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
            "width": "48 in", "length": "100 ft"}  # fmt: skip
    lines = [roll | {"quantity": str(n), "order": f"{n} (one of 1, 2)"} for n in (1, 2)]
    chosen = quotation(mc.estimate_list(pd.DataFrame(lines)), terms, number="Q1", day=DAY)
    assert faults(pdf(quotation_sheet(chosen)).content) == []


def test_what_follows_a_quotation(estimates: mc.EstimateSet, terms: Terms, tmp_path: Path) -> None:
    register = open_register(tmp_path / "r.sqlite")
    facts = quotation(estimates, terms, to="Bakery", day=DAY, language="fr")
    sent = mark_quotation(register, file_quotation(register, facts, estimates), "sent")
    first = facts.lines[0]
    order = draft_order(sent, "PO 1", DAY, {one.label: 0 for one in facts.lines[2:]}, day=DAY)
    filed = accept_order(register, sent, order)
    labels = make_labels(register, filed)
    deliver(register, filed, typed_deliveries(f"{first.length_m} m"), anyway=True)
    bill, goods = file_bill(register, filed, day=DAY)
    shown = printable(filed, labels)
    for content in (
        pdf(order_sheet(ordered(filed))).content,
        pdf(bill_sheet(ordered(filed), bill.number, DAY, goods)).content,
        label_pdf(shown, "single", "fr").content,
        label_pdf(shown, "a4", "fr").content,
    ):
        assert faults(content) == []


def _table(file: pikepdf.Pdf, kind: str) -> Any:
    return next(one for one in elements(file.Root.StructTreeRoot.K) if kind == one.S)


def _wider(file: pikepdf.Pdf) -> None:
    _table(file, "/TD").A = pikepdf.Dictionary(O=pikepdf.Name.Table, ColSpan=2)


def _headless(file: pikepdf.Pdf) -> None:
    del _table(file, "/TH")["/A"]


def _bare(file: pikepdf.Pdf) -> None:
    page = file.pages[0]
    page.contents_add(b"q 0 0 0 1 k 0 0 9 9 re f Q", prepend=True)


def _unembedded(file: pikepdf.Pdf) -> None:
    for thing in file.objects:
        if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/FontDescriptor":
            for name in ("/FontFile", "/FontFile2", "/FontFile3"):
                if name in thing:
                    del thing[name]


def _without_unicode(file: pikepdf.Pdf) -> None:
    for thing in file.objects:
        if isinstance(thing, pikepdf.Dictionary) and "/ToUnicode" in thing:
            del thing["/ToUnicode"]


def _renamed(file: pikepdf.Pdf) -> None:
    _table(file, "/H1").S = pikepdf.Name.Heading


def _skipping(file: pikepdf.Pdf) -> None:
    _table(file, "/H2").S = pikepdf.Name.H4


def _retitled(file: pikepdf.Pdf) -> None:
    file.docinfo["/Title"] = "Another"


def _unmarked(file: pikepdf.Pdf) -> None:
    with file.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as held:
        held["pdfaid:conformance"] = "B"


def _at(*names: str) -> Callable[[pikepdf.Pdf], None]:
    """Take an entry away, by its way from the catalogue."""

    def taken(file: pikepdf.Pdf) -> None:
        held: Any = file.Root
        for name in names[:-1]:
            held = held[int(name)] if name.isdigit() else held[name]
        del held[names[-1]]

    return taken


@pytest.mark.parametrize(
    ("spoil", "clause"),
    [
        (_at("/MarkInfo"), "A 6.7.2, UA 7.1"),
        (_at("/Lang"), "UA 7.2"),
        (_at("/OutputIntents"), "A 6.2.3"),
        (_at("/ViewerPreferences"), "UA 7.1: the title"),
        (_at("/Metadata"), "A 6.6.2.1"),
        (_at("/AF", "0", "/AFRelationship"), "A 6.8"),
        (_at("/AF"), "A 6.8"),
        (_at("/StructTreeRoot", "/ParentTree"), "UA 7.1: no parent tree"),
        (_wider, "UA 7.5: a table"),
        (_headless, "UA 7.5: heads"),
        (_bare, "UA 7.1: page 1"),
        (_bare, "A 6.2.4.3"),
        (_unembedded, "A 6.2.11.4"),
        (_without_unicode, "A 6.2.11.7.2"),
        (_renamed, "UA 7.1: Heading is no standard type"),
        (_skipping, "UA 7.4.2"),
        (_retitled, "A 6.6.3"),
        (_unmarked, "A 6.6.4"),
    ],
)
def test_each_check_finds_what_breaks_it(
    terms: Terms, spoil: Callable[[pikepdf.Pdf], None], clause: str
) -> None:
    """A file that is spoilt in one place, by a library that has no part in making it."""
    spoilt = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf(quotation_sheet(quoted_line(terms))).content)) as file:
        spoil(file)
        file.save(spoilt, fix_metadata_version=False)
    assert any(one.startswith(clause) for one in faults(spoilt.getvalue()))
