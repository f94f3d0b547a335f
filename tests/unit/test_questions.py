"""Questions to ask back: what is missing, in order, with the reason and the usual answer."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from thorough import share

from meshcore.enquiry import COLUMNS, Enquiry, Piece, Roll, as_table
from meshcore.estimates.question_texts import FIELDS
from meshcore.estimates.questions import Question, QuestionList, questions
from meshcore.messages import Message

COMPLETE = {
    "line": "7",
    "mesh_count": "10 / in",
    "wire_diameter": "0.025 in",
    "weave": "plain",
    "alloy": "304",
    "form": "roll",
    "width": "48 in",
    "length": "100 ft",
    "quantity": "3",
    "services": "none",
    "note": "certificate 3.1, deliver to the works in week 50",
}


def ask(**cells: str) -> list[str]:
    """Fields asked about for a complete line with some cells changed."""
    (estimates,) = questions(pd.DataFrame([COMPLETE | cells])).lines
    return [question.field for question in estimates]


def only(**cells: str) -> Question:
    """The one question asked."""
    ((question,),) = questions(pd.DataFrame([COMPLETE | cells])).lines
    return question


def test_a_complete_line_leaves_nothing_to_ask() -> None:
    found = questions(pd.DataFrame([COMPLETE]))
    assert found.lines == ((),)
    assert found.text(0) == ""
    assert found.text_for_all() == ""
    assert len(found.frame()) == 0


@pytest.mark.parametrize(
    ("cells", "asked"),
    [
        ({"mesh_count": ""}, ["mesh_count"]),
        ({"wire_diameter": ""}, ["wire_diameter"]),
        ({"mesh_count": "", "wire_diameter": "tbc"}, ["mesh_count", "wire_diameter"]),
        ({"mesh_count": "", "aperture": "2 mm"}, []),
        ({"wire_diameter": "", "aperture": "2 mm"}, []),
        ({"wire_diameter": "", "pitch": "2.54 mm"}, ["wire_diameter"]),
        ({"mesh_count": "", "open_area": "50 %"}, []),
        ({"mesh_count": "", "wire_diameter": "", "open_area": "50 %"}, ["wire_diameter"]),
        ({"weave": ""}, ["weave"]),
        ({"alloy": " "}, ["alloy"]),
        ({"form": "", "length": "2 m"}, ["form"]),
        ({"form": ""}, []),  # 48 in by 100 ft is a roll, and said to be taken as one
        ({"width": "", "length": ""}, ["width", "length"]),
        ({"form": "full roll", "length": ""}, []),
        ({"form": "strip", "length": ""}, ["length"]),
        ({"form": "piece", "width": "", "length": ""}, ["dimensions"]),
        ({"form": "piece", "shape": "disc", "dimensions": "diameter 200 mm"}, []),
        ({"form": "piece", "shape": "ring", "dimensions": "outer diameter 2 in"}, ["dimensions"]),
        ({"form": "piece", "dimensions": "300 x 200 mm"}, []),
        ({"quantity": ""}, ["quantity"]),
        ({"services": ""}, ["services"]),
        ({"note": "deliver in week 50"}, ["certificates"]),
        ({"note": "test report please"}, ["delivery"]),
    ],
)
def test_what_is_missing_is_asked_and_nothing_else(cells: dict[str, str], asked: list[str]) -> None:
    assert ask(**cells) == asked


def test_an_empty_line_is_asked_everything_in_the_order_of_a_mill() -> None:
    found = questions(pd.DataFrame([dict.fromkeys(COLUMNS, "")]))
    assert [question.field for question in found.lines[0]] == [
        "mesh_count",
        "wire_diameter",
        "weave",
        "alloy",
        "form",
        "width",
        "length",
        "quantity",
        "services",
        "certificates",
        "delivery",
    ]
    needed = [question.field for question in found.lines[0] if question.needed]
    needs = ["mesh_count", "wire_diameter", "alloy", "form", "width", "length", "quantity"]
    assert needed == needs


def test_the_usual_wire_follows_the_mesh_and_the_usual_mesh_the_wire() -> None:
    assert only(wire_diameter="").usual == "0.025 in (0.635 mm) at 10 / in"
    assert only(mesh_count="").usual == "10 / in with this wire"
    by_aperture = only(mesh_count="", wire_diameter="", aperture="1.9 mm")
    assert by_aperture.usual == "0.025 in (0.635 mm) at 10 / in"
    assert only(wire_diameter="", mesh_count="7 / in").usual == ""


def test_usual_widths_and_lengths_are_the_mills() -> None:
    width, length = questions(pd.DataFrame([COMPLETE | {"width": "", "length": ""}])).lines[0]
    assert width.usual == "one of the stock widths, 36 in, 48 in, 60 in, 72 in"
    assert length.usual == "full rolls of 100 ft"


def test_a_shape_is_asked_for_the_size_that_it_lacks() -> None:
    asked = only(form="piece", shape="ring", dimensions="outer diameter 2 in")
    assert "inner diameter" in asked.ask


def test_what_cannot_be_read_is_asked_about_as_it_was_written() -> None:
    asked = only(wire_diameter="16 ga")
    assert 'reads "16 ga"' in asked.ask
    assert "1.626 mm (imperial)" in asked.ask
    assert asked.needed


def test_refusals_of_the_estimate_are_asked_about_once_a_field() -> None:
    refused = Message("aperture", "2.5 mm", "contradicts mesh_count and wire_diameter. Drop one.")
    noted = Message("quantity", "3", "only a note.", "note")
    table = pd.DataFrame([COMPLETE | {"aperture": "2.5 mm"}])
    ((asked,),) = questions(table, {0: [refused, noted, refused]}).lines
    assert asked.field == "aperture"
    assert "contradicts" in asked.ask
    blank = questions(pd.DataFrame([COMPLETE | {"alloy": ""}]), {0: [Message("alloy", "", "no.")]})
    assert [question.field for question in blank.lines[0]] == ["alloy"]


def test_headings_of_the_buyers_own_are_recognised() -> None:
    table = pd.DataFrame(
        [
            {
                "Mesh": "10 / in",
                "Wire dia": "0.025 in",
                "Grade": "304",
                "Qty": "1",
                "Due date": "wk 5",
            }
        ]
    )
    assert [q.field for q in questions(table).lines[0]] == [
        "weave",
        "form",
        "width",
        "length",
        "services",
        "certificates",
    ]


def test_an_enquiry_from_python_is_asked_about_like_a_list() -> None:
    whole = Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", form=Roll("48 in", "100 ft"))
    assert "alloy" in [q.field for q in questions(as_table(whole)).lines[0]]
    piece = Enquiry(alloy="304", form=Piece(shape="disc", diameter="200 mm"))
    assert "dimensions" not in [q.field for q in questions(as_table(piece)).lines[0]]


def test_the_text_of_a_line_is_ready_to_send() -> None:
    found = questions(pd.DataFrame([COMPLETE | {"alloy": "", "weave": ""}]))
    text = found.text(0)
    assert text.startswith("To price line 7 we need to know:\n1. Which alloy")
    assert "\n\nPlease confirm these too, or tell us otherwise:\n2. Which weave" in text
    for question in found.lines[0]:
        for part in (question.ask, question.why, question.usual):
            assert part in text


def test_the_text_of_a_list_asks_each_question_once_for_its_lines() -> None:
    rows = [COMPLETE | {"line": str(n), "alloy": "" if n != 5 else "304"} for n in range(1, 8)]
    rows[1]["quantity"] = ""
    text = questions(pd.DataFrame(rows)).text_for_all()
    assert text.count("Which alloy") == 1
    assert "Lines 1 to 4, 6, 7: Which alloy" in text
    assert "Line 2: How many?" in text
    every = [COMPLETE | {"alloy": "", "line": str(n)} for n in (1, 2, 3)]
    assert "Lines 1 to 3: Which alloy" in questions(pd.DataFrame(every)).text_for_all()


def test_lines_of_one_name_are_told_apart() -> None:
    """Two pages of one enquiry each count from 1."""
    twice = pd.DataFrame([COMPLETE | {"line": "1"}, COMPLETE | {"line": "1", "alloy": ""}])
    assert "Line 1 (place 2): Which alloy" in questions(twice).text_for_all()


def test_every_question_says_why_and_no_usual_answer_is_unexplained(project_root: Path) -> None:
    inbox = pd.read_csv(
        project_root / "demo_data" / "enquiries.csv", dtype=str, keep_default_na=False
    )
    found = questions(inbox)
    assert len(found.lines) == len(inbox)
    for question in {q for line in found.lines for q in line}:
        assert question.field in FIELDS
        assert question.ask
        assert question.why.endswith(".")
        assert not question.usual.endswith(".")
    frame = found.frame()
    assert len(frame) == sum(len(line) for line in found.lines)
    assert frame.columns.tolist() == ["line", *(field.name for field in fields(Question))]


cells = st.one_of(
    st.just(""),
    st.text(max_size=12),
    st.sampled_from(
        ["10 / in", "16 ga", "0.025 in", "1/0 in", "roll", "piece", "disc", "tbc", "304"]
    ),
)


@pytest.mark.thorough
@settings(max_examples=share(20, 60))
@given(st.lists(st.fixed_dictionaries(dict.fromkeys(COLUMNS, cells)), min_size=1, max_size=4))
def test_whatever_is_typed_is_asked_about_in_order_and_never_raises(
    rows: list[dict[str, str]],
) -> None:
    found = questions(pd.DataFrame(rows, columns=list(COLUMNS)))
    assert isinstance(found, QuestionList)
    for row, asked in enumerate(found.lines):
        places = [FIELDS.index(question.field) for question in asked]
        assert places == sorted(places)
        assert len(set(asked)) == len(asked)
        assert all(question.ask in found.text(row) for question in asked)
    if any(found.lines):
        assert found.text_for_all()


BLANKED = st.sets(st.sampled_from([n for n in COMPLETE if n not in ("line", "note")]))


@pytest.mark.thorough
@settings(max_examples=share(4, 20))
@given(st.lists(BLANKED, min_size=4, max_size=4))
def test_blanking_a_cell_never_takes_a_question_away(drawn: list[set[str]]) -> None:
    # All in one list, an order each: a list is asked about at once, as it is priced.
    cases = [(gone, less) for gone in drawn for less in [gone, *(gone - {n} for n in gone)]]
    rows = [COMPLETE | dict.fromkeys(less, "") for _, less in cases]
    table = pd.DataFrame(rows).assign(order=[str(n) for n in range(len(rows))])
    asked = [{question.field for question in line} for line in questions(table).lines]
    fewer = {frozenset(gone): fields for (gone, less), fields in zip(cases, asked, strict=True)
             if gone == less}  # fmt: skip
    for (gone, less), others in zip(cases, asked, strict=True):
        sizes_of_form = {"width", "length"} if "form" in gone - less else set()
        assert others - sizes_of_form <= fewer[frozenset(gone)]
