"""Texts that were once read as something else, or in silence, or refused though one is meant.

Written from the trade's habits (common practice, no source), and apart from the reader.
"""

from __future__ import annotations

import pytest

from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.comparison.reading_conditions import read_conditions
from meshcore.alloys.records.beside import said_beside
from meshcore.alloys.records.registry import installed_registry, resolve
from meshcore.enquiry import WEAVES
from meshcore.messages import Message
from meshcore.reading.running_text.descriptions import describe
from meshcore.reading.tables.forms import form_code, weave_code
from meshcore.reading.texts import Reading, read_text
from meshcore.supply.shapes.texts import Shape, read_shape
from meshcore.units import Kind

_HALVES = {
    "one half inch": 12.7,
    "one-half inch": 12.7,
    "a half inch": 12.7,
    "ein halber Zoll": 12.7,
    "one quarter inch": 6.35,
    "one quarter of an inch": 6.35,
    "three quarter inch": 19.05,
    "three-quarter inch": 19.05,
    "one half metre": 500.0,
    "ein halber Meter": 500.0,
    "un demi-mètre": 500.0,
    "one half yard": 457.2,
    "one and a half inch": 38.1,
    "two and a half metres": 2500.0,
}


def _read(text: str, kind: Kind, field: str) -> Reading:
    read = read_text(text, kind, field)
    assert isinstance(read, Reading), read
    return read


@pytest.mark.parametrize(("text", "mm"), _HALVES.items())
def test_parts_in_words_are_parts(text: str, mm: float) -> None:
    assert _read(text, "length", "size").value == pytest.approx(mm * 1e-3)


def test_half_a_dozen_is_six() -> None:
    for text in ("one half dozen", "half a dozen", "ein halbes Dutzend"):
        assert _read(text, "number", "quantity").value == 6.0
    assert isinstance(read_text("two half dozen", "number", "quantity"), Message)


@pytest.mark.parametrize(
    "text",
    [
        "200 mm disc, 300 mm square",
        "300 mm square, 200 mm disc",
        "200 mm disc, 100 mm",
        "200 mm round, 300 mm long",
        "200 mm half disc, 300 mm",
    ],
)
def test_two_shapes_in_one_cell_are_no_rectangle(text: str) -> None:
    assert isinstance(read_shape("", text), Message)


def test_one_shape_beside_its_sizes_is_read() -> None:
    for text in ("300 mm square", "sheet 300 x 300 mm", "300 x 300 mm panel"):
        read = read_shape("", text)
        assert isinstance(read, Shape), read
        assert read.area_m2 == pytest.approx(0.09)


def test_a_gauge_and_a_rounded_size_say_which_is_taken() -> None:
    read = _read("0.5 mm (24 AWG)", "length", "wire_diameter")
    assert read.said is not None
    assert read.said.code == "wire.gauge_taken"
    assert _read("16 SWG (1.63 mm)", "length", "wire_diameter").said is None


def test_wire_of_two_sizes_is_asked() -> None:
    read = read_text("1.6 x 1.6 mm", "length", "wire_diameter")
    assert isinstance(read, Message)
    assert read.code == "wire.two_sizes"


_CONDITIONS = [
    ("temperature", "max. 1050 °C", 1050.0, "size.limit_taken"),
    ("temperature", "jusqu'à 1050 °C", 1050.0, "size.limit_taken"),
    ("temperature", "ca. 1050 °C", 1050.0, "size.about_taken"),
    ("chloride", "1,000 mg/l", 1000.0, "size.separator_taken"),
    ("chloride", "200 µg/l", 0.2, ""),
    ("distance_to_sea", "2,000 ft", 609.6, "size.separator_taken"),
    ("ph", "pH 7", 7.0, ""),
    ("ph", "pH=7.2", 7.2, ""),
    ("hours", "10,000 h", 10_000.0, "size.separator_taken"),
    ("hours", "8.000 h", 8000.0, "size.separator_taken"),
    ("hours", "8000 Std.", 8000.0, ""),
    ("hours", "8000 heures", 8000.0, ""),
    ("hours", "8000 horas", 8000.0, ""),
]
_TARGETS = {"temperature": "temperature_c", "chloride": "chloride_mg_l",
            "distance_to_sea": "distance_to_sea_m"}  # fmt: skip


@pytest.mark.parametrize(("field", "text", "value", "code"), _CONDITIONS)
def test_conditions_are_read_and_what_is_taken_is_said(
    field: str, text: str, value: float, code: str
) -> None:
    read = read_conditions({"environment": "coastal", field: text})
    assert isinstance(read, Conditions), read
    assert getattr(read, _TARGETS.get(field, field)) == pytest.approx(value)
    assert [m.code for m in read.said] == ([code] if code else [])


@pytest.mark.parametrize(
    ("field", "text"),
    [("temperature", "900-1050 °C"), ("chloride", "100-200 mg/l"), ("distance_to_sea", "1-2 km"),
     ("temperature", "900 bis 1050 °C")],
)  # fmt: skip
def test_a_range_is_called_one(field: str, text: str) -> None:
    read = read_conditions({field: text})
    assert not isinstance(read, Conditions)
    assert [m.code for m in read if m.field == field] == ["size.range"]


_TEN_TO_THE_INCH = (
    "10 msh", "10 TPI", "10 holes / linear inch", "n = 10/in", "10 Maschen auf den Zoll",
    "10 mailles par pouce linéaire", "10 mallas por pulgada lineal", "malla #10",
    "10 mesh (2,54 mm Teilung)", "10 mesh (pitch 2.54 mm)", "10/in x 10/in", "10 strands per inch",
    "10 mesh (inch)",
)  # fmt: skip


@pytest.mark.parametrize("text", _TEN_TO_THE_INCH)
def test_counts_to_the_inch(text: str) -> None:
    assert _read(text, "count", "mesh_count").value == pytest.approx(10 / 0.0254)


def test_a_count_by_area_says_so() -> None:
    read = _read("1600 Maschen/cm²", "count", "mesh_count")
    assert read.value == pytest.approx(4000.0)
    assert read.said is not None
    assert read.said.code == "mesh.counted_by_area"


_LENGTHS_MM = [
    ("pitch", "10 mm Achsmaß", 10.0),
    ("pitch", "10 mm entre ejes", 10.0),
    ("aperture", "25 micrones", 0.025),
    ("aperture", "2 mms", 2.0),
    ("aperture", "3/4 of an inch", 19.05),
    ("aperture", '1+1/2"', 38.1),
    ("wire_diameter", "cal 16 AWG", 1.2908),
    ("wire_diameter", '16 ga (0.0625")', 1.5875),
    ("wire_diameter", "Drahtdm. 1,6 mm", 1.6),
    ("width", "1000 mm +0/+20", 1000.0),
    ("width", '1220 (48")', 1220.0),
    ("length", "30 lfd.m.", 30_000.0),
]


@pytest.mark.parametrize(("field", "text", "mm"), _LENGTHS_MM)
def test_lengths_in_the_words_of_the_trade(field: str, text: str, mm: float) -> None:
    assert _read(text, "length", field).value == pytest.approx(mm * 1e-3, rel=1e-4)


@pytest.mark.parametrize("text", ["56 % offen", "56 % libre", "Ao=56%"])
def test_open_areas_by_their_names(text: str) -> None:
    assert _read(text, "share", "open_area").value == pytest.approx(0.56)


@pytest.mark.parametrize(
    ("text", "count"),
    [("Stück 10", 10), ("10 Einheiten", 10), ("10 pzs", 10), ("5 +/-10%", 5), ("only 1", 1)],
)
def test_quantities_in_the_words_of_the_trade(text: str, count: int) -> None:
    assert _read(text, "number", "quantity").value == count


#: Text → the code of what is said, and what must or must not be advised.
_ASKED: list[tuple[Kind, str, str, str, str]] = [
    ("count", "mesh_count", "10 mesh (pitch 3 mm)", "mesh.counts_differ", "meant"),
    ("count", "mesh_count", "10 mesh (cm)", "mesh.counts_differ", "meant"),
    ("count", "mesh_count", "10 mesh plain weave", "size.states_more", "weave too, plain"),
    ("count", "mesh_count", "0 mesh", "size.not_above_zero", '"10 mesh"'),
    ("count", "mesh_count", "10-12 mesh", "size.range", "one count"),
    ("length", "aperture", "2 bis 3 mm", "size.range", "one size"),
    ("length", "aperture", "10 x 20 mm", "mesh.not_square", "10 one way and 20 the other"),
    ("length", "wire_diameter", "16 ga (0.08 in)", "wire.gauge_conflict", "1.626 mm"),
    ("length", "aperture", "2 mm wire 1 mm", "size.name_between", "may name either"),
    ("length", "width", "2x 1 m", "size.several_strips", "several strips"),
    ("number", "quantity", "10/20/50", "quantity.several", "more than one number"),
    ("number", "quantity", "2–3", "size.range", "how many"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "field", "text", "code", "advice"), _ASKED)
def test_what_is_asked_says_what_is_wrong(
    kind: Kind, field: str, text: str, code: str, advice: str
) -> None:
    read = read_text(text, kind, field)
    assert isinstance(read, Message)
    assert (read.code, advice in read.text) == (code, True), read.text


_WEAVES = {
    "plain weave (PW)": "plain",
    "Quadratmaschen, Leinwandbindung": "plain",
    "plain, square": "plain",
    "twill 2/2": "twilled",
    "Köperbindung 2/2": "twilled",
    "double crimp (DC)": "double crimp",
    "doppelgekröpft": "double crimp",
    "inter-crimped": "intermediate crimp",
    "mit Zwischenkröpfung": "intermediate crimp",
    "weldmesh": "welded",
    "geschweißtes Gitter": "welded",
}


@pytest.mark.parametrize(("text", "weave"), _WEAVES.items())
def test_weaves_in_the_words_of_the_trade(text: str, weave: str) -> None:
    assert weave_code(text) == WEAVES.index(weave)


@pytest.mark.parametrize("text", ["plain, twill", "plain (Dutch)", "crimped, square"])
def test_weaves_that_differ_are_asked(text: str) -> None:
    assert isinstance(weave_code(text), Message)


_ALLOYS = {
    "Wst.-Nr. 1.4301": "304",
    "Mat.-Nr. 1.4301": "304",
    "acier carbone": "carbon steel",
    "heavily galvanized": "heavily galvanized steel",
    "titane gr. 2": "titanium grade 2",
    "Al99.5": "aluminium 1050A",
}


@pytest.mark.parametrize(("text", "designation"), _ALLOYS.items())
def test_alloys_in_the_words_of_the_trade(text: str, designation: str) -> None:
    known = installed_registry()
    found = resolve(known, text)
    assert isinstance(found, int), found
    assert known.alloys[found].designation == designation


@pytest.mark.parametrize("text", ["hot dip galvanised", "HDG", "feuerverzinkt"])
def test_dipped_zinc_is_put_to_review(text: str) -> None:
    known = installed_registry()
    found = resolve(known, text)
    assert isinstance(found, int)
    said = said_beside(known, text, found)
    assert said is not None
    assert (said.severity, said.code) == ("review", "alloy.method")


def test_about_a_disc_is_a_disc() -> None:
    for text in ("ca. Ø 200 mm", "disc(s) Ø 200mm"):
        read = read_shape("", text)
        assert isinstance(read, Shape), read
        assert read.area_m2 == pytest.approx(0.0314159, rel=1e-5)


def test_a_piece_said_twice_is_held_against_itself() -> None:
    read = read_shape("", '508 x 304.8 mm (20" x 12")')
    assert isinstance(read, Shape), read
    assert read.area_m2 == pytest.approx(0.508 * 0.3048)
    apart = read_shape("", '508 x 304.8 mm (20" x 14")')
    assert isinstance(apart, Message)
    assert apart.code == "shape.statements_differ"


def test_a_form_with_a_length_says_where_that_belongs() -> None:
    read = form_code("Rolle 30 m")
    assert isinstance(read, Message)
    assert read.code == "form.states_more"


def test_wire_width_and_length_behind_a_count() -> None:
    fields = describe('10 mesh x .025" x 48" x 100\' 304', lambda name: name == "304").fields
    assert fields["wire_diameter"] == '.025"'
    assert (fields["width"], fields["length"]) == ('48"', "100'")
    assert fields["form"] == "roll"
