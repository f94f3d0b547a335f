"""What a customer reads concerns him: no word of the mill's own book, policy, rules or files."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import numpy as np
import pandas as pd
import pytest
from message_codes import MAKERS, given, modules, name_of

import meshcore as mc
from meshcore.demo import demo_price_book
from meshcore.documents.open_points import line_doubts
from meshcore.documents.printing import text
from meshcore.documents.quotation import quotation
from meshcore.documents.sheet import quotation_sheet
from meshcore.documents.terms import LANGUAGES
from meshcore.estimates.question_texts import NOT_OFFERED, unreadable
from meshcore.estimates.questions import questions
from meshcore.messages import Message

DAY = date(2026, 11, 25)
#: Words of the mill's own, which no customer is to read.
OWN = re.compile(
    r"price book|supply policy|plugin|\b(?:wire|weave|service)\.\w|per kg\]|[Aa]dd it there"
)
ROLL = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
        "width": "48 in", "length": "100 ft", "quantity": "3"}  # fmt: skip


@pytest.fixture(scope="module")
def nickel() -> mc.EstimateSet:
    """A line in an alloy for which the demo book has no rate, by the numbers of the registry."""
    found = mc.estimate_list(
        pd.DataFrame([ROLL | {"line": "1"}, ROLL | {"line": "2", "alloy": "alloy 400"}]),
        _without_family(),
    )
    assert [m.code for m in found.messages[1] if m.severity == "refused"] == ["price.rate_missing"]
    return found


def _without_family() -> mc.PriceBook:
    book = demo_price_book()
    kept = tuple(r for r in book.rates if not (r.key == "wire.metal" and "400" in str(r)))
    return replace(book, rates=kept)


@pytest.mark.parametrize("language", LANGUAGES)
def test_an_alloy_without_a_rate_is_told_as_one_that_is_not_offered(
    nickel: mc.EstimateSet, language: str
) -> None:
    # The banner of an invented book is no message, and is meant to be read.
    facts = replace(quotation(nickel, day=DAY, language=language), sample=False)
    told = text(quotation_sheet(facts))
    assert not OWN.search(told)
    plain = " ".join(told.split())
    words = {
        "en": "Would another alloy serve?",
        "de": "Wäre ein anderer Werkstoff möglich?",
        "fr": "Un autre alliage conviendrait-il ?",
        "es": "¿Serviría otra aleación?",
    }
    assert words[language] in plain
    assert "Welcher Werkstoff?" not in plain


def test_a_reply_to_a_letter_says_no_more(nickel: mc.EstimateSet) -> None:
    asked = questions(nickel.enquiries, nickel.messages, nickel.policy, nickel.book)
    assert [one.kind for one in asked.lines[1] if one.field == "alloy"] == [NOT_OFFERED]
    assert not OWN.search(asked.text_for_all())


def test_what_the_mill_is_to_settle_of_its_book_is_told_as_its_price() -> None:
    found = mc.estimate_list(pd.DataFrame([ROLL]), demo_price_book())
    said = Message(
        "price book", "wire.metal [304]", "is of 2019. Look it up.", "review", code="x.y"
    )
    found.log.add(np.array([True]), said)
    doubts = line_doubts(found)[0].to_confirm
    assert "price" in {doubt.field for doubt in doubts}
    assert not any("wire.metal" in doubt.read or doubt.field == "price book" for doubt in doubts)


def test_every_message_that_names_the_mills_own_is_put_in_other_words() -> None:
    import ast  # noqa: PLC0415

    seen = 0
    for _, module in modules():
        for call in (n for n in ast.walk(module) if isinstance(n, ast.Call)):
            if name_of(call) not in MAKERS or given(call, "code") is None:
                continue
            texts = [
                piece.value for part in call.args for piece in ast.walk(part)
                if isinstance(piece, ast.Constant) and isinstance(piece.value, str)
            ]  # fmt: skip
            whole = " ".join(texts)
            if OWN.search(whole):
                seen += 1
                asked = unreadable(Message("alloy", "alloy 400", whole, code="a.b"))
                assert not OWN.search(asked.ask), whole
    assert seen > 3
