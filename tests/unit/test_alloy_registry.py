"""Alloys are found by any of their names, and by no name that could mean another."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from meshcore.alloys.record import Alloy
from meshcore.alloys.records.checking import check_alloy
from meshcore.alloys.records.naming import normalise
from meshcore.alloys.records.registry import (
    build_registry,
    installed_registry,
    resolve,
    resolve_column,
)
from meshcore.messages import Message

REGISTRY = installed_registry()


def named(text: str) -> str | Message:
    found = resolve(REGISTRY, text)
    return found if isinstance(found, Message) else REGISTRY.alloys[found].designation


def steel(designation: str, **changes: object) -> Alloy:
    base = next(a for a in REGISTRY.alloys if a.designation == "carbon steel")
    bare = replace(base, designation=designation, uns="", en="", aliases=(), general_names=())
    return replace(bare, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("SS316L", "316L"), ("1.4404", "316L"), ("S31603", "316L"), ("AISI 316L", "316L"),
        ("316 L", "316L"), ("stainless 316L", "316L"), ("316L stainless steel", "316L"),
        ("ss-316l", "316L"), ("T304", "304"), ("Type 304", "304"), ("18/8", "304"),
        ("galv", "galvanized steel"), ("Galvanised", "galvanized steel"),
        ("mild steel", "carbon steel"), ("plain steel", "carbon steel"),
        ("alloy 625", "alloy 625"), ("N06625", "alloy 625"), ("2.4856", "alloy 625"),
        ("phosphor bronze 5%", "phosphor bronze 5 %"), ("CuSn6", "phosphor bronze 6 %"),
        ("duplex 2205", "2205"), ("S31803", "2205"), ("Ti grade 2", "titanium grade 2"),
        ("EN AW-5056", "aluminium 5056"), ("1.4404 / 316L", "316L"), ("316L (1.4404)", "316L"),
        ("moly", "molybdenum"),
    ],
)  # fmt: skip
def test_aliases_resolve(text: str, expected: str) -> None:
    assert named(text) == expected


@pytest.mark.parametrize(
    ("text", "candidates"),
    [
        ("stainless", ("304", "316L", "or one of")),
        ("Stainless Steel", ("304", "316L", "or one of")),
        ("steel", ("carbon steel", "galvanized steel")),
        ("brass", ("brass 65/35", "brass 70/30")),
        ("phosphor bronze", ("phosphor bronze 5 %", "phosphor bronze 6 %")),
        ("304 / 316", ("304", "316")),
    ],
)
def test_an_ambiguous_name_is_refused_with_the_candidates(
    text: str, candidates: tuple[str, ...]
) -> None:
    refusal = named(text)
    assert isinstance(refusal, Message)
    assert refusal.severity == "refused"
    assert refusal.read == text
    assert "could be any of" in refusal.text
    assert all(candidate in refusal.text for candidate in candidates)


@pytest.mark.parametrize(
    ("text", "nearest"),
    [("316LL", "316L"), ("phosfor bronze 5", "phosphor bronze 5 %"), ("galvinized", "galvanized")],
)
def test_near_misses_are_suggested(text: str, nearest: str) -> None:
    refusal = named(text)
    assert isinstance(refusal, Message)
    assert f"Nearest: {nearest}" in refusal.text


def test_nothing_like_it_says_what_to_write() -> None:
    refusal = named("unobtainium xyz")
    assert isinstance(refusal, Message)
    assert "Write a trade, UNS or EN number" in refusal.text


def test_a_bare_number_of_two_metals_is_not_taken_for_one() -> None:
    assert isinstance(named("201"), Message)
    assert named("nickel 201") == "nickel 201"


@given(st.text(max_size=30))
def test_no_text_raises(text: str) -> None:
    found = resolve(REGISTRY, text, "alloy")
    assert isinstance(found, Message) or 0 <= found < len(REGISTRY)


@given(st.sampled_from([a.designation for a in REGISTRY.alloys]), st.data())
def test_case_spaces_and_hyphens_do_not_matter(name: str, data: st.DataObject) -> None:
    gap = data.draw(st.sampled_from([" ", "-", "  "]))
    changed = gap.join(name.upper() if data.draw(st.booleans()) else name.lower())
    assert named(changed) == name


def test_a_column_is_read_as_its_cells_are() -> None:
    cells = ["304", "brass", "304", "SS316L"]
    indices, refused = resolve_column(REGISTRY, cells)
    assert [REGISTRY.alloys[i].designation for i in indices[[0, 2, 3]]] == ["304", "304", "316L"]
    assert indices[1] == -1
    assert list(refused) == [1]
    assert refused[1] == resolve(REGISTRY, "brass")


def test_a_designation_claimed_twice_stays_with_the_first_plugin_in_the_alphabet() -> None:
    mine, theirs = steel("X1", density_kg_m3=7800.0), steel("x-1", density_kg_m3=7900.0)
    found = build_registry([("zeta", theirs), ("alpha", mine)])
    assert [(p, a.density_kg_m3) for p, a in zip(found.plugins, found.alloys, strict=True)] == [
        ("alpha", 7800.0)
    ]
    (clash,) = found.clashes
    assert clash.leaves_out
    for word in ("alpha", "zeta", "left out", "first in the alphabet"):
        assert word in str(clash)


def test_an_alias_claimed_twice_is_denied_to_the_second_which_stays() -> None:
    first, second = steel("X1", aliases=("soft",)), steel("X2", aliases=("soft", "other"))
    found = build_registry([("alpha", first), ("beta", second)])
    assert len(found) == 2
    assert resolve(found, "soft") == 0
    assert resolve(found, "other") == 1
    (clash,) = found.clashes
    assert not clash.leaves_out
    assert "goes without this name" in str(clash)


def test_a_designation_outranks_an_alias_of_an_earlier_plugin() -> None:
    found = build_registry([("alpha", steel("X1", aliases=("X2",))), ("beta", steel("X2"))])
    assert resolve(found, "X2") == 1
    assert len(found.clashes) == 1


def test_installed_plugins_do_not_clash() -> None:
    assert REGISTRY.clashes == ()


@pytest.mark.parametrize(
    ("changes", "named_field"),
    [
        ({"designation": " - "}, "designation"),
        ({"family": ""}, "family"),
        ({"density_kg_m3": 7.85}, "density_kg_m3"),
        ({"density_kg_m3": float("nan")}, "density_kg_m3"),
        ({"modulus_gpa": 207e9}, "modulus_gpa"),
        ({"tensile_mpa": (500.0, 400.0)}, "tensile_mpa"),
        ({"max_air_temperature_c": -1.0}, "max_air_temperature_c"),
        ({"finest_wire_mm": 0.0}, "finest_wire_mm"),
        ({"zinc_coating_um": -1.0}, "zinc_coating_um"),
        ({"zinc_coating_um": 4.0}, "sources"),
        ({"services": {}}, "services"),
        ({"sources": {}}, "sources"),
        ({"composition_pct": {}}, "composition_pct"),
        ({"composition_pct": {"Fe": (90.0, 80.0)}}, "composition_pct"),
        ({"composition_pct": {"Fe": (90.0, 95.0)}}, "leaves out 100 %"),
    ],
)
def test_a_wrong_record_is_told_what_is_wrong(changes: dict[str, object], named_field: str) -> None:
    wrong = check_alloy(steel(**{"designation": "X1"} | changes))  # type: ignore[arg-type]
    assert named_field in wrong


def test_normalising_twice_changes_nothing() -> None:
    for name in REGISTRY.names:
        assert normalise(name) == name
