from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pint
import pytest

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.enquiry import as_table
from meshcore.estimates.priced_table import PRICED_COLUMNS

TEN_MESH = mc.Enquiry(
    mesh_count="10 / in",
    wire_diameter="0.025 in",
    alloy="304",
    form=mc.Roll(width="48 in", length="100 ft"),
    quantity=3,
)
VARIED = (
    TEN_MESH,
    mc.Enquiry(aperture="2 mm", wire_diameter="1 mm", alloy="316L",
               form=mc.Strip("50 mm", "10 m"), quantity=40),
    mc.Enquiry(mesh_count="20 / in", wire_diameter="0.016 in", alloy="carbon steel",
               form=mc.Piece(width="300 mm", height="200 mm"), quantity=25),
    mc.Enquiry(mesh_count="10 / in", wire_diameter="0.08 in", alloy="304",
               form=mc.Roll("48 in", "100 ft")),
)  # fmt: skip


@pytest.fixture(scope="module")
def demo() -> mc.EstimateSet:
    return mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv"))


def test_worked_mass() -> None:
    """2.0410 kg/m² for 10 per inch, 0.635 mm, 7930 kg/m³: circular arcs, worked by hand."""
    e = mc.estimate(TEN_MESH)
    assert e.density.to("kg/m**3").magnitude == 7930
    assert e.mass_per_area.magnitude == pytest.approx(2.0410, abs=5e-5)
    area = 3 * 48 * 0.0254 * 30.48
    assert e.mass.to("lb").magnitude == pytest.approx(2.0410 * area / 0.45359237, rel=3e-5)


def test_flat_rule_is_a_named_alternative() -> None:
    flat = mc.estimate(TEN_MESH, path_model="flat")
    assert flat.mass_per_area.magnitude == pytest.approx(2.0367, abs=5e-5)
    arc = mc.estimate(TEN_MESH)
    assert arc.estimates.flat_rule_mass_per_area_kg_m2()[0] == flat.mass_per_area.magnitude


def test_one_estimate_is_the_same_line_of_a_table_bit_for_bit() -> None:
    lines = pd.concat([as_table(e) for e in VARIED], ignore_index=True)
    table = mc.estimate_table(lines, lines_apart=True).drop(columns="order_taken")
    for row, enquiry in enumerate(VARIED):
        single = mc.estimate(enquiry).row
        for name in [n for n in PRICED_COLUMNS if n != "order_taken"]:
            one, many = single[name], table.iloc[row][name]
            same_nan = one != one and many != many  # noqa: PLR0124
            assert one == many or same_nan, (row, name, one, many)


def test_items_add_up_to_the_price(demo: mc.EstimateSet) -> None:
    items = demo.cost_items()
    cents = (items["amount"] * 100).round().groupby(items["line"]).sum()
    table = demo.ledger.price
    for line, total in cents.items():
        assert total == round(table[int(str(line))] * 100)


def test_price_and_mass_lie_within_their_ranges(demo: mc.EstimateSet) -> None:
    table = demo.table
    priced = table[table["status"] != "refused"]
    assert len(priced) >= 50
    assert (priced["price_min"] <= priced["price"]).all()
    assert (priced["price"] <= priced["price_max"]).all()
    assert (priced["mass_min_kg"] <= priced["mass_kg"]).all()
    assert (priced["mass_kg"] <= priced["mass_max_kg"]).all()
    assert table.loc[table["status"] == "refused", "price"].isna().all()


def test_roll_tolerances_of_common_practice() -> None:
    """Length ±10 %, width 0 to +2 %: mass from 0.9 to 1.1 × 1.02 of nominal."""
    e = mc.estimate(TEN_MESH)
    low, high = e.mass_range
    assert low / e.mass == pytest.approx(0.9)
    assert high / e.mass == pytest.approx(1.1 * 1.02)
    # Rolls are billed by the metre at the price quoted, each to the cent.
    rolls = int(e.estimates.orders.quantity[0])
    assert e.price_range == pytest.approx((0.9 * e.price, 1.1 * e.price), abs=0.005 * rolls + 1e-9)


def test_every_refused_line_says_what_would_mend_it(demo: mc.EstimateSet) -> None:
    said = demo.log.by_line()
    for row in np.flatnonzero(demo.log.refused()):
        refusals = [m for m in said[int(row)] if m.severity == "refused"]
        assert refusals
        assert all(m.field and len(m.text) > 20 for m in refusals)


def test_nothing_of_the_list_is_lost() -> None:
    source = mc.read_list(demo_data() / "enquiries.csv")
    table = mc.estimate_table(source)
    assert table["Customer ref"].tolist() == source["Customer ref"].tolist()
    assert table["weave_asked"].tolist() == source["weave"].tolist()
    for heading in source.columns:
        kept = heading if heading in table.columns and heading != "weave" else f"{heading}_asked"
        assert table[kept].tolist() == source[heading].tolist()


def test_index_and_order_survive() -> None:
    lines = pd.concat([as_table(e) for e in VARIED])
    lines.index = pd.Index(["d", "b", "a", "c"])
    assert mc.estimate_table(lines).index.tolist() == ["d", "b", "a", "c"]


def test_an_empty_list_is_priced_to_an_empty_table() -> None:
    table = mc.estimate_table(as_table(TEN_MESH).iloc[:0])
    assert len(table) == 0
    assert set(PRICED_COLUMNS) <= set(table.columns)


def test_bare_numbers_with_units_in_the_headings() -> None:
    lines = pd.DataFrame({"mesh_count [/in]": [10.0], "wire_diameter [in]": [0.025],
                          "alloy": ["304"], "form": ["roll"], "width [in]": [48.0],
                          "length [ft]": [100.0], "quantity": [3]})  # fmt: skip
    assert mc.estimate_table(lines)["price"][0] == mc.estimate(TEN_MESH).price


def test_pint_quantities_are_enquiries_too() -> None:
    u = pint.get_application_registry()  # type: ignore[no-untyped-call]
    e = mc.estimate(mc.Enquiry(
        mesh_count=10 / u.inch, wire_diameter=0.025 * u.inch, alloy="304",
        form=mc.Roll(width=48 * u.inch, length=100 * u.foot), quantity=3,
    ))  # fmt: skip
    assert e.price == mc.estimate(TEN_MESH).price


def test_a_refused_estimate_has_no_price_and_says_why() -> None:
    e = mc.estimate(VARIED[3])
    assert e.status == "refused"
    assert math.isnan(e.price)
    assert e.messages[0].field == "wire_diameter"
    assert e.cost_items.empty


def test_progress_is_told_in_order() -> None:
    shares: list[float] = []
    mc.estimate_list(as_table(TEN_MESH), progress=lambda _, share: shares.append(share))
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
