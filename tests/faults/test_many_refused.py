"""Refusals of a long list on the terminal: a hundred by name, the rest counted."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from meshcore.cli import main


def test_the_further_refusals_are_counted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = tmp_path / "list.csv"
    rows = ["10/in,16 ga,304,roll,48 in,100 ft,1"] * 130 + ["10/in,1 mm,,roll,48 in,100 ft,1"] * 20
    asked.write_text(
        "mesh_count,wire_diameter,alloy,form,width,length,quantity\n" + "\n".join(rows)
    )
    assert main(["price", str(asked), "-o", str(tmp_path / "out.csv")]) == 0
    told = capsys.readouterr().err
    assert "150 of 150 lines refused" in told
    assert len(re.findall(r"^  row ", told, re.MULTILINE)) == 100
    assert "and 50 more, each with its reasons in the file written" in told
    assert "30 × wire_diameter" in told
    assert "20 × alloy, alloy.missing" in told
    assert len(told.splitlines()) < 120
