"""A line's cloth as a solid: what is made, what is told, and what is refused with why."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import meshcore as mc
from meshcore import cli
from meshcore.enquiry import WEAVES
from meshcore.weave.solids import step
from meshcore.weave.solids.cloth_solid import MOST_PITCHES, cloth_solids
from meshcore.weave.solids.files import write_solid
from meshcore.weave.solids.sweep import swept

GOOD = (
    "model",
    "--mesh-count",
    "10/in",
    "--wire",
    "0.635 mm",
    "--weave",
    "plain",
    "--alloy",
    "304",
)


def cloth(weave: str = "", wire_diameter: str = "0.635 mm", alloy: str = "304") -> mc.Enquiry:
    return mc.Enquiry(mesh_count="10 / in", wire_diameter=wire_diameter, weave=weave, alloy=alloy)


def test_a_list_gives_a_model_or_a_reason_for_each_line() -> None:
    asked = [cloth(weave="plain"), cloth(weave="plain", wire_diameter="2 mm"),
             cloth(wire_diameter=""), cloth(weave="twilled", alloy="")]  # fmt: skip
    models = mc.cloth_models(mc.estimate_list(asked))
    assert [model.line for model in models] == [0, 1, 2, 3]
    assert [model.solid is None for model in models] == [False, True, True, False]
    jammed, unknown = models[1].message, models[2].message
    assert jammed is not None
    assert jammed.code == "model.cloth_refused"
    assert "the cloth is refused: geometric jam: 0.7874 wire/pitch" in jammed.text
    assert unknown is not None
    assert "one more size is needed" in unknown.text
    # The fourth has no alloy: a shape without a mass.
    assert models[3].solid is not None
    assert models[3].solid.pitches == 8
    assert "kg/m²" not in models[3].text()
    assert "volume" in models[3].text()


def test_one_line_of_a_list_is_its_own_model() -> None:
    two = mc.estimate_list([cloth(weave="plain"), cloth(weave="lock crimp")])
    [model] = mc.cloth_models(two[1])
    assert model.line == 1
    assert model.solid is not None
    assert WEAVES[model.solid.weave] == "lock crimp"


def test_the_mass_is_that_of_the_path_also_where_the_price_is_not() -> None:
    flat = mc.estimate_list([cloth(weave="plain")], path_model="flat")
    [model] = mc.cloth_models(flat)
    assert model.solid is not None
    assert model.mass_kg_m2 == pytest.approx(2.0410, abs=5e-5)
    assert model.solid.mass_per_area(model.density_kg_m3) == pytest.approx(2.0410, rel=2e-3)


def test_pieces_are_whole_repeats() -> None:
    sizes = (np.array([0.3e-3]), np.array([1e-3]))
    for weave, asked, made in ((0, 5, 6), (1, 5, 8), (1, 8, 8), (6, 5, 5)):
        [solid] = cloth_solids(np.array([weave]), *sizes, pitches=asked)
        assert solid.pitches == made


@pytest.mark.parametrize("pitches", [0, MOST_PITCHES + 1])
def test_a_piece_of_no_size_is_misuse(pitches: int) -> None:
    with pytest.raises(ValueError, match="a piece has 1 to"):
        cloth_solids(np.array([0]), np.array([1e-3]), np.array([3e-3]), pitches)


def test_misuse_of_a_sweep_is_told() -> None:
    with pytest.raises(ValueError, match="multiple of it, got 6"):
        swept(np.array([0.0, 1.0]), np.zeros(2), 0.1, 6)
    with pytest.raises(ValueError, match="two points or more, got 1"):
        swept(np.zeros(1), np.zeros(1), 0.1, 8)
    with pytest.raises(ValueError, match="weave must index"):
        cloth_solids(np.array([7]), np.array([1e-3]), np.array([3e-3]))


def test_the_command_writes_what_it_says(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "cloth.stl"
    assert cli.main([*GOOD, "-o", str(target), "--part", "warp", "--pitches", "4"]) == 0
    told = capsys.readouterr().out
    assert "4 × 4 wires on 10.16 mm × 10.16 mm" in told
    assert "2.041 kg/m² at 7930 kg/m³; reckoned 2.041 kg/m²" in told
    assert told.endswith("cloth.stl: STL, mm, warp alone, volume 13.283 mm³\n")
    whole = tmp_path / "whole.stl"
    assert cli.main([*GOOD, "-o", str(whole), "--pitches", "4"]) == 0
    assert (whole.stat().st_size - 84) == 2 * (target.stat().st_size - 84)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((*GOOD, "-o", "cloth.obj"), "a model's name ends in .glb, .stl, .step."),
        ((*GOOD, "-o", "cloth.glb", "--part", "warp"), "only .stl is written in parts"),
        ((*GOOD, "-o", "missing/cloth.glb"), "cannot be written"),
        ((*GOOD, "--pitches", "61"), "--pitches: a piece has 1 to 60 pitches, got 61"),
        (("model", "--mesh-count", "10/in", "--wire", "2 mm", "--weave", "plain"),
         "no model, since the cloth is refused: geometric jam"),
        (("model",), "no model, since the"),
    ],
)  # fmt: skip
def test_what_cannot_be_made_is_told_in_one_line(
    words: tuple[str, ...], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    assert cli.main(list(words)) == cli.COULD_NOT
    error = capsys.readouterr().err
    assert told in error
    assert error.count("\n") == 1


def test_without_the_kernel_step_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("meshcore.weave.solids.files.has_kernel", lambda: False)
    assert cli.main([*GOOD, "-o", str(tmp_path / "cloth.step")]) == cli.COULD_NOT
    assert step.EXTRA in capsys.readouterr().err


def test_step_needs_no_more_than_its_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pytest.importorskip("OCP", reason=f"needs the kernel: {step.EXTRA}")
    target = tmp_path / "cloth.step"
    assert cli.main([*GOOD, "-o", str(target), "--pitches", "2"]) == 0
    # The kernel would tell its progress between the answer's lines.
    assert len(capsys.readouterr().out.splitlines()) == 5
    assert target.read_bytes().startswith(b"ISO-10303-21;")


def test_a_model_is_refused_for_what_the_estimate_is_refused_for() -> None:
    """Open to 0.1 % it is no cloth, though no weave rule speaks of welded screens so heavy."""
    line = mc.estimate(mc.Enquiry(aperture="1 mm", wire_diameter="25 mm", weave="welded",
                                  alloy="carbon steel"))  # fmt: skip
    refused = next(one for one in line.messages if one.field == "open_area")
    assert refused.severity == "refused"
    [model] = mc.cloth_models(line)
    assert model.solid is None
    assert model.message is not None
    assert refused.text in model.message.text


def test_a_solid_is_written_to_a_path_given_as_text(tmp_path: Path) -> None:
    [model] = mc.cloth_models(mc.estimate(cloth(weave="plain")))
    assert model.solid is not None
    written = str(tmp_path / "cloth.stl")
    assert "STL" in write_solid(model.solid, written)
    assert Path(written).stat().st_size > 1000


def test_a_part_tells_its_own_volume(tmp_path: Path) -> None:
    """Warp and shute of a square plain cloth are alike, so either is half of the whole."""
    [solid] = cloth_solids(np.array([0]), np.array([0.635e-3]), np.array([2.54e-3]), 4)
    told = write_solid(solid, tmp_path / "warp.stl", ("warp",))
    assert "warp alone" in told
    volume = float(told.split("volume ")[1].split()[0])
    assert volume == pytest.approx(solid.volume_m3 * 1e9 / 2, rel=1e-4)
