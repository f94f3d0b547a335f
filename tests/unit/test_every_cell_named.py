"""What was not used is named on its line; what can be understood is used."""

from __future__ import annotations

from collections.abc import Mapping

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import meshcore as mc
from meshcore.reading.tables.headings import heading_meaning

LINE = {
    "Aperture mm": "3", "Wire mm": "1", "Alloy": "304", "Form": "roll", "Width mm": "1000",
    "Length m": "30", "Qty": "2",
}  # fmt: skip


def priced(*lines: Mapping[str, object]) -> mc.EstimateSet:
    return mc.estimate_list(pd.DataFrame([{**LINE, **line} for line in lines], dtype=object))


def labels(estimates: mc.EstimateSet, row: int) -> str:
    return " ".join(estimates[row].cost_items["label"])


@pytest.mark.parametrize(
    ("heading", "answer", "label"),
    [
        ("Cert 3.1", "yes", "certificate"),
        ("Certificate 3.1", "x", "certificate"),
        ("Zeugnis 3.1", "ja", "certificate"),
        ("Zertifikat", "ja", "certificate"),
        ("Certificat matière", "oui", "certificate"),
        ("3.1 cert required (y/n)", "y", "certificate"),
        ("Soudure", "oui", "weld seam"),
        ("Soldadura", "sí", "weld seam"),
        ("Schweißnaht", "x", "weld seam"),
        ("Urgencia", "si", "rush"),
        ("Cert", "3.1", "certificate"),
    ],
)
def test_a_service_column_answered_yes_is_charged(heading: str, answer: str, label: str) -> None:
    estimates = priced({heading: answer})
    assert label in labels(estimates, 0)
    assert label not in labels(priced({heading: "no"}), 0)


@pytest.mark.parametrize(
    ("heading", "cell"),
    [
        ("Max width mm", 1000), ("Wire tolerance", "+/-0.02"), ("Edges", "selvedge"),
        ("Packing", "export crate"), ("Incoterm", "DAP"), ("Cert 3.2", "yes"), ("Foo", "x"),
        ("Slit to", 300.0), ("Drawing", "4711-B"), ("Hem?", True),
    ],
)  # fmt: skip
def test_a_column_that_is_not_read_puts_its_lines_to_review(heading: str, cell: object) -> None:
    estimates = priced({heading: cell}, {heading: None}, {heading: "no"})
    if heading == "Hem?":  # a service that is understood
        assert "edge" in labels(estimates, 0)
        return
    assert estimates.table["status"].tolist() == ["review", "ok", "ok"]
    assert heading in str(estimates.messages[0][0])


@pytest.mark.parametrize("heading", ["Buyer", "Kundenreferenz", "Unit price", "Code article"])
def test_a_column_that_asks_for_nothing_is_left_in_peace(heading: str) -> None:
    assert priced({heading: "K 12"}).table["status"].tolist() == ["ok"]


HEADINGS = st.text(
    alphabet=st.sampled_from("abcdefghijklmnopqrstuvwxyzäéß ()/-123"), min_size=2, max_size=16
).map(str.strip)
TRADE = st.sampled_from(
    ["316L", "twill weave", "welded seam", "2 mm", '1/4"', "hemmed", "rush", "12 kg", "5 %",
     "verzinkt", "soudé", "recocido", "mesh 12", "wire 0,5", "tolerance +0", "half roll",
     "30 rolls", "selvedge", "powder coated", "export crate"]
)  # fmt: skip
AMOUNTS = st.one_of(
    st.integers(1, 10**6), st.floats(0.001, 1e4), st.integers(1, 999).map("{} mm".format)
)


@settings(max_examples=50, deadline=None)
@given(
    heading=HEADINGS.filter(
        lambda h: len(h) > 1 and not heading_meaning(h)[0] and h not in ("status", "messages")
    ),
    cells=st.lists(st.one_of(TRADE, AMOUNTS, st.none()), min_size=1, max_size=4),
)
def test_any_column_of_trade_words_or_amounts_is_named_line_by_line(
    heading: str, cells: list[object]
) -> None:
    estimates = priced(*({heading: cell} for cell in cells))
    for row, cell in enumerate(cells):
        said = " ".join(f"{m.field} {m.read}" for m in estimates.messages.get(row, ()))
        charged = len(estimates[row].cost_items) != len(priced({})[0].cost_items)
        assert cell is None or heading in said or charged


@pytest.mark.parametrize(
    ("remark", "named"),
    [
        ("mesh 12 please", "mesh 12"),
        ("Draht 0,5 wäre auch gut", "Draht 0,5"),
        ("ouverture 2 svp", "ouverture 2"),
        ("widths are tolerance +0", "tolerance"),
        ("export packing", "packing"),
        ("ohne Stoß", "ohne Stoß"),
    ],
)
def test_a_size_or_a_condition_in_a_remark_is_named(remark: str, named: str) -> None:
    estimates = priced({"Remarks": remark})
    assert estimates.table["status"].tolist() == ["review"]
    assert f'"{named}"' in str(estimates.messages[0][0])


def test_remarks_that_ask_for_nothing_leave_the_line_ok() -> None:
    lines = [{"Remarks": text} for text in ("as last year", "please quote by Friday", "316")]
    assert set(priced(*lines).table["status"]) == {"ok"}


class TestTwoColumnsForOneSize:
    """In inches and in millimetres, as lists for two countries have them."""

    def test_where_the_second_alone_is_filled_it_is_used(self) -> None:
        table = pd.DataFrame(
            [{"Mesh": "10/in", "Wire (in)": None, "Wire (mm)": 0.64, "Alloy": "304",
              "Form": "roll", "Width (in)": None, "Width (mm)": 1200, "Length (ft)": 100,
              "Qty": 3}]
        )  # fmt: skip
        row = mc.estimate_list(table).table.iloc[0]
        assert row["wire_diameter_mm"] == pytest.approx(0.64)
        assert row["net_area_m2"] == pytest.approx(3 * 1.2 * 30.48)
        assert '"Wire (mm)"' in row["messages"]

    @pytest.mark.parametrize(
        ("inches", "millimetres", "agree"),
        [(0.025, 0.635, True), (0.025, 0.64, True), (0.016, 0.40, True), (0.025, 0.8, False),
         (0.025, 0.6, False)],
    )  # fmt: skip
    def test_where_both_are_filled_they_are_held_against_each_other(
        self, inches: float, millimetres: float, agree: bool
    ) -> None:
        table = pd.DataFrame(
            [{"Mesh": "10/in", "Wire (in)": inches, "Wire (mm)": f"{millimetres:.2f}",
              "Alloy": "304", "Form": "roll", "Width": "48 in", "Length (ft)": 100, "Qty": 3}]
        )  # fmt: skip
        row = mc.estimate_list(table).table.iloc[0]
        assert (row["status"] == "ok") is agree
        assert ("differ" in row["messages"]) is not agree

    def test_a_bare_number_of_no_unit_is_not_taken_in_the_unit_of_the_first(self) -> None:
        table = pd.DataFrame(
            [{"Mesh": "10/in", "Wire (in)": None, "Wire": "0.64", "Alloy": "304",
              "Form": "roll", "Width": "48 in", "Length (ft)": 100, "Qty": 3}]
        )  # fmt: skip
        row = mc.estimate_list(table).table.iloc[0]
        assert row["status"] == "refused"
        assert "says no unit" in row["messages"]

    @pytest.mark.parametrize(
        ("first", "second", "status"),
        [("304", "1.4301", "ok"), ("304", "316L", "review"), (None, "316L", "ok")],
    )
    def test_two_columns_for_the_alloy(self, first: str, second: str, status: str) -> None:
        estimates = priced({"Alloy": first, "Werkstoff": second})
        assert estimates.table["status"].tolist() == [status]


def test_lines_that_differ_in_a_service_or_a_remark_are_no_repeats() -> None:
    estimates = priced({"Weld": "yes"}, {"Weld": "no"}, {"Weld": "no", "Remarks": "B"})
    assert "asks for the same" not in " ".join(estimates.table["messages"])
    again = priced({"Weld": "yes"}, {"Weld": "yes"})
    assert "asks for the same as row 1" in again.table["messages"][1]


@pytest.mark.filterwarnings("error")
def test_an_order_of_nothing_divides_by_nothing() -> None:
    assert priced({"Qty": "0"}).table["status"].tolist() == ["refused"]


@pytest.mark.parametrize(
    ("heading", "meaning"),
    [
        ("Forme", ("form", "")), ("Maille (mm)", ("aperture", "mm")), ("Formato", ("size", "")),
        ("Mesh (mm)", ("aperture", "mm")), ("Mesh size (µm)", ("aperture", "µm")),
        ("Mesh", ("mesh_count", "")), ("Mallas por pulgada", ("mesh_count", "/ in")),
        ("Maschen je Zoll", ("mesh_count", "/ in")), ("Luz de malla (mm)", ("aperture", "mm")),
        ("Lichtweite mm", ("aperture", "mm")), ("Larg. (mm)", ("width", "mm")),
        ("Diam. fil mm", ("wire_diameter", "mm")), ("Calibre", ("wire_diameter", "")),
        ("Cant.", ("quantity", "")), ("Nb rouleaux", ("quantity", "roll")),
    ],
)  # fmt: skip
def test_headings_of_four_languages(heading: str, meaning: tuple[str, str]) -> None:
    assert heading_meaning(heading) == meaning
