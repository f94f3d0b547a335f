"""Each entry of a capability table is looked at: none may be left out, be nothing or be zero."""

from __future__ import annotations

import re
import tomllib
from importlib import resources
from typing import Any

import pytest

from meshcore_weave_practice.capability import CapabilityError, parse_capability

_TEXT = resources.files("meshcore_weave_practice").joinpath("capability.toml").read_text("utf-8")
ENTRIES = [
    (section, key)
    for section, held in tomllib.loads(_TEXT).items()
    for key in held
    if section != "capability"
]
SIZES = [(section, key) for section, key in ENTRIES if key != "origin"]
#: Sections whose entries a mill may leave out: a weave that it does not make.
BY_WEAVE = ("most_wire_to_pitch", "least_wire_to_pitch", "finest_wire", "heaviest_wire",
            "least_wire_to_pitch_before_intermediate_crimp")  # fmt: skip


def wrong(section: str, key: str, entry: object) -> str:
    """What is said against the table with one entry changed, or taken away."""
    data: dict[str, Any] = tomllib.loads(_TEXT)
    data[section][key] = entry
    if entry is None:
        del data[section][key]
    with pytest.raises(CapabilityError) as caught:
        parse_capability(data, "mill.toml")
    return str(caught.value)


@pytest.mark.parametrize(("section", "key"), SIZES)
def test_zero_is_refused(section: str, key: str) -> None:
    was = tomllib.loads(_TEXT)[section][key]
    zero = re.sub(r"^[\d.]+", "0", str(was[0] if isinstance(was, list) else was))
    said = wrong(section, key, [zero, *was[1:]] if isinstance(was, list) else zero)
    assert f"{section}.{key}: read" in said
    assert "above zero" in said


@pytest.mark.parametrize(
    ("section", "key"), [e for e in ENTRIES if e[1] == "origin" or e[0] not in BY_WEAVE]
)
def test_what_is_needed_is_missed(section: str, key: str) -> None:
    assert f"{section}.{key}:" in wrong(section, key, None)


@pytest.mark.parametrize("key", ["wire_up_to", "width"])
def test_an_empty_list_is_refused(key: str) -> None:
    assert f"widest_cloth.{key}: read []; a list such as" in wrong("widest_cloth", key, [])


@pytest.mark.parametrize("wires", [["1 mm", "1 mm"], ["1 mm"], ["1 mm", "2 mm", "3 mm"]])
def test_wires_of_the_widest_cloth_ascend_beside_their_widths(wires: list[str]) -> None:
    data: dict[str, Any] = tomllib.loads(_TEXT)
    data["widest_cloth"] |= {"wire_up_to": wires, "width": ["2 m", "1 m"]}
    with pytest.raises(CapabilityError, match="wire_up_to must ascend"):
        parse_capability(data, "mill.toml")


def test_the_table_as_it_stands_is_good() -> None:
    assert parse_capability(tomllib.loads(_TEXT), "mill.toml").name == "customary capability"
