"""STEP files as Open CASCADE reads them back: valid bodies, of the closed form's volume.

The kernel builds cylinders and tori and integrates their volume by itself, so it has neither facets
nor the library's formula in common: the two agree to the accuracy of its integration, 10⁻⁷.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from solid_cloths import CLOTHS

from meshcore.enquiry import WEAVES
from meshcore.weave.geometry.path import cloth_path
from meshcore.weave.solids.cloth_solid import cloth_solids
from meshcore.weave.solids.step import step_bytes

pytest.importorskip("OCP", reason='needs the kernel: pip install "wirecloth-meshcore[step]"')


def read_back(path: Path) -> Any:
    from OCP.STEPControl import STEPControl_Reader  # noqa: PLC0415 - where the kernel is

    reader = STEPControl_Reader()
    reader.ReadFile(str(path))
    reader.TransferRoots()
    return reader.OneShape()


@pytest.mark.parametrize(("number", "weave", "wire", "pitch"), CLOTHS[: len(WEAVES)])
def test_bodies_are_valid_and_of_the_closed_forms_volume(
    number: int, weave: int, wire: float, pitch: float, tmp_path: Path
) -> None:
    from OCP.BRepCheck import BRepCheck_Analyzer  # noqa: PLC0415 - where the kernel is
    from OCP.BRepGProp import BRepGProp  # noqa: PLC0415
    from OCP.GProp import GProp_GProps  # noqa: PLC0415

    sizes = (np.array([weave]), np.array([wire]), np.array([pitch]))
    [solid] = cloth_solids(*sizes, pitches=2)
    path = tmp_path / f"{number}.step"
    path.write_bytes(step_bytes(solid))
    shape = read_back(path)
    assert BRepCheck_Analyzer(shape).IsValid()
    volume = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, volume)
    length = 2 * solid.pitches * solid.side_m * cloth_path(*sizes).path_ratio[0]
    assert volume.Mass() * 1e-9 == pytest.approx(np.pi / 4 * wire**2 * length, rel=1e-7)
    text = path.read_text("ascii")
    assert "'warp'" in text
    assert "'shute'" in text
    assert "1970-01-01" in text, "the moment of writing would make each file another one"
