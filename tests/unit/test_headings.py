from __future__ import annotations

import pytest

from meshcore.reading.tables.headings import heading_meaning, recognise_headings


def test_exact_heading_wins_over_a_customary_one() -> None:
    found = recognise_headings(["Material", "alloy"])
    assert found.column["alloy"] == "alloy"
    assert found.doubled == {0: "alloy"}
    assert found.unknown == ()


def test_units_in_headings() -> None:
    found = recognise_headings(["Wire dia (mm)", "aperture [in]", "width"])
    assert found.unit == {"wire_diameter": "mm", "aperture": "in"}
    assert found.renamed == {"Wire dia (mm)": "wire_diameter"}


def test_underscores_case_and_colons_do_not_matter() -> None:
    found = recognise_headings(["MESH COUNT", "Wire_Diameter", "qty:"])
    assert found.column == {
        "mesh_count": "MESH COUNT",
        "wire_diameter": "Wire_Diameter",
        "quantity": "qty:",
    }


def test_unknown_headings_pass_through_in_order() -> None:
    assert recognise_headings(["Buyer", "mesh", "Site"]).unknown == ("Buyer", "Site")


def test_a_second_heading_for_a_column_is_told_by_its_place() -> None:
    found = recognise_headings(["Material", "alloy", "Grade", "qty", "qty"])
    assert found.column == {"alloy": "alloy", "quantity": "qty"}
    assert found.doubled == {0: "alloy", 2: "alloy", 4: "quantity"}


@pytest.mark.parametrize(
    ("heading", "field", "unit"),
    [
        ("Wire (in)", "wire_diameter", "in"),
        ("Aperture mm", "aperture", "mm"),
        ("Mesh per inch", "mesh_count", "/ in"),
        ("Mesh/cm", "mesh_count", "/ cm"),
        ("SWG", "wire_diameter", "SWG"),
        ("Draht in mm", "wire_diameter", "mm"),
        ("Maschen/Zoll", "mesh_count", "/ in"),
        ("Rollen", "quantity", "roll"),
        ("Laize mm", "width", "mm"),
        ("Qté", "quantity", ""),
        ("Luz de malla (mm)", "aperture", "mm"),
        ("No. of rolls", "quantity", "roll"),
        ("Qty (m²)", "quantity", "m2"),
        ("width_mm", "width", "mm"),
        ("Width (see note)", "width", "see note"),  # bare numbers are then refused, with the words
    ],
)
def test_headings_in_plain_words_with_their_units(heading: str, field: str, unit: str) -> None:
    assert heading_meaning(heading) == (field, unit)


@pytest.mark.parametrize(
    "heading",
    ["Number", "Amount", "Total length m", "Old width", "Per pack", "Weight kg", "Wanted by", "Ø"],
)
def test_a_heading_of_two_meanings_is_not_read(heading: str) -> None:
    assert heading_meaning(heading) == ("", "")
