"""Cutting plans through the list, the API and the command line."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from ezdxf import bbox, filemanagement
from ezdxf.units import MM
from thorough import share

import meshcore as mc
from meshcore.cli import main
from meshcore.commands.cutting_report import plan_dxf, plan_svg, plan_text
from meshcore.demo import demo_data
from meshcore.enquiry import as_table
from meshcore.rounding import SLACK
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.slitting.plan import SlitPlan

QUICK = CuttingEffort(seconds=0.5)
CLOTH = {"aperture": "2 mm", "wire_diameter": "1 mm", "alloy": "316L"}


def asked(form: mc.Strip | mc.Piece, quantity: int) -> mc.Enquiry:
    return mc.Enquiry(**CLOTH, form=form, quantity=quantity)  # type: ignore[arg-type]


@pytest.fixture
def bracket(tmp_path: Path) -> Path:
    """A 100 mm square with a 40 mm hole, as a drawing in millimetres."""
    drawing = filemanagement.new(units=MM)
    space = drawing.modelspace()
    space.add_lwpolyline([(0, 0), (100, 0), (100, 100), (0, 100)], close=True)
    space.add_circle((50, 50), 20)
    path = tmp_path / "bracket.dxf"
    drawing.saveas(path)
    return path


@pytest.mark.parametrize(
    ("form", "quantity"),
    [(mc.Strip("50 mm", "10 m"), 40), (mc.Piece("disc", diameter="200 mm"), 100),
     (mc.Piece("trapezoid", base="300 mm", top="180 mm", height="220 mm"), 24)],
)  # fmt: skip
def test_a_plan_never_costs_more_than_whole_rows(form: mc.Strip | mc.Piece, quantity: int) -> None:
    rows = mc.estimate(asked(form, quantity))
    planned = mc.estimate(asked(form, quantity), cutting=QUICK)
    assert planned.row["gross_area_m2"] <= rows.row["gross_area_m2"] * (1 + SLACK)
    assert planned.price <= rows.price
    assert planned.mass == rows.mass  # what is delivered does not change
    (plan,) = planned.estimates.plans
    assert plan.area_m2 == pytest.approx(planned.row["gross_area_m2"])
    assert plan_text(plan).startswith("Cutting plan of line 1")
    assert plan_svg(plan).startswith("<svg")


def test_an_order_costs_the_cloth_that_it_consumes() -> None:
    """Same net area, more cloth consumed: the wire cost follows the cloth."""
    e = mc.estimate(asked(mc.Piece("disc", diameter="200 mm"), 100), cutting=QUICK)
    metal = e.cost_items.set_index("label").loc["base metal"]
    consumed = float(e.estimates.orders.gross_mass_kg[0])
    scrap = next(r.amount for r in e.estimates.book.rates if r.key == "wire.scrap") / 100
    assert metal["quantity"] == pytest.approx(consumed * (1 + scrap), rel=1e-9)
    assert consumed > float(e.estimates.orders.net_mass_kg[0])


def test_lines_of_one_order_are_cut_together() -> None:
    lines = pd.concat(
        [as_table(asked(mc.Strip(f"{width} mm", "10 m"), 3)) for width in (450, 300, 120)],
        ignore_index=True,
    )
    apart = mc.estimate_list(lines, cutting=QUICK, lines_apart=True)
    together = mc.estimate_list(lines, cutting=QUICK)
    assert len(apart.plans) == 3
    (plan,) = together.plans
    assert plan.rows.tolist() == [0, 1, 2]
    gross = np.nansum(together.supply.gross_area_m2)
    assert gross == pytest.approx(plan.area_m2)
    assert gross <= np.nansum(apart.supply.gross_area_m2)


def test_different_cloths_of_one_order_are_cut_apart() -> None:
    lines = pd.concat(
        [as_table(asked(mc.Strip("100 mm", "10 m"), 5))] * 2, ignore_index=True
    ).assign(order="A-1")
    lines.loc[1, "aperture"] = "3 mm"
    assert len(mc.estimate_list(lines, cutting=QUICK).plans) == 2


def test_planned_estimate_equals_the_same_line_of_a_planned_table() -> None:
    enquiries = [
        asked(mc.Strip("330 mm", "3 m"), 100),
        asked(mc.Piece("disc", diameter="90 mm"), 50),
    ]
    table = mc.estimate_table(
        pd.concat([as_table(e) for e in enquiries], ignore_index=True),
        cutting=QUICK,
        lines_apart=True,
    )
    for row, enquiry in enumerate(enquiries):
        assert mc.estimate(enquiry, cutting=QUICK).price == table["price"][row]


def test_a_drawing_is_priced_from_the_list_the_api_and_the_command_line(
    bracket: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    piece = mc.Piece("dxf", file=str(bracket), unit="mm")
    e = mc.estimate(asked(piece, 12), cutting=QUICK)
    assert e.status == "ok", e.messages
    assert e.row["net_area_m2"] == pytest.approx(12 * (0.01 - np.pi * 0.02**2), rel=1e-9)
    listed = mc.estimate_table(as_table(asked(piece, 12)), cutting=QUICK)
    assert listed["price"][0] == e.price
    words = ["estimate", "--aperture", "2 mm", "--wire", "1 mm", "--alloy", "316L", "--quantity",
             "12", "--piece", f"dxf: file {bracket}", "--plan", "0.5",
             "--plan-drawing", str(tmp_path / "plan.svg")]  # fmt: skip
    assert main([*words, "--plan-dxf", str(tmp_path / "plan.dxf")]) == 0
    assert f"{e.price:,.2f}" in capsys.readouterr().out
    assert (tmp_path / "plan.svg").read_text("utf-8").startswith("<svg")
    cut = filemanagement.readfile(tmp_path / "plan.dxf")
    assert len(cut.modelspace().query('*[layer=="pieces"]')) == 12 * 2


@pytest.mark.parametrize(
    ("dimensions", "says"),
    [("", "no drawing is named"), ("file none.dxf, unit mm", "cannot be opened")],
)
def test_a_drawing_that_cannot_be_read_is_refused(dimensions: str, says: str) -> None:
    line = as_table(asked(mc.Piece("disc", diameter="1 m"), 1))
    line["shape"], line["dimensions"] = "dxf", dimensions
    table = mc.estimate_table(line)
    assert table["status"][0] == "refused"
    assert says in table["messages"][0]


def test_a_slit_plan_has_its_knives_as_dxf() -> None:
    (plan,) = mc.estimate(asked(mc.Strip("50 mm", "10 m"), 4), cutting=QUICK).estimates.plans
    drawing = filemanagement.read(io.StringIO(plan_dxf(plan).decode()))
    bounds = bbox.extents(drawing.modelspace())
    # Four strips of 50 mm, side by side or behind one another, of a length of 10 m.
    assert bounds.size.y >= 50.0
    assert max(bounds.size.x, bounds.size.y) >= 10_000.0


def test_impossible_strips_are_refused_by_the_plan_as_by_the_rows() -> None:
    for effort in (None, QUICK):
        e = mc.estimate(asked(mc.Strip("50 mm", "40 m"), 4), cutting=effort)
        assert e.status == "refused"
        assert e.estimates.plans == ()


def test_offcuts_worth_keeping_are_credited(project_root: Path) -> None:
    policy = mc.read_supply_policy(project_root / "demo_data" / "supply_policy.toml")
    assert policy.keep is not None
    enquiry = asked(mc.Strip("500 mm", "10 m"), 1)
    kept = mc.estimate(enquiry, supply_policy=policy, cutting=QUICK)
    none = mc.estimate(enquiry, supply_policy=replace(policy, keep=None), cutting=QUICK)
    (plan,) = kept.estimates.plans
    (offcut,) = plan.kept
    share = policy.keep.credit_share * offcut.area_m2 / plan.area_m2
    assert plan.credit_share == pytest.approx(share)
    items = kept.cost_items.set_index("label")["amount"]
    stages = kept.estimates.ledger.stage_totals()
    cloth = float(stages["wire"][0] + stages["weaving"][0])
    assert items["offcut credit"] == pytest.approx(-share * cloth, abs=0.005)
    assert kept.price < none.price
    assert "credited for them" in plan_text(plan)


def test_overs_are_said() -> None:
    (plan,) = mc.estimate(asked(mc.Strip("50 mm", "10 m"), 4), cutting=QUICK).estimates.plans
    assert plan.notes == ()
    assert isinstance(plan.layout, SlitPlan)
    items = replace(plan.layout.items, quantity=plan.layout.items.quantity - 1)
    (note,) = replace(plan, layout=replace(plan.layout, items=items)).notes
    assert "1 strips over" in note.text
    assert note.severity == "note"


@pytest.mark.thorough
def test_a_planned_order_is_never_dearer_than_one_cut_in_whole_rows() -> None:
    """Random orders of one to three lines of strips and pieces of one cloth: all are 300."""
    rng = np.random.default_rng(20261125)
    rows = []
    tried = share(40, 300)
    for order in range(tried):
        for _ in range(int(rng.integers(1, 4))):
            w, h = rng.integers(50, 700, 2).tolist()
            kind = str(rng.choice(["strip", "rectangle", "disc"]))
            cells = {
                "strip": {"form": "strip", "width": f"{w} mm", "length": f"{h / 40:.1f} m"},
                "rectangle": {"form": "piece", "dimensions": f"{w} mm x {h} mm"},
                "disc": {"form": "piece", "shape": "disc", "dimensions": f"diameter {w} mm"},
            }[kind]
            rows.append({"order": order, "aperture": "2 mm", "wire_diameter": "1 mm",
                         "alloy": "304", "quantity": int(rng.integers(1, 60)),
                         **cells})  # fmt: skip
    lines = pd.DataFrame(rows).fillna("")
    policy = mc.read_supply_policy(demo_data() / "supply_policy.toml")
    planned = mc.estimate_list(lines, supply_policy=policy, cutting=mc.CuttingEffort(0.02))
    unplanned = mc.estimate_list(lines, supply_policy=policy)
    by_order = planned.orders.order
    sums = [np.bincount(by_order, weights=e.ledger.price_minor) for e in (planned, unplanned)]
    assert (sums[0] <= sums[1]).all()
    assert (sums[0] < sums[1]).sum() > tried // 10
    said = [m for e in planned for m in e.messages if m.code == "supply.plan_not_cheaper"]
    assert len(said) > 0
