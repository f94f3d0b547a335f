"""Models against glTF 2.0 by the validator of the Khronos Group (npm, Apache-2.0): nothing to say.

It reads every number of the file: bounds against corners, normals of length one, triangles within
their corners, chunks and alignment. What it cannot know, the meaning, is checked beside it.
"""

from __future__ import annotations

import json
import struct
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from solid_cloths import CLOTHS

from meshcore.enquiry import WEAVES
from meshcore.weave.solids.cloth_solid import COARSE, FINE, ClothSolid, cloth_solids
from meshcore.weave.solids.gltf import glb_bytes

#: One cloth of each weave, of the random ones.
OF_EACH = CLOTHS[: len(WEAVES)]
VALIDATE = """
const validator = require(process.argv[1]);
const fs = require('fs');
(async () => {
  for (const name of process.argv.slice(2)) {
    const told = await validator.validateBytes(new Uint8Array(fs.readFileSync(name)));
    console.log(JSON.stringify({issues: told.issues, info: told.info}));
  }
})();
"""


def solid_of(weave: int, wire: float, pitch: float) -> ClothSolid:
    [solid] = cloth_solids(np.array([weave]), np.array([wire]), np.array([pitch]))
    return solid


def document(data: bytes) -> dict[str, Any]:
    length, kind = struct.unpack("<II", data[12:20])
    assert kind == 0x4E4F534A
    told: dict[str, Any] = json.loads(data[20 : 20 + length])
    return told


def test_the_validator_has_nothing_to_say(
    tmp_path: Path, node_path: Path, gltf_validator_path: Path
) -> None:
    paths = []
    for (number, weave, wire, pitch), facets in zip(
        [*OF_EACH, *OF_EACH], [FINE] * len(OF_EACH) + [COARSE] * len(OF_EACH), strict=True
    ):
        [solid] = cloth_solids(np.array([weave]), np.array([wire]), np.array([pitch]), 6, facets)
        paths.append(tmp_path / f"{number}-{facets.sides}.glb")
        paths[-1].write_bytes(glb_bytes(solid))
    run = subprocess.run(
        [node_path, "-e", VALIDATE, gltf_validator_path, *paths],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    told = [json.loads(line) for line in run.stdout.splitlines()]
    assert len(told) == len(paths)
    for one in told:
        assert one["issues"]["messages"] == []
        assert one["info"]["materialCount"] == 2
        assert one["info"]["totalTriangleCount"] > 100


def test_a_broken_file_is_not_passed(
    tmp_path: Path, node_path: Path, gltf_validator_path: Path
) -> None:
    data = bytearray(glb_bytes(solid_of(*OF_EACH[0][1:])))
    # One coordinate of the binary chunk outside the bounds that the file tells.
    length = struct.unpack("<I", data[12:16])[0]
    data[28 + length : 32 + length] = struct.pack("<f", 1e3)
    (tmp_path / "broken.glb").write_bytes(data)
    run = subprocess.run(
        [node_path, "-e", VALIDATE, gltf_validator_path, tmp_path / "broken.glb"],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert json.loads(run.stdout)["issues"]["numErrors"] > 0


@pytest.mark.parametrize(("number", "weave", "wire", "pitch"), OF_EACH)
def test_warp_and_shute_are_two_objects_of_two_colours(
    number: int, weave: int, wire: float, pitch: float
) -> None:
    solid = solid_of(weave, wire, pitch)
    told = document(glb_bytes(solid))
    nodes = told["nodes"]
    root = nodes[told["scenes"][told["scene"]]["nodes"][0]]
    sets = [nodes[child] for child in root["children"]]
    assert [one["name"] for one in sets] == ["warp", "shute"], number
    for place, one in enumerate(sets):
        wires = [nodes[child] for child in one["children"]]
        assert len(wires) == solid.pitches
        materials = {
            primitive["material"]
            for each in wires
            for primitive in told["meshes"][each["mesh"]]["primitives"]
        }
        assert materials == {place}
    colours = [m["pbrMetallicRoughness"]["baseColorFactor"] for m in told["materials"]]
    assert colours[0] != colours[1]
    assert root["extras"]["wire_diameter_m"] == wire


def test_the_same_cloth_gives_the_same_file() -> None:
    for _, *sizes in OF_EACH:
        assert glb_bytes(solid_of(*sizes)) == glb_bytes(solid_of(*sizes))  # type: ignore[arg-type]
