"""A letter says nothing untrue: what it states and what it offers is held against the estimate.

The lines are drawn at random, from a seed, out of what lists hold, and left incomplete. What a
letter says of something written must be said by the estimate too, whatever the buyer answers to
the rest; a usual answer must be accepted where it is put in. No source: these are the project's
own rules, asked twice.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import meshcore as mc
from meshcore.enquiry import COLUMNS
from meshcore.estimates.question_texts import Question
from meshcore.estimates.questions import QuestionList, questions
from meshcore.messages import Message

LINES = 400
SEED = 20261125
CHOICES: dict[str, tuple[str, ...]] = {
    "mesh_count": ("10 / in", "2 / in", "60 mesh", "16 mesh", "200 / in", "7 / in", "4000 / in"),
    "wire_diameter": ("0.025 in", "0.063 in", "16 SWG", "16 ga", "0.0075 in", "2 mm", "0.5 mm"),
    "aperture": ("", "", "", "2 mm", "0.9 mm", "40 mm"),
    "open_area": ("", "", "", "38 %"),
    "weave": ("plain", "twill", "double crimp", "dutch"),
    "alloy": ("304", "stainless", "brass", "388", "carbon steel", "titanium"),
    "form": ("roll", "strip", "piece", "sample"),
    "width": ("48 in", "50 mm", "2 mm", "96 in", "1.2 m", "20"),
    "length": ("100 ft", "10 m", "full roll", "3000 m", "30"),
    "quantity": ("3", "0", "two", "2.5", "12"),
    "services": ("none", "weld", "anneal"),
    "note": ("", "for a vibrating screen", "hot brine", "deliver in week 50", "certificate 3.1"),
}
#: Answers of a buyer to what is open, other than those by which the lines are tried.
ANSWERS: tuple[dict[str, str], ...] = (
    {
        "mesh_count": "20 / in", "wire_diameter": "0.016 in", "weave": "plain", "alloy": "316",
        "form": "roll", "width": "36 in", "length": "50 ft", "quantity": "7",
        "dimensions": "400 x 250 mm",
    },
    {
        "mesh_count": "5 / in", "wire_diameter": "1 mm", "weave": "plain", "alloy": "304L",
        "form": "piece", "width": "500 mm", "length": "450 mm", "quantity": "25",
        "dimensions": "700 x 800 mm",
    },
)  # fmt: skip


def incomplete_lines() -> pd.DataFrame:
    """Lines of which about a third of the cells are blank."""
    rng = np.random.default_rng(SEED)
    lines = {name: np.full(LINES, "", dtype=object) for name in COLUMNS}
    for name, choices in CHOICES.items():
        drawn = rng.choice(np.array(choices, dtype=object), LINES)
        lines[name] = np.where(rng.random(LINES) < 0.35, "", drawn)
    lines["line"] = np.array([f"L{n}" for n in range(LINES)], dtype=object)
    return pd.DataFrame(lines)


@pytest.fixture(scope="module")
def lines() -> pd.DataFrame:
    return incomplete_lines()


@pytest.fixture(scope="module")
def asked(lines: pd.DataFrame) -> QuestionList:
    return questions(lines)


def priced(rows: list[dict[str, str]]) -> list[list[Message]]:
    """Messages of each line."""
    said = mc.estimate_list(pd.DataFrame(rows, columns=list(COLUMNS), dtype=object)).messages
    return [said.get(n, []) for n in range(len(rows))]


def cells(lines: pd.DataFrame, row: int) -> dict[str, str]:
    return {str(name): str(cell) for name, cell in lines.iloc[row].items()}


def test_every_usual_answer_is_accepted_where_it_is_put_in(
    lines: pd.DataFrame, asked: QuestionList
) -> None:
    """Alone it is not refused by its field; with all the others, nothing is said against it."""
    alone, together = [], []
    for row, found in enumerate(asked.lines):
        offered = {q.field: q.answer for q in found if q.answer}
        alone += [(f, cells(lines, row) | {f: a}) for f, a in offered.items()]
        together.append((offered, cells(lines, row) | offered))
    assert len(alone) > LINES
    for (field, line), said in zip(alone, priced([line for _, line in alone]), strict=True):
        assert not [str(m) for m in said if m.field == field and m.severity == "refused"], line
    messages = priced([line for _, line in together])
    for (offered, line), said in zip(together, messages, strict=True):
        against = [m for m in said if m.field in offered and m.severity == "refused"]
        assert not [str(m) for m in against], line


def statements(found: tuple[Question, ...]) -> list[Question]:
    """Questions that say something of what was written."""
    return [q for q in found if q.needed and ('reads "' in q.ask or 'read "' in q.ask)]


def test_every_statement_is_the_estimates_whatever_the_rest_is(
    lines: pd.DataFrame, asked: QuestionList
) -> None:
    held = []
    for row, found in enumerate(asked.lines):
        open_fields = {q.field for q in found if q.needed} - {q.field for q in statements(found)}
        for question in statements(found):
            line = cells(lines, row)
            for answers in ANSWERS:
                rest = {f: a for f, a in answers.items() if f in open_fields and not line[f]}
                held.append((question, line | rest))
    assert len(held) > LINES
    for (question, line), said in zip(held, priced([line for _, line in held]), strict=True):
        refused = [m for m in said if m.field == question.field and m.severity == "refused"]
        assert refused, (question.ask, line, [str(m) for m in said])
        assert line[question.field] in question.ask


def test_every_line_without_a_price_is_asked_something_needed(
    lines: pd.DataFrame, asked: QuestionList
) -> None:
    table = mc.estimate_table(lines)
    for row, status in enumerate(table["status"]):
        needed = [q for q in asked.lines[row] if q.needed]
        assert bool(needed) == (status == "refused"), (cells(lines, row), table["messages"][row])


def ask(**line: str) -> tuple[Question, ...]:
    """Questions of one line."""
    (found,) = questions(pd.DataFrame([dict.fromkeys(COLUMNS, "") | line])).lines
    return found


STRIP = {
    "mesh_count": "10 / in", "wire_diameter": "0.025 in", "weave": "plain", "alloy": "304",
    "form": "strip", "width": "50 mm", "length": "10 m", "quantity": "12", "services": "none",
    "note": "certificate 3.1, deliver in week 50",
}  # fmt: skip


def test_a_blank_quantity_says_nothing_of_the_width() -> None:
    """It said that 50 mm is wider than the widest cloth."""
    assert [q.field for q in ask(**STRIP | {"quantity": ""})] == ["quantity"]


def test_what_is_hopeless_whatever_the_rest_is_is_pointed_out() -> None:
    """3 m is wider than any stock cloth, of whatever mesh; 2 mm is less than a mesh or not."""
    wide = ask(**STRIP | {"width": "3000 mm", "mesh_count": "", "wire_diameter": ""})
    assert any(q.field == "width" and "wider than the widest cloth" in q.ask for q in wide)
    narrow = ask(**STRIP | {"width": "2 mm", "mesh_count": "", "wire_diameter": ""})
    assert "width" not in [q.field for q in narrow]
    coarse = ask(**STRIP | {"width": "2 mm", "wire_diameter": ""})
    assert any(q.field == "width" for q in coarse)


def test_the_likely_few_of_a_general_name_are_named() -> None:
    """It listed 26 stainless steels."""
    (question,) = ask(**STRIP | {"alloy": "stainless"})
    assert question.ask == (
        'The alloy reads "stainless": 304, 316L, 316, 304L, or one of 31 others?'
    )


def test_the_weave_follows_what_the_note_says() -> None:
    note = STRIP["note"]
    screen = STRIP | {"weave": "", "aperture": "10 mm", "mesh_count": "", "wire_diameter": "3 mm"}
    (question,) = ask(**screen | {"note": f"{note}, for a vibrating screen"})
    assert question.answer == "double crimp"
    assert "the note speaks of vibrating screen" in question.usual
    (question,) = ask(**STRIP | {"weave": ""})
    assert question.answer == "plain"


def test_no_alloy_is_offered_for_a_service_that_the_note_speaks_of() -> None:
    note = STRIP["note"]
    (question,) = ask(**STRIP | {"alloy": "", "note": f"{note}, hot brine"})
    assert question.usual == question.answer == ""
    assert "hot brine" in question.ask
    (question,) = ask(**STRIP | {"alloy": ""})
    assert question.answer == "304"
    assert "corrosion review" in question.usual


def test_a_stock_width_is_offered_only_where_the_cloth_is_woven_so_wide() -> None:
    """Heavy wire is woven to 48 in, not to 72 in (common practice, no source)."""
    roll = STRIP | {"form": "roll", "width": ""}
    (fine,) = ask(**roll)
    (finest,) = ask(**roll | {"mesh_count": "400 / in", "wire_diameter": "0.001 in"})
    assert "72 in" in fine.usual
    assert fine.usual != finest.usual


def test_a_size_that_two_others_leave_open_is_asked() -> None:
    line = STRIP | {"mesh_count": "", "wire_diameter": "", "pitch": "1 mm", "aperture": "0.9 mm"}
    (question,) = ask(**line)
    assert question.field == "wire_diameter"
    assert question.ask.startswith('Which wire diameter? Pitch "1 mm" with aperture')


def test_a_count_and_a_pitch_that_differ_are_said_without_a_made_up_wire() -> None:
    line = STRIP | {"mesh_count": "30 mesh", "pitch": "1 mm", "wire_diameter": ""}
    pitch, wire = ask(**line)
    assert wire.field == "wire_diameter"
    assert 'at odds with mesh count "30 mesh", which is a pitch of 0.8467 mm' in pitch.ask
    assert "wire" not in pitch.ask


def test_what_is_hopeless_in_every_reading_is_pointed_out_with_what_mends_it() -> None:
    """8 gauge is 3.3 to 4.2 mm in all systems (their tables), which leaves no 1 mm opening."""
    cloth = {"mesh_count": "", "aperture": "1 mm", "wire_diameter": "8 ga", "width": "300 mm"}
    (question,) = ask(**STRIP | cloth)
    assert question.field == "wire_diameter"
    assert "Whichever is meant, the line cannot be made: with 3.264 mm" in question.ask
    assert "take a lighter wire or a larger aperture" in question.ask


def test_the_one_reading_that_stands_is_named() -> None:
    """Of 16 gauge only the American fits 10 mesh: 1.291 mm of a pitch of 2.54 mm."""
    (question,) = ask(**STRIP | {"wire_diameter": "16 ga"})
    assert question.ask.endswith("Only 1.291 mm can stand with the rest of the line.")


def test_readings_that_can_all_stand_are_only_asked() -> None:
    cloth = {"mesh_count": "", "aperture": "2 in", "wire_diameter": "8 ga", "width": "600 mm"}
    (question,) = ask(**STRIP | cloth)
    assert "Whichever" not in question.ask
    assert "Only" not in question.ask


def test_a_line_whose_doubtful_cell_stands_with_none_of_its_rest_says_what_is_against_it() -> None:
    """A strip of 3 mm holds 1.2 meshes of 10 mesh, in whatever unit its wire is."""
    asked = ask(**STRIP | {"width": "3 mm", "wire_diameter": "0.63", "alloy": ""})
    (wire,) = [question for question in asked if question.field == "wire_diameter"]
    assert 'with 0.63 mm, the width "3 mm": ' in wire.ask
