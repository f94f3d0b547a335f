"""``python -m meshcore letter``."""

from __future__ import annotations

import io
import shlex
import sys
from pathlib import Path

import pandas as pd
import pytest
from openpyxl import load_workbook

from meshcore.cli import main
from meshcore.commands.letter import _write
from meshcore.demo import demo_data

INBOX = demo_data() / "inbox"


def test_prices_a_choice_both_ways_and_asks(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["letter", str(INBOX / "09-confiturerie.txt"), "--price", "--ask"]) == 0
    out = capsys.readouterr().out
    assert "3a:" in out
    assert "3b:" in out
    assert 'Line 3: You wrote "304 or 316": which of them?' in out
    assert "item 3" not in out


@pytest.mark.parametrize("name", ["lines.csv", "lines.xlsx"])
def test_writes_the_lines_as_a_list(tmp_path: Path, name: str) -> None:
    output = tmp_path / name
    assert main(["letter", str(INBOX / "01-cider.txt"), "-o", str(output)]) == 0
    read = pd.read_csv(output) if name.endswith("csv") else pd.read_excel(output, engine="openpyxl")
    assert len(read) == 3
    assert main(["price", str(output), "-o", str(tmp_path / "priced.csv")]) == 0


@pytest.mark.parametrize("name", ["lines.csv", "lines.xlsx"])
def test_no_cell_of_the_lines_opens_as_a_formula(tmp_path: Path, name: str) -> None:
    cell = '=HYPERLINK("http://mill.example")'
    lines = pd.DataFrame({"line": [1], "mesh_count": ["10 / in"], "note": [cell]})
    output = tmp_path / name
    _write(lines, output)
    if name.endswith("csv"):
        assert pd.read_csv(output)["note"].tolist() == ["'" + cell]
        return
    [[_, _, written]] = load_workbook(output)["Sheet1"].iter_rows(min_row=2)
    assert (written.value, written.data_type) == (cell, "s")


def test_writes_the_lines_priced(tmp_path: Path) -> None:
    output = tmp_path / "priced.csv"
    assert main(["letter", str(INBOX / "03-smoked-tea.eml"), "--price", "-o", str(output)]) == 0
    assert (pd.read_csv(output)["price"] > 0).sum() == 3


def test_reads_standard_input(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = io.TextIOWrapper(io.BytesIO(b"2 rolls 10 mesh 0.5 mm wire 304 1 m x 30 m"))
    monkeypatch.setattr(sys, "stdin", text)
    assert main(["letter", "-"]) == 0
    assert "1 line read" in capsys.readouterr().out


@pytest.mark.parametrize("name", ["missing.txt", "letter.xyz"])
def test_what_cannot_be_read_is_one_line(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["letter", name]) == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 1


def test_a_letter_without_a_line_is_told_by_the_exit_code(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "note.txt"
    path.write_text("Thank you for the calendar.\n", "utf-8")
    assert main(["letter", str(path)]) == 2
    shown = capsys.readouterr()
    assert "No line was read" in shown.out
    assert "no line was read" in shown.err


def test_a_letter_that_states_a_use_and_no_cloth_leads_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    letter = tmp_path / "letter.txt"
    letter.write_text("Good day,\n\nour vibrating screen needs cloth. It cuts at 6 mm, wet.\n\nBye")
    main(["letter", str(letter), "--demo"])
    command = next(line for line in capsys.readouterr().out.splitlines() if "specify" in line)
    assert main([*shlex.split(command)[3:], "--count", "1"]) == 0
    assert "7.1 mm × 1.6 mm" in capsys.readouterr().out
    letter.write_text("Two rolls 10 mesh 0.025 in wire, 304, 48 in x 100 ft, for a filter 0.1 mm")
    main(["letter", str(letter), "--demo"])
    assert "specify" not in capsys.readouterr().out


def test_the_way_to_a_use_keeps_what_the_letter_orders(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    letter = tmp_path / "letter.txt"
    letter.write_text(
        "Dear Sirs,\n\nit is for a vibrating screen, cutting at 6 mm. We need 3 rolls 1.2 m wide "
        "and 30 m long, in 304.\n\nRegards"
    )
    main(["letter", str(letter), "--demo"])
    command = next(line for line in capsys.readouterr().out.splitlines() if "specify" in line)
    words = shlex.split(command)
    for option, text in (("--roll", "1.2 m x 30 m"), ("--quantity", "3"), ("--alloy", "304")):
        assert words[words.index(option) + 1] == text
    assert main([*words[3:], "--count", "1"]) == 0
    assert "priced in 304, each for form roll, width 1.2 m" in capsys.readouterr().out
