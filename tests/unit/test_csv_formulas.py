"""A csv file that is written holds no text that a spreadsheet would take for a formula."""

from __future__ import annotations

import csv
from pathlib import Path

import pandas as pd
import pytest

import meshcore as mc
from meshcore.lists.writing import without_formulas, write_list

EVIL = [
    '=HYPERLINK("http://mill.example","x")',
    "+1+1",
    "-2+3",
    "@SUM(A1)",
    "＝1+1",
    "＠x",
    " =1+1",
    "\u00a0+1+1",
    "plain",
]
#: Texts with a formula behind what another spreadsheet takes for the end of a cell.
WITHIN = {
    "a;=1+1": "a;'=1+1",
    "\t=1": "'\t'=1",
    "a\t=1+1": "a\t'=1+1",
    "a\n@SUM(A1)": "a\n'@SUM(A1)",
    'a; "=1+1': "a; \"'=1+1",
    "a;＝1": "a;'＝1",
    "a;-2+3": "a;'-2+3",
    "one; two": "one; two",
    "1; -2": "1; -2",
    "a; 10 = b": "a; 10 = b",
}


def test_no_cell_and_no_heading_opens_as_a_formula(tmp_path: Path) -> None:
    lines = pd.DataFrame(
        {
            "mesh_count": "10 / in",
            "wire_diameter": "0.025 in",
            "alloy": "304",
            "form": "roll",
            "width": "48 in",
            "length": "100 ft",
            "quantity": 1,
            "=cmd": EVIL,
            "offset": [-1.5, *[1.0] * (len(EVIL) - 1)],
        }
    )
    write_list(mc.estimate_list(lines), tmp_path / "priced.csv")
    with (tmp_path / "priced.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    assert [row[rows[0].index("'=cmd")] for row in rows[1:]] == [
        *(f"'{text}" for text in EVIL[:-1]),
        "plain",
    ]
    assert rows[1][rows[0].index("offset")] == "-1.5"
    cells = [cell for row in rows for cell in row if cell[:1] in ("=", "+", "@", "\t", "＝", "＠")]
    assert cells == []


@pytest.mark.parametrize("text", WITHIN)
def test_none_opens_as_a_formula_where_another_sign_parts_a_line(text: str) -> None:
    assert without_formulas(pd.DataFrame({"note": [text]}))["note"].tolist() == [WITHIN[text]]
