"""Descriptions in one cell, each with what it says or what must be asked about it.

Written by hand apart from the reader, from the trade's habits (common practice, no source).
"""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from list_truths import Score, judge, read_table

CORPUS = Path(__file__).parent.parent / "data" / "reading" / "descriptions.csv"
#: What this corpus calls a field → what the truths of the lists call it.
NAMES = {"wire_mm": "wire_diameter_mm"}


#: Where the note beside a text accepts a reading that its truth would have asked about.
ACCEPTED: dict[str, dict[str, Any]] = {
    "3 rollos malla 60 inox 304 alambre 0,16 ancho 1 m largo 30 m": {"mesh_count_per_in": 60},
    'copper mesh 16x16 0.011 30" 25ft': {"wire_diameter_mm": 0.2794},
}


def described() -> list[tuple[str, dict[str, Any]]]:
    """Texts with their truths; what a note accepts besides may be asked too."""
    with CORPUS.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return [(row["text"], _line(row["text"], json.loads(row["meaning"]))) for row in rows]


def _line(text: str, meaning: dict[str, Any]) -> dict[str, Any]:
    line = {NAMES.get(name, name): value for name, value in meaning.items()}
    for kind in ("asked", "may_be_asked"):
        line[kind] = [NAMES.get(name, name) for name in meaning.get(kind, [])]
    accepted = ACCEPTED.get(text, {})
    line["asked"] = [name for name in line["asked"] if name not in accepted]
    return line | accepted | {"file_row": 2}


def score_of(text: str, line: dict[str, Any]) -> Score:
    """Hold one description against its truth."""
    table = pd.DataFrame({"Description": [text]}, index=pd.Index([2], name="file row"))
    score = Score()
    judge(read_table(table), line, score, text)
    return score


@pytest.mark.parametrize(("text", "line"), described(), ids=[text for text, _ in described()])
def test_no_description_is_wrong_in_silence(text: str, line: dict[str, Any]) -> None:
    assert score_of(text, line).wrong == []


def test_what_descriptions_say_clearly_is_read() -> None:
    scores = [score_of(text, line) for text, line in described()]
    right = sum(score.right for score in scores)
    asked = [text for score in scores for text in score.asked]
    assert right / (right + len(asked)) >= 0.97, "\n".join(asked)
