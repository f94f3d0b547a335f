"""Files of lengths delivered, headed as people head them, and what a refusal of one tells."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pandas as pd
import pytest

from meshcore.register.delivery_files import is_delivery_file, read_deliveries
from meshcore.register.errors import RecordsError


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
def test_lengths_from_a_file(tmp_path: Path, suffix: str) -> None:
    table = pd.DataFrame({"Label": ["R1", "R2"], "Length [ft]": ["98", "101.5"],
                          "Heat": ["H7", ""]})  # fmt: skip
    path = tmp_path / f"lengths{suffix}"
    if suffix == ".csv":
        table.to_csv(path, index=False)
    else:
        table.to_excel(path, index=False)
    found = read_deliveries(path)
    assert [(one.label, round(one.length_m, 4), one.heat) for one in found] == [
        ("R1", 29.8704, "H7"), ("R2", 30.9372, ""),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ("Lieferung vom 3. Dezember\n\nRollennummer;Ist-Länge (m);Schmelzennummer\nR1;30,5;H7\n",
         [("R1", 30.5, 0, "H7")]),
        # The length ordered and the day of delivery are not what came.
        ("Roll no,Ordered length [ft],Delivered length [ft],Delivered on,Batch\n"
         "R1,100,98,2026-12-01,H7\n", [("R1", 29.8704, 0, "H7")]),
        ("Étiquette;Longueur livrée (m);Coulée\nR1;30,48;A\n", [("R1", 30.48, 0, "A")]),
        ("Etiqueta;Cantidad;Colada\nR3;40;7\n", [("R3", 0.0, 40, "7")]),
        ("Line,Label,Length m,Remarks\n1,R1,30.1,ok\n2,R2,,not cut\n", [("R1", 30.1, 0, "")]),
        ("Number,Length\nR1,98 ft\n", [("R1", 29.8704, 0, "")]),
        ("Label\tLength\tPieces\nR1\t98 ft\t\nR2\t\t12\n",
         [("R1", 29.8704, 0, ""), ("R2", 0.0, 12, "")]),
    ],
)  # fmt: skip
def test_columns_are_known_by_their_headings(
    content: str, expected: list[tuple[str, float, int, str]]
) -> None:
    found = read_deliveries(BytesIO(content.encode()), name="lengths.csv")
    assert [(one.label, round(one.length_m, 4), one.count, one.heat) for one in found] == expected


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("A,B\nR1,98 ft\n", ["A, B", "a column headed length", "label and heat"]),
        ("R1;98 ft\nR2;99 ft\n", ["R1, 98 ft", "a column headed length"]),
        ("", ["is empty", "a column headed length"]),
        ("Length one,Length two\n1 m,2 m\n", ['"Length one" and "Length two"', "Leave one"]),
        ("Label,Length\nR1,98 ft\nR2,ninety\n", ["row 3", "ninety"]),
        ("Label,Length\nR1,98 ft\nTotal,98 ft\n", ["row 3", "a sum"]),
    ],
)
def test_a_refusal_tells_what_the_file_needs(content: str, said: list[str]) -> None:
    with pytest.raises(RecordsError) as told:
        read_deliveries(BytesIO(content.encode()), name="lengths.csv")
    for words in ("lengths.csv" if content else "", *said):
        assert words in str(told.value)
    # Nothing of what an enquiry list needs.
    for words in ("mesh_count", "template", "mapping"):
        assert words not in str(told.value)


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(RecordsError, match=r"none\.csv: cannot be opened"):
        read_deliveries(tmp_path / "none.csv")
    assert is_delivery_file("none.CSV ")
    assert not is_delivery_file("30.5 m; 29.8")
