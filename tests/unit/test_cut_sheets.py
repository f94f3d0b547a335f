"""Cut sheets: what stands on them is read back, and the plan rebuilt from it alone."""

from __future__ import annotations

import io
import math
import re
import xml.etree.ElementTree as ET
from collections import Counter
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from pypdf import PdfReader

from meshcore.cli import main
from meshcore.documents.cut_sheet_labels import labels_in, read_labels
from meshcore.documents.cut_sheet_svg import PlanSheet, cut_sheet_svg
from meshcore.documents.cut_sheets import PAPERS, cut_sheet_pdf, plan_sheets, write_cut_sheet
from meshcore.documents.terms import TermsError
from meshcore.estimates.pipeline import estimate_list
from meshcore.estimates.results import EstimateSet
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.drawing.bands import bands_of
from meshcore.supply.drawing.knives import knives_of, roll_sheets
from meshcore.supply.drawing.slit_dxf import slit_dxf
from meshcore.supply.nesting.check import faults
from meshcore.supply.nesting.parts import Cloth, FreePart, Placements
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.nesting.postures import posture
from meshcore.supply.policy import default_supply_policy
from meshcore.supply.slitting.plan import SlitPlan

CLOTH = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "order": "K 7"}
STRIPS = [("410 mm", "20 m", "12"), ("260 mm", "10 m", "18"), ("650 mm", "20 m", "5")]
PIECES = [
    ("disc", "diameter 260 mm", "14"),
    ("right triangle", "base 600 mm, height 450 mm", "12"),
    ("rectangle", "350 x 220 mm", "20"),
]
POLICY = replace(default_supply_policy(), kerf_m=0.001, part_roll_charge_m=1.5)
DAY = date(2026, 11, 2)


def priced(rows: list[dict[str, str]]) -> EstimateSet:
    frame = pd.DataFrame([CLOTH | {"line": str(10 * n)} | row for n, row in enumerate(rows, 1)])
    return estimate_list(frame, supply_policy=POLICY, cutting=CuttingEffort(seconds=2.0))


@pytest.fixture(scope="module")
def strips() -> EstimateSet:
    columns = ("width", "length", "quantity")
    return priced([{"form": "strip"} | dict(zip(columns, r, strict=True)) for r in STRIPS])


@pytest.fixture(scope="module")
def pieces() -> EstimateSet:
    columns = ("shape", "dimensions", "quantity")
    return priced([{"form": "piece"} | dict(zip(columns, r, strict=True)) for r in PIECES])


def slit_plan(estimates: EstimateSet) -> SlitPlan:
    (plan,) = estimates.plans
    assert isinstance(plan.layout, SlitPlan)
    return plan.layout


def nest_plan(estimates: EstimateSet) -> NestPlan:
    (plan,) = estimates.plans
    assert isinstance(plan.layout, NestPlan)
    return plan.layout


def words(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


ROLL = re.compile(
    r"Rolls? \d+(?: to \d+, alike)?: (full|half|part), ([\d.]+) mm wide, ([\d.]+) m\b"
)
KNIVES = re.compile(r"([\d.]+) m to ([\d.]+) m, pattern (\d+): knives at ([\d., \n]+) mm")


def test_the_slit_plan_is_rebuilt_from_the_printed_sheet(strips: EstimateSet) -> None:
    """Knives as they are printed, from one edge: what lies between two is a strip as ordered."""
    plan = slit_plan(strips)
    text = words(cut_sheet_pdf(plan_sheets(strips, DAY), "A mill").content)
    rolls = ROLL.findall(text)
    bought = [(r.kind, r.length_m) for group in plan.rolls for r in group]
    assert [kind for kind, _, _ in rolls] == [kind for kind, _ in bought]
    assert [float(m) for _, _, m in rolls] == pytest.approx([m for _, m in bought], abs=5e-4)
    count = dict.fromkeys(range(len(plan.order.width_m)), 0)
    alike = [roll.count for group in plan.rolls for roll in group]
    parts = ROLL.split(text)[4::4]
    for times, part in zip(alike, parts, strict=True):
        for start, end, _, listed in KNIVES.findall(part):
            knives = [float(one) for one in listed.replace("\n", " ").split(",")]
            assert knives[0] == pytest.approx(POLICY.edge_trim_m * 1e3)
            for left, right in zip([knives[0] - 1.0, *knives[1:]], knives[1:], strict=False):
                lane = right - left - 1.0
                (item,) = np.flatnonzero(np.abs(plan.order.width_m * 1e3 - lane) < 0.15).tolist()
                along = float(end) - float(start)
                count[item] += times * math.floor(along / plan.order.length_m[item] + 1e-3)
    assert all(count[n] >= wanted for n, wanted in enumerate(plan.order.quantity.tolist()))


def test_strips_are_told_one_by_one(strips: EstimateSet) -> None:
    plan = slit_plan(strips)
    (sheet,) = plan_sheets(strips, DAY)
    laid: Counter[str] = Counter()
    alike = [roll.count for group in plan.rolls for roll in group]
    for times, block in zip(alike, sheet.blocks, strict=True):
        for name, *_ in block.rows:
            laid[name] += times
    assert [laid[str(10 * n)] for n in (1, 2, 3)] == plan.produced.tolist()
    assert [row[:3] for row in sheet.check] == [
        ("10", "410 mm × 20.000 m", "12"),
        ("20", "260 mm × 10.000 m", "18"),
        ("30", "650 mm × 20.000 m", "5"),
    ]


def test_as_many_knives_as_are_charged_for(strips: EstimateSet) -> None:
    plan = slit_plan(strips)
    for trim in (0.010, 0.0):
        other = replace(plan, terms=replace(plan.terms, edge_trim_m=trim))
        slits = sum(len(knives_of(other, r)) * r.length_m * r.repeats for r in other.runs)
        assert slits == pytest.approx(other.slit_length_m)


def test_the_drawing_of_a_roll_is_to_scale_across(strips: EstimateSet) -> None:
    """Where a knife is drawn, in shares of the cloth's width, is where it stands."""
    plan = slit_plan(strips)
    (sheet,) = plan_sheets(strips, DAY)
    for roll, block in zip(roll_sheets(plan), sheet.blocks, strict=True):
        width = plan.terms.stocks[roll.stock].width_m * 1e3
        tree = ET.fromstring(block.picture.svg)
        outline = next(r for r in tree.iter() if r.get("stroke-width") == "1")
        left, wide = float(outline.attrib["x"]), float(outline.attrib["width"])
        knives = [e for e in tree.iter() if e.get("data-knife")]
        assert len(knives) == sum(len(section.knives_m) for section in roll.sections)
        for knife in knives:
            share = (float(knife.attrib["x1"]) - left) / wide
            assert share == pytest.approx(float(knife.attrib["data-knife"]) / width, abs=2e-4)
        assert {"trim"} <= {e.get("data-waste") for e in tree.iter()}


def rebuilt(plan: NestPlan, placed: list[list[tuple[float, ...]]]) -> NestPlan:
    """A nest from (shape, x, y, turn) of each piece of each cloth [mm, °]."""
    cloths = []
    for cloth, rows in zip(plan.cloths, placed, strict=True):
        shape, x, y, turn = (np.array(column) for column in zip(*rows, strict=True))
        turn = np.radians(turn)
        low = [
            posture(plan.order.shapes[int(s)], float(t)).bounds
            for s, t in zip(shape, turn, strict=True)
        ]
        shift = np.array(low)[:, :2]
        at = Placements(shape.astype(int), x / 1e3 - shift[:, 0], y / 1e3 - shift[:, 1], turn)
        cloths.append(Cloth(cloth.length_m, (FreePart(at, cloth.length_m),), cloth.repeats))
    return replace(plan, cloths=tuple(cloths))


def test_the_nest_is_rebuilt_from_the_drawing(pieces: EstimateSet) -> None:
    plan = nest_plan(pieces)
    tree = ET.fromstring(cut_sheet_svg(plan_sheets(pieces, DAY)))
    found = [e for e in tree.iter() if e.get("data-piece")]
    assert len(found) == plan.pieces
    rows = [
        (
            int(e.attrib["data-piece"].split("-")[0]) // 10 - 1,
            *(float(e.attrib[f"data-{name}"]) for name in ("x", "y", "turn")),
        )
        for e in found
    ]
    assert faults(rebuilt(plan, [rows])) == []
    labels = {e.text for e in tree.iter("{http://www.w3.org/2000/svg}text")}
    assert {e.attrib["data-piece"] for e in found} <= labels


def test_the_nest_is_rebuilt_from_the_printed_table(pieces: EstimateSet) -> None:
    """Tenths of a millimetre are printed, and a hundredth of a degree: each piece is so near."""
    plan = nest_plan(pieces)
    text = words(cut_sheet_pdf(plan_sheets(pieces, DAY), "A mill").content)
    row = re.compile(r"\b(10|20|30)-(\d+)\s+(-?[\d.]+)\s+([\d.]+)\s+([\d.]+)\b")
    read = sorted(
        {(int(n), int(s) // 10 - 1, *map(float, rest)) for s, n, *rest in row.findall(text)}
    )
    assert [n for n, *_ in read] == [*range(1, plan.pieces + 1)]
    back = rebuilt(plan, [[(s, x, y, turn) for _, s, x, y, turn in read]])
    (cloth,) = plan.cloths
    apart = np.abs(np.sort(back.boxes(back.cloths[0]), axis=0) - np.sort(plan.boxes(cloth), axis=0))
    assert apart.max() < 1e-4


def test_bands_hold_every_piece_whole() -> None:
    """Random boxes: each is in one band, inside what is drawn of it; a clear line ends a band."""
    rng = np.random.default_rng(1)
    for _ in range(50):
        start = np.sort(rng.uniform(0.0, 20.0, 60))
        boxes = np.column_stack(
            [start, start * 0, start + rng.uniform(0.1, 1.5, 60), start * 0 + 1]
        )
        bands = bands_of(boxes, 22.0, 5.0)
        held = np.concatenate([band.pieces for band in bands])
        assert sorted(held.tolist()) == [*range(60)]
        for band in bands:
            assert boxes[band.pieces, 0].min() >= band.from_m - 1e-12
            assert boxes[band.pieces, 2].max() <= band.to_m + 1e-12
            assert band.to_m - band.from_m <= 5.0 + 1.5
    rows = np.array([[n, 0.0, n + 0.9, 1.0] for n in range(12)])
    assert [b.pieces.tolist() for b in bands_of(rows, 12.0, 5.0)] == [
        [0, 1, 2, 3, 4], [5, 6, 7, 8, 9], [10, 11],
    ]  # fmt: skip


@pytest.mark.parametrize("paper", [*PAPERS])
def test_a_sheet_on_each_paper(strips: EstimateSet, pieces: EstimateSet, paper: str) -> None:
    """Sizes of ISO 216 and of US letter, in points; the head of the sheet is on its first page."""
    size = {"A4": (595.28, 841.89), "A3": (841.89, 1190.55), "Letter": (612.0, 792.0)}[paper]
    for estimates in (strips, pieces):
        content = cut_sheet_pdf(plan_sheets(estimates, DAY), "A mill", paper).content  # type: ignore[arg-type]
        page = PdfReader(io.BytesIO(content)).pages[0]
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
            size, abs=0.1
        )
        text = page.extract_text()
        for held in ("K 7", "2026-11-02", "10 per inch", "0.635 mm", "304", "Warp"):
            assert held in text


def sheet_of(estimates: EstimateSet, **labels: str) -> PlanSheet:
    (sheet,) = plan_sheets(estimates, DAY, {int(row[1:]): text for row, text in labels.items()})
    return sheet


def test_label_numbers_stand_on_the_check_list(strips: EstimateSet) -> None:
    assert [row[4] for row in sheet_of(strips, r1="K7-2").check] == ["", "K7-2", ""]


def test_black_and_white_is_enough(strips: EstimateSet, pieces: EstimateSet) -> None:
    """Every colour of the drawings is a grey."""
    for estimates in (strips, pieces):
        drawn = cut_sheet_svg(plan_sheets(estimates, DAY))
        for colour in re.findall(r"#([0-9a-fA-F]{6})\b", drawn.replace("#1b1f24", "#000000")):
            assert len({colour[:2], colour[2:4], colour[4:]}) == 1, colour


def test_what_cannot_be_printed_is_said(strips: EstimateSet, tmp_path: Path) -> None:
    with pytest.raises(TermsError, match="no cutting plan"):
        write_cut_sheet(replace(strips, plans=()), tmp_path / "a.pdf")
    with pytest.raises(TermsError, match=r"\.pdf or \.svg"):
        write_cut_sheet(strips, tmp_path / "a.png")
    write_cut_sheet(strips, tmp_path / "a.svg")
    assert (tmp_path / "a.svg").read_text("utf-8").startswith("<svg")


def test_a_slit_plan_as_dxf(strips: EstimateSet) -> None:
    """Read by ezdxf: strips as closed outlines of their size, a line for every knife."""
    from ezdxf.filemanagement import read  # noqa: PLC0415

    plan = slit_plan(strips)
    drawing = read(io.StringIO(slit_dxf(plan).decode("utf-8")))
    space = drawing.modelspace()
    knives = [e for e in space if e.dxf.layer == "knives"]
    assert len(knives) == sum(len(knives_of(plan, run)) for run in plan.runs)
    sizes: Counter[tuple[float, float]] = Counter()
    for e in space.query("LWPOLYLINE[layer=='pieces']"):
        points = np.array([p[:2] for p in e.get_points()])  # type: ignore[attr-defined]
        sizes[tuple(np.round(np.ptp(points, axis=0), 3).tolist())] += 1
    for run in plan.runs:
        for lane in run.lanes:
            for item, count in lane.strips:
                key = (
                    round(float(plan.items.length_m[item]) * 1e3, 3),
                    round(lane.width_m * 1e3, 3),
                )
                sizes[key] -= count
    assert set(sizes.values()) == {0}


def test_the_command_writes_a_cut_sheet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = tmp_path / "strips.csv"
    lines.write_text(
        "order,mesh_count,wire_diameter,alloy,form,width,length,quantity\n"
        "A1,10 / in,0.025 in,304,strip,410 mm,20 m,12\n"
        "A1,10 / in,0.025 in,304,strip,260 mm,10 m,18\n"
    )
    sheet = tmp_path / "sheet.pdf"
    words_ = ["price", str(lines), "-o", str(tmp_path / "out.csv"), "--demo", "--plan"]
    assert main([*words_, "--cut-sheet", str(sheet), "--paper", "Letter"]) == 0
    assert f"Cut sheet written to {sheet}." in capsys.readouterr().out
    assert "knives at" in words(sheet.read_bytes())
    assert main([*words_, "--cut-sheet", str(tmp_path / "sheet.doc")]) == 2
    assert "--cut-sheet writes .pdf or .svg" in capsys.readouterr().err


def test_labels_given_by_line_stand_on_the_sheet(pieces: EstimateSet) -> None:
    labels = read_labels(labels_in("10 = L-2026-0012; 30=L-2026-0014"), pieces)
    assert labels == {0: "L-2026-0012", 2: "L-2026-0014"}
    (sheet,) = plan_sheets(pieces, DAY, labels)
    at = sheet.check_columns.index("Label")
    assert [row[at] for row in sheet.check] == ["L-2026-0012", "", "L-2026-0014"]


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ("L-12", "as 2=L-0013"),
        ("=L-12", "as 2=L-0013"),
        ("11=L-12", "There are lines 10, 20, 30"),
        ("10=L-12, 10=L-13", "line 10 is told two labels"),
    ],
)
def test_labels_that_cannot_be_are_refused(given: str, said: str, pieces: EstimateSet) -> None:
    with pytest.raises(TermsError, match=re.escape(said)):
        read_labels(labels_in(given), pieces)


def test_a_label_comes_by_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "sheet.svg"
    line = ["--mesh-count", "10/in", "--wire", "0.025 in", "--alloy", "304", "--demo",
            "--strip", "410 mm x 20 m", "--quantity", "4", "--plan", "1"]  # fmt: skip
    assert main(["estimate", *line, "--cut-sheet", str(out), "--label", "1=L-0012"]) == 0
    assert "L-0012" in out.read_text("utf-8")
    assert main(["estimate", *line, "--label", "1=L-0012"]) == 2
    assert "--cut-sheet OUT" in capsys.readouterr().err


def test_pieces_of_a_row_are_listed_across_the_cloth() -> None:
    """Two rows of triangles head to tail: their x differ by rounding alone."""
    estimates = priced(
        [{"form": "piece", "shape": "right triangle", "dimensions": "base 600 mm, height 450 mm",
          "quantity": "12"}]
    )  # fmt: skip
    (sheet,) = plan_sheets(estimates, DAY)
    rows = [tuple(map(float, cells[1:3])) for block in sheet.blocks for cells in block.rows]
    assert rows == sorted(rows)
