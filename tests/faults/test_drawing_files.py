"""Which drawings a list may name: those of its own folder, and no links, pipes or devices."""

from __future__ import annotations

import os
from pathlib import Path

import pandas as pd
import pytest

import meshcore as mc
from meshcore.cli import main
from meshcore.supply.drawing.nest_dxf import shapes_dxf
from meshcore.supply.shapes.drawing_files import DRAWINGS_VARIABLE, drawings_below
from meshcore.supply.shapes.outlines import rectangle

HEADINGS = "mesh_count,wire_diameter,alloy,form,shape,dimensions,quantity\n"


@pytest.fixture
def folders(tmp_path: Path) -> Path:
    """A folder with a list's own drawings, and one beside it with others."""
    own, other = tmp_path / "own", tmp_path / "other"
    for folder in (own, own / "below", other):
        folder.mkdir()
        (folder / "plate.dxf").write_bytes(shapes_dxf([rectangle(0.3, 0.2)]))
    (own / "link.dxf").symlink_to(other / "plate.dxf")
    (own / "folder").symlink_to(other)
    os.mkfifo(own / "pipe.dxf")
    (own / "zero.dxf").symlink_to("/dev/zero")
    return own


def status(cell: str) -> tuple[str, str]:
    line = {"mesh_count": "10/in", "wire_diameter": "0.025 in", "alloy": "304", "form": "piece",
            "shape": "dxf", "dimensions": cell, "quantity": "1"}  # fmt: skip
    priced = mc.estimate_table(pd.DataFrame([line])).iloc[0]
    return str(priced["status"]), str(priced["messages"])


@pytest.mark.parametrize("cell", ["plate.dxf", "below/plate.dxf", "file ./plate.dxf, unit mm"])
def test_drawings_of_the_own_folder_are_read(folders: Path, cell: str) -> None:
    with drawings_below(folders):
        assert status(cell)[0] != "refused"


@pytest.mark.parametrize(
    "cell",
    ["../other/plate.dxf", "{other}/plate.dxf", "link.dxf", "folder/plate.dxf", "zero.dxf",
     "below/../../other/plate.dxf"],
)  # fmt: skip
def test_others_are_not(folders: Path, cell: str) -> None:
    with drawings_below(folders):
        found, said = status(cell.replace("{other}", str(folders.parent / "other")))
    assert found == "refused"
    assert "in its own folder" in said


def test_a_pipe_is_not_waited_for(folders: Path) -> None:
    for allowed in (True, False):
        if allowed:
            assert "no plain file" in status(str(folders / "pipe.dxf"))[1]
        else:
            with drawings_below(folders):
                assert "no plain file" in status("pipe.dxf")[1]


def test_a_server_reads_below_its_own_folder_alone(
    folders: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(DRAWINGS_VARIABLE, str(folders))
    assert status("plate.dxf")[0] != "refused"
    assert "in its own folder" in status(str(folders.parent / "other" / "plate.dxf"))[1]


def test_the_command_reads_below_the_folder_of_the_list(
    folders: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    line = "10/in,0.025 in,304,piece,dxf,{},1\n"
    asked = folders / "list.csv"
    asked.write_text(HEADINGS + line.format("plate.dxf") + line.format("../other/plate.dxf"))
    assert main(["price", str(asked), "-o", str(folders / "out.csv")]) == 0
    priced = pd.read_csv(folders / "out.csv")
    assert priced["status"].tolist()[1] == "refused"
    assert priced["status"].tolist()[0] != "refused"
    assert "1 of 2 lines refused" in capsys.readouterr().err
