"""The page of cutting: the library's plan and price, refusals beside their fields, drawings."""

from __future__ import annotations

import gc
import io
import re
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import pandas as pd
import pytest
from browsing import NARROW, download, visiting
from ezdxf import filemanagement
from ezdxf.units import MM
from streamlit.testing.v1 import AppTest
from test_app_browser import workbook_price
from test_app_enquiry import POLICY, figure, money, shown

import meshcore as mc
from meshcore.commands.cutting_report import plan_svg
from meshcore.demo import DEMO_VARIABLE
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.summary import list_totals
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.slitting.plan import SlitPlan
from meshcore_estimator.cutting import planning_job
from meshcore_estimator.cutting.drawings import Drawing
from meshcore_estimator.cutting.plan_view import with_marks

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

CLOTH = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304"}
#: Pieces whose best plan is a closed form, found without a search.
DISCS = {"shape": "disc", "dimensions": "diameter 200 mm", "quantity": "60"}
#: Strips that fill their cloth, so that the plan is proven at once.
EXACT = {"width": "299 mm", "length": "30.48 m", "quantity": "8"}


def _cutting_page() -> None:
    from meshcore_estimator.cutting import page as page_cutting  # noqa: PLC0415 - run as a script of its own

    page_cutting.page()


@pytest.fixture
def cutting_page(monkeypatch: pytest.MonkeyPatch) -> AppTest:
    """The page as it opens on the demonstration data, its order planned."""
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    return AppTest.from_function(_cutting_page, default_timeout=60).run()


@pytest.fixture
def bare_page() -> AppTest:
    """The page as it opens without the demonstration data."""
    return AppTest.from_function(_cutting_page, default_timeout=60).run()


SQUARE, HOLE = [(0, 0), (100, 0), (100, 100), (0, 100)], ((50, 50), 20)
#: A tab with a half-round end: x, y, bulge.
TAB = [(200, 0, 0), (260, 0, 1), (260, 50, 0), (200, 50, 0)]


def drawn(unit: int, *, square: bool = True, tab: bool = True) -> bytes:
    """A drawing of a square with a hole and of a tab, its unit stated or 0."""
    drawing = filemanagement.new(units=unit)
    space = drawing.modelspace()
    if square:
        space.add_lwpolyline(SQUARE, close=True)
        space.add_circle(*HOLE)
    if tab:
        space.add_lwpolyline(TAB, "xyb", close=True)
    stream = io.StringIO()
    drawing.write(stream)
    return stream.getvalue().encode()


@pytest.fixture
def bracket() -> bytes:
    """Both pieces; the unit is not stated."""
    return drawn(0)


def type_rows(page: AppTest, form: str, rows: list[dict[str, str]]) -> AppTest:
    """Replace the rows of a table by others."""
    before = page.session_state["cutting_mounted"][form]
    page.session_state[f"cutting_table_{form}"] = {
        "edited_rows": {},
        "added_rows": rows,
        "deleted_rows": list(range(len(before))),
    }
    return page.run()


def choose_pieces(page: AppTest) -> AppTest:
    return page.segmented_control(key="cutting_form").set_value("piece").run()


def plan(page: AppTest) -> EstimateSet:
    """Press the button; return what was planned."""
    page.button(key="plan_cutting").click().run()
    assert not page.exception
    estimates: EstimateSet = page.session_state["cutting_planned"][1]
    return estimates


def of_library(
    form: str, rows: list[dict[str, str]], cutting: CuttingEffort | None = None
) -> EstimateSet:
    lines = pd.DataFrame([CLOTH | {"order": "A", "form": form} | row for row in rows])
    effort = cutting or CuttingEffort(0)
    return mc.estimate_list(lines, supply_policy=POLICY, cutting=effort)


def test_a_plan_that_is_stopped_is_the_best_so_far(cutting_page: AppTest) -> None:
    # Two minutes are given; somebody who waits asks for what there is.
    choose_pieces(cutting_page)
    cutting_page.number_input(key="cutting_seconds").set_value(120.0).run()
    asked = threading.Thread(target=_stop_what_is_planned, daemon=True)
    asked.start()
    began = time.monotonic()
    estimates = plan(cutting_page)
    assert time.monotonic() - began < 110.0
    (made,) = estimates.plans
    assert isinstance(made.layout, NestPlan)
    assert made.layout.checked
    assert figure(cutting_page, "Price of the order") == money(list_totals(estimates).price)


def test_what_is_chosen_is_marked_in_the_drawing_and_the_table(cutting_page: AppTest) -> None:
    assert "marked" not in shown(cutting_page, "cutting_patterns")
    (mark,) = (box for box in cutting_page.selectbox if box.label.startswith("Mark in"))
    mark.set_value(1).run()
    assert not cutting_page.exception
    estimates: EstimateSet = cutting_page.session_state["cutting_planned"][1]
    (made,) = estimates.plans
    assert "260 mm" in shown(cutting_page, "cutting_patterns").split("◀ marked")[0]
    assert isinstance(made.layout, SlitPlan)
    ((item, _),) = made.layout.parts_of_strip[1]
    drawn = with_marks(made, plan_svg(made), 1)
    assert f'[data-item="{item}"]{{' in drawn
    assert f'data-item="{item}"' in plan_svg(made)


def _stop_what_is_planned() -> None:
    """Stop the next job that begins, two seconds after it has."""
    while not (jobs := [job for job in _jobs() if job.seconds == 120.0]):
        time.sleep(0.5)
    time.sleep(2.0)
    for job in jobs:
        job.stop.set()


def _jobs() -> list[planning_job.Job]:
    return [one for one in gc.get_objects() if isinstance(one, planning_job.Job)]


def test_label_numbers_reach_the_cut_sheet(cutting_page: AppTest) -> None:
    cutting_page.text_input(key="cutting_labels").set_value("1=L-0012, 9=L-0013").run()
    assert "There are lines 1, 2, 3" in shown(cutting_page, "cutting_labels_said")
    cutting_page.text_input(key="cutting_labels").set_value("1=L-0012").run()
    assert not shown(cutting_page, "cutting_labels_said").strip()


def test_it_opens_on_a_planned_order_with_both_prices(cutting_page: AppTest) -> None:
    estimates: EstimateSet = cutting_page.session_state["cutting_planned"][1]
    (made,) = estimates.plans
    assert isinstance(made.layout, SlitPlan)
    assert not cutting_page.exception
    planned, whole = (
        figure(cutting_page, "Price of the order"),
        figure(cutting_page, "Without planning"),
    )
    assert planned == money(list_totals(estimates).price)
    rows = cutting_page.session_state["cutting_tables"]["strip"]
    assert whole == money(list_totals(of_library("strip", rows)).price)
    assert list_totals(estimates).price < list_totals(of_library("strip", rows)).price
    assert figure(cutting_page, "Yield") == f"{made.layout.yield_share:.1%}".replace("%", " %")
    assert f"{made.layout.bound:,.2f} m²" in shown(cutting_page, "headline")
    patterns = shown(cutting_page, "cutting_patterns")
    for run in made.layout.runs:
        assert f"× {run.repeats}" in patterns
    assert all(roll.kind in patterns for rolls in made.layout.rolls for roll in rolls)


def test_a_row_that_is_only_begun_is_no_line(cutting_page: AppTest) -> None:
    before = shown(cutting_page, "cutting_lines")
    cutting_page.session_state["cutting_table_strip"] = {
        "edited_rows": {}, "added_rows": [{}], "deleted_rows": [],
    }  # fmt: skip
    cutting_page.run()
    assert not cutting_page.exception
    assert shown(cutting_page, "cutting_lines") == before


def test_cut_edges_are_cautioned_about(cutting_page: AppTest) -> None:
    assert "sharp" in shown(cutting_page, "cutting_notes")
    assert "gloves" in shown(cutting_page, "cutting_notes")


def test_a_changed_order_waits_to_be_planned_anew(cutting_page: AppTest) -> None:
    type_rows(cutting_page, "strip", [EXACT])
    assert not cutting_page.exception
    assert figure(cutting_page, "Price with the plan") == "–"
    whole = list_totals(of_library("strip", [EXACT])).price
    assert figure(cutting_page, "Price without planning") == money(whole)

    found = plan(cutting_page)
    expected = list_totals(of_library("strip", [EXACT], CuttingEffort(3.0)))
    assert list_totals(found).price == expected.price
    assert figure(cutting_page, "Price of the order") == money(expected.price)
    assert figure(cutting_page, "Above the least possible") == "0.0 %"


def test_offcuts_worth_keeping_are_credited_in_the_price(cutting_page: AppTest) -> None:
    type_rows(cutting_page, "strip", [{"width": "500 mm", "length": "10 m", "quantity": "1"}])
    found = plan(cutting_page)
    (made,) = found.plans
    assert made.kept
    patterns = shown(cutting_page, "cutting_patterns")
    assert "keep" in patterns
    said = " ".join(e.value for e in cutting_page.caption)
    assert f"{made.credit_share:.1%}".replace("%", " %") in said
    items = found.cost_items()
    (credit,) = items[items["amount"] < 0].to_dict("records")
    listed = shown(cutting_page, "cutting_items")
    assert credit["label"] in listed
    assert money(credit["amount"], "").strip().replace("-", "−") in listed


def test_pieces_are_priced_by_their_nest(cutting_page: AppTest) -> None:
    choose_pieces(cutting_page)
    type_rows(cutting_page, "piece", [DISCS])
    cutting_page.number_input(key="cutting_seed").set_value(7).run()
    found = plan(cutting_page)
    expected = of_library("piece", [DISCS], CuttingEffort(3.0, seed=7))
    nest = expected.plans[0].layout
    assert isinstance(nest, NestPlan)
    assert figure(cutting_page, "Price of the order") == money(list_totals(expected).price)
    assert f"{nest.count_per_metre:.1f} pieces per metre" in shown(cutting_page, "headline")
    assert f"{nest.length_m:.3f} m" in shown(cutting_page, "cutting_patterns")
    assert nest.method in shown(cutting_page, "cutting_patterns")
    assert "Seed 7" in shown(cutting_page, "cutting_patterns")
    (made,) = found.plans
    assert isinstance(made.layout, NestPlan)
    assert made.layout.checked


def test_how_pieces_may_lie_reaches_the_plan(cutting_page: AppTest) -> None:
    choose_pieces(cutting_page)
    type_rows(cutting_page, "piece", [DISCS | {"shape": "rectangle", "dimensions": "400 x 150 mm"}])
    cutting_page.checkbox(key="cutting_along").check().run()
    along = plan(cutting_page).plans[0].layout
    cutting_page.checkbox(key="cutting_along").uncheck().run()
    cutting_page.checkbox(key="cutting_bias").check().run()
    bias = plan(cutting_page).plans[0].layout
    assert isinstance(along, NestPlan)
    assert along.terms.warp_along_long_side
    assert isinstance(bias, NestPlan)
    assert bias.terms.bias_45


@pytest.mark.parametrize(
    ("form", "row", "says"),
    [
        ("strip", EXACT | {"length": ""}, "Length"),
        ("strip", EXACT | {"width": "3 m"}, "Width 3 m"),
        ("piece", DISCS | {"shape": "triangle", "dimensions": "side a 300 mm, side b 400 mm"},
         "needs its side c or angle"),
        ("piece", DISCS | {"shape": "ring", "dimensions": "outer diameter 90 mm, inner diameter "
                           "120 mm"}, "inner diameter"),
        ("piece", DISCS | {"quantity": "0"}, "Quantity"),
        ("piece", DISCS | {"dimensions": "diameter 2500 mm"}, "Dimensions"),
    ],
)  # fmt: skip
def test_what_cannot_be_cut_is_refused_beside_the_table(
    cutting_page: AppTest, form: str, row: dict[str, str], says: str
) -> None:
    good = EXACT if form == "strip" else DISCS
    if form == "piece":
        choose_pieces(cutting_page)
    type_rows(cutting_page, form, [good, row])
    for found in (None, plan(cutting_page)):
        said = shown(cutting_page, "cutting_said")
        assert "line 2" in said
        assert says in said
        assert "1 of 2 lines refused" in shown(cutting_page, "cutting_status")
        if found is not None:
            expected = list_totals(of_library(form, [good], CuttingEffort(3.0)))
            assert figure(cutting_page, "Price of the lines priced") == money(expected.price)


def test_a_drawing_asks_for_its_unit_and_becomes_pieces(
    cutting_page: AppTest, bracket: bytes
) -> None:
    draw_pieces(cutting_page, bracket)
    assert "Choose one of mm, cm, m, in, ft" in " ".join(e.value for e in cutting_page.html)
    say_unit(cutting_page, "cm")
    pieces = cutting_page.dataframe[-1].value
    assert pieces["piece"].tolist() == ["bracket 1", "bracket 2"]
    assert pieces["size"].tolist() == ["1,000 × 1,000 mm", "850 × 500 mm"]
    # 100² − π·20², and 60·50 + π·25²/2, in cm².
    assert pieces["area"].tolist() == ["8,743.4 cm²", "3,981.7 cm²"]
    say_unit(cutting_page, "mm")
    assert cutting_page.dataframe[-1].value["size"].tolist() == ["100 × 100 mm", "85 × 50 mm"]


def test_pieces_from_a_drawing_cost_what_the_library_says(
    cutting_page: AppTest, bracket: bytes, tmp_path: Path
) -> None:
    draw_pieces(cutting_page, bracket)
    say_unit(cutting_page, "mm")
    files = {"square": drawn(MM, tab=False), "tab": drawn(MM, square=False)}
    rows = []
    for name, content in files.items():
        (tmp_path / f"{name}.dxf").write_bytes(content)
        sizes = f"file {tmp_path / name}.dxf"
        rows.append({"shape": "dxf", "dimensions": sizes, "quantity": "1"})
    expected = list_totals(of_library("piece", rows, CuttingEffort(3.0)))
    plan(cutting_page)
    assert figure(cutting_page, "Price of the order") == money(expected.price)
    assert "drawing bracket 1" in shown(cutting_page, "cutting_lines")


def test_a_piece_of_a_drawing_can_be_left_out(cutting_page: AppTest, bracket: bytes) -> None:
    draw_pieces(cutting_page, bracket)
    say_unit(cutting_page, "mm")
    key = next(k for e in cutting_page.data_editor if "outlines" in (k := str(e.key)))
    cutting_page.session_state[key] = {
        "edited_rows": {0: {"quantity": "0"}, 1: {"quantity": "12"}},
        "added_rows": [],
        "deleted_rows": [],
    }
    cutting_page.run()
    lines = shown(cutting_page, "cutting_lines")
    assert "drawing bracket 1" not in lines
    assert "1 drawing bracket 2 12 " in lines


def draw_pieces(page: AppTest, content: bytes) -> None:
    """Give a drawing, and nothing else."""
    choose_pieces(page)
    type_rows(page, "piece", [])
    page.session_state["cutting_drawings"] = [Drawing("bracket.dxf", content)]
    page.run()


def say_unit(page: AppTest, unit: str) -> None:
    field = next(e for e in page.selectbox if str(e.key).startswith("cutting_unit_"))
    field.set_value(unit).run()
    assert not page.exception


def _saved(content: bytes, folder: Path) -> Path:
    path = folder / "bracket.dxf"
    path.write_bytes(content)
    return path


def test_a_drawing_that_cannot_be_read_is_not_priced_in_silence(cutting_page: AppTest) -> None:
    choose_pieces(cutting_page)
    cutting_page.session_state["cutting_drawings"] = [Drawing("lid.dxf", b"no drawing at all")]
    cutting_page.run()
    assert not cutting_page.exception
    assert "Not in this price, because it cannot be read: lid.dxf" in shown(
        cutting_page, "cutting_notes"
    )


def test_the_cloth_is_the_enquirys_and_changes_with_it(cutting_page: AppTest) -> None:
    cutting_page.text_input(key="cutting_cloth_wire_diameter").set_value("0.032 in").run()
    assert cutting_page.session_state["ask_wire_diameter"] == "0.032 in"
    assert "0.8128 mm" in shown(cutting_page, "cutting_cloth")
    rows = cutting_page.session_state["cutting_tables"]["strip"]
    heavier = of_library("strip", [row | {"wire_diameter": "0.032 in"} for row in rows])
    assert figure(cutting_page, "Price without planning") == money(list_totals(heavier).price)


def test_a_cloth_that_cannot_be_understood_is_refused_at_its_field(cutting_page: AppTest) -> None:
    cutting_page.text_input(key="cutting_cloth_wire_diameter").set_value("16 ga").run()
    assert "16 SWG" in " ".join(e.value for e in cutting_page.html)
    assert figure(cutting_page, "Price without planning") == "no price"
    assert not cutting_page.exception


def test_without_a_cloth_it_says_what_to_give(bare_page: AppTest) -> None:
    assert not bare_page.exception
    assert "Name the cloth and list what is to be cut" in shown(bare_page, "cutting_answer")


@pytest.fixture
def page(browser: Browser, app_url: str) -> Iterator[Page]:
    with visiting(browser, f"{app_url}/cutting") as opened:
        yield opened


@pytest.mark.browser
def test_pieces_are_drawn_planned_and_taken_away(
    page: Page, bracket: bytes, tmp_path: Path
) -> None:
    page.get_by_role("radio", name="Pieces").click()
    page.set_input_files("input[type=file]", _saved(bracket, tmp_path))
    page.get_by_label("Unit of bracket.dxf").click()
    page.get_by_role("option", name="mm", exact=True).click()
    page.get_by_text("2 outlines").wait_for()
    page.get_by_role("button", name="Plan the cutting").click()
    dxf, svg, xlsx = (
        download(page, f"download_{name}", tmp_path / name)
        for name in ("plan_dxf", "plan_svg", "cutting_xlsx")
    )
    picture = page.locator(".st-key-cutting_drawing_box img")
    picture.wait_for()
    assert picture.evaluate("async e => (await e.decode(), e.naturalWidth)") > 0

    cut = filemanagement.readfile(dxf)
    outlines = cut.modelspace().query('*[layer=="pieces"]')
    lines = page.locator(".st-key-cutting_lines table").first.locator("tbody tr")
    ordered = lines.locator("td:nth-child(3)").all_inner_texts()
    assert len(outlines) == sum(map(int, ordered)) + 1  # one piece has a hole
    shapes = set(re.findall(r'data-shape="(\d+)"', svg.read_text("utf-8")))
    assert shapes == {str(number) for number in range(1, len(ordered) + 1)}
    assert cut.units == MM

    renamed = xlsx.rename(xlsx.with_suffix(".xlsx"))
    assert f"{workbook_price(renamed):,.2f}" in lines.first.inner_text()
    listed = pd.read_excel(renamed, sheet_name="Priced list", dtype=str)
    assert listed["dimensions"].tolist()[-2:] == [f"file bracket {n}.dxf, unit mm" for n in (1, 2)]


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_plan_stays_inside_a_narrow_screen(
    browser: Browser, app_url: str, scheme: Literal["light", "dark"]
) -> None:
    with visiting(browser, f"{app_url}/cutting", NARROW, scheme) as page:
        page.wait_for_selector(".st-key-cutting_drawing_box img")
        widths = page.evaluate(
            "[document.documentElement, document.querySelector('[data-testid=stMain]')]"
            ".map(e => e.scrollWidth)"
        )
        assert max(widths) <= NARROW[0]
        assert "EUR" in page.locator(".st-key-price_bar").inner_text()
