"""Family files: what they share, what they work out, and what they say of a slip of the pen."""

from __future__ import annotations

from pathlib import Path

import pytest

from meshcore.alloys.reading import read_family
from meshcore.alloys.records.checking import check_alloy

GOOD = """
family = "test metal"
words_before = ["TM"]
words_after = ["wire"]
general_names = ["metal"]
[shared]
density_kg_m3 = 8000
modulus_gpa = 200
max_air_temperature_c = 400
magnetic = true
finest_wire_mm = 0.1
balance = "Fe"
[shared.services]
weld = ["good", "because"]
form = ["good", "because"]
anneal = ["good", "because"]
coat = ["good", "because"]
[shared.sources]
density_kg_m3 = "from memory"
modulus_gpa = "from memory"
max_air_temperature_c = "from memory"
composition_pct = "from memory"
tensile_mpa = "from memory"
finest_wire_mm = "from memory"
[[alloy]]
designation = "X1"
trade_numbers = ["7"]
aliases = ["other"]
composition_pct = { Cr = [10, 12], C = [0, 1] }
tensile_mpa = [300, 400]
[alloy.services]
weld = ["no", "cracks"]
"""


def written(tmp_path: Path, text: str) -> Path:
    file = tmp_path / "family.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_shared_fields_and_what_is_worked_out(tmp_path: Path) -> None:
    (alloy,) = read_family(written(tmp_path, GOOD))
    assert check_alloy(alloy) == ""
    assert alloy.family == "test metal"
    assert alloy.composition_pct["Fe"] == (87.0, 90.0)
    assert alloy.aliases == ("other", "TM 7", "7 wire")
    assert alloy.general_names == ("metal",)
    assert (alloy.services["weld"].level, alloy.services["form"].level) == ("no", "good")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('family = "test metal"', "family = ", "not readable as TOML"),
        ('family = "test metal"', 'family = ""', "gives `family`"),
        ('words_after = ["wire"]', 'worlds = ["x"]', "unknown field worlds"),
        ("tensile_mpa = [300, 400]", "tensile_mpa = [300]", "a range is written"),
        ("tensile_mpa = [300, 400]", "tensile = [300, 400]", "unknown field tensile"),
        ("tensile_mpa = [300, 400]", "", "tensile_mpa is missing"),
        ("density_kg_m3 = 8000", 'density_kg_m3 = "heavy"', "could not convert"),
        ('weld = ["no", "cracks"]', 'weld = ["never", "cracks"]', "a rating is written"),
        ('designation = "X1"', "", "designation is missing"),
    ],
)
def test_a_slip_is_named_with_its_file(tmp_path: Path, old: str, new: str, said: str) -> None:
    with pytest.raises(ValueError, match=r"family\.toml") as caught:
        read_family(written(tmp_path, GOOD.replace(old, new)))
    assert said in str(caught.value)
