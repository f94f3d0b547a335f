"""What other columns say of a line: each was priced in silence, or passed through, before."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

import meshcore as mc
from meshcore.estimates.results import Estimate

LINE: dict[str, Any] = {
    "mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
    "width": "1 m", "length": "30 m", "quantity": "2",
}  # fmt: skip


def estimated(**cells: Any) -> Estimate:
    """One complete line with some cells changed; a cell of None takes its column away."""
    line = {name: cell for name, cell in (LINE | cells).items() if cell is not None}
    return mc.estimate_list(pd.DataFrame([line], dtype=object))[0]


def said(one: Estimate, code: str) -> str:
    """What is said under a code; nothing else may be."""
    (message,) = [m for m in one.messages if m.code == code]
    return f"{message.severity}: {message}"


@pytest.mark.parametrize(
    ("quantity", "unit", "area_m2"),
    [
        (200, "m2", 200.0),
        (200, "m²", 200.0),
        (1000, "sq ft", 1000 * 0.3048**2),
        (60, "m", 60.0),
        (100, "ft", 30.48),
        (2, "rolls", None),
    ],
)
def test_a_unit_of_measure_governs_its_quantity(
    quantity: int, unit: str, area_m2: float | None
) -> None:
    """A column UOM with m2 beside Qty 200 was 200 rolls."""
    one = estimated(quantity=quantity, UOM=unit, length="" if area_m2 else "30 m")
    if area_m2 is None:
        assert one.row["net_area_m2"] == pytest.approx(60.0)
        assert one.status == "ok"
    else:
        assert one.row["net_area_m2"] == pytest.approx(area_m2)
        assert said(one, "quantity.one_run").startswith("review: quantity")


def test_an_amount_with_a_length_is_so_many_rolls_or_asked_back() -> None:
    whole = estimated(quantity="150", UOM="m")
    assert whole.row["net_area_m2"] == pytest.approx(150.0)
    assert "5 of 30 m each" in said(whole, "quantity.from_amount")
    part = estimated(quantity="160", UOM="m")
    assert part.status == "refused"
    assert "no whole number" in said(part, "quantity.amount_not_whole")


@pytest.mark.parametrize("quantity", [{"quantity": "150", "UOM": "kg"}, {"quantity": "150 kg"}])
def test_a_mass_is_asked_back(quantity: dict[str, str]) -> None:
    one = estimated(**quantity)
    assert one.status == "refused"
    assert "a mass" in said(one, "quantity.by_amount")


def test_an_unknown_unit_of_measure_is_asked_back() -> None:
    for unit in ("sets", "bundles"):
        assert estimated(UOM=unit).status == "refused"


@pytest.mark.parametrize(
    ("mark", "charged"), [("yes", True), ("x", True), ("ja", True), ("no", False), ("", False)]
)
def test_a_column_named_after_a_service_is_read(mark: str, charged: bool) -> None:
    """Service columns ("Weld: yes") were left unread."""
    one = estimated(Weld=mark)
    labels = " ".join(one.cost_items["label"])
    assert ("weld seam" in labels) == charged
    assert one.status == "ok"


def test_a_mark_that_is_neither_yes_nor_no_is_asked() -> None:
    assert "Weld: ?" in said(estimated(Weld="?"), "services.unclear")


@pytest.mark.parametrize(
    ("remark", "names"),
    [
        ("rush please, weld seam needed", "weld seam"),
        ("please price 316L as well", "316L"),
        ("half roll would do", "half roll"),
        ("1.5 m wide if you can", "1.5 m"),
    ],
)
@pytest.mark.parametrize("heading", ["note", "Remarks", "Buyer's words"])
def test_trade_words_that_are_not_used_are_named(heading: str, remark: str, names: str) -> None:
    one = estimated(**{heading: remark})
    assert one.status == "review"
    assert names in said(one, "remark.not_read")


@pytest.mark.parametrize("remark", ["as last year", "for the site at the river", "12"])
def test_a_remark_without_trade_words_changes_nothing(remark: str) -> None:
    one = estimated(note=remark)
    assert one.status == "ok"
    assert [m for m in one.messages if m.code == "remark.not_read"] == []


def test_a_description_fills_what_is_blank_and_is_shown() -> None:
    text = '10M x .025" 304 SS 48" x 100\''
    one = mc.estimate_list(pd.DataFrame({"Description": [text], "Qty": [2], "Unit": ["rolls"]}))[0]
    assert one.status == "ok"
    assert one.row["net_area_m2"] == pytest.approx(2 * 1.2192 * 30.48)
    assert 'wire ".025""' in said(one, "description.read")


def test_a_description_that_differs_from_a_column_is_put_to_review() -> None:
    one = estimated(Description="316L")
    assert one.status == "review"
    assert "316L" in said(one, "description.differs")


def test_what_a_description_leaves_over_is_named() -> None:
    assert "hook strips" in said(estimated(Description="hook strips"), "description.unread")


def test_a_fraction_that_became_a_date_is_asked() -> None:
    one = estimated(wire_diameter=pd.Timestamp(2026, 1, 16))
    assert one.status == "refused"
    assert '"1/16 in"' in said(one, "reading.date")


def test_a_size_column_is_width_and_length_or_a_piece_by_the_form() -> None:
    roll = estimated(Size="1.22 m x 30 m", width=None, length=None)
    assert roll.row["net_area_m2"] == pytest.approx(2 * 1.2192 * 30)  # 48 in, written in metres
    piece = estimated(Size="500 x 300 mm", width=None, length=None, form="piece")
    assert piece.row["net_area_m2"] == pytest.approx(2 * 0.5 * 0.3)


def test_what_is_as_long_and_wide_as_a_roll_is_one_and_said_so() -> None:
    one = estimated(form=None)
    assert one.status == "ok"
    assert said(one, "form.implied").startswith("note: form")
    assert estimated(form=None, length="2 m").status == "refused"


def test_a_decimal_comma_elsewhere_in_the_list_tells_what_a_point_is() -> None:
    """A width of 1.000 mm was taken as one millimetre."""
    lines = {
        "aperture": ["2 mm", "1,25 mm"], "wire_diameter": ["1 mm", "0,63 mm"], "alloy": "1.4301",
        "width": "1.000 mm", "length": "25.000 mm", "form": "Rolle", "quantity": 1,
    }  # fmt: skip
    found = mc.estimate_list(pd.DataFrame(lines, dtype=object))
    assert [one.row["net_area_m2"] for one in found] == pytest.approx([25.0, 25.0])


def test_a_material_number_kept_as_a_number_has_its_last_zero_back() -> None:
    one, written = estimated(alloy=1.431), estimated(alloy="1.4310")
    assert one.status == written.status == "ok"
    assert one.row["price"] == written.row["price"]
