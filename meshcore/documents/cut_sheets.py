"""Cut sheets: what a slitter or cutter works from, as PDF or SVG, one part for each plan."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, Literal

from meshcore.documents.cut_sheet_svg import Block, PlanSheet, cut_sheet_svg
from meshcore.documents.printing import breakable, check_writable, write_bytes
from meshcore.documents.terms import TermsError
from meshcore.documents.typesetting import Printed, pictures, typeset
from meshcore.estimates.results import EstimateSet
from meshcore.reading.tables.field_names import ORDER
from meshcore.supply.cutting import CuttingPlan
from meshcore.supply.drawing.knives import RollSheet, roll_sheets
from meshcore.supply.drawing.nest_sheet import draw_cloth, piece_places, place_cells
from meshcore.supply.drawing.roll_sheet import draw_roll
from meshcore.supply.drawing.sheet_parts import mm
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.offcuts import Offcut
from meshcore.supply.slitting.plan import SlitPlan
from meshcore.units import METRES_PER_INCH
from meshcore.weave.cloth import WEAVES

#: Sheets of paper, as Typst names them, and the share of its width that a drawing takes so that a
#: band and its heading stand on one page.
PAPERS: Mapping[str, tuple[str, float, int]] = {
    "A4": ("a4", 1.0, 0), "A3": ("a3", 0.98, 1), "Letter": ("us-letter", 0.93, 0),
}  # fmt: skip
Paper = Literal["A4", "A3", "Letter"]
_LAYOUT = "cut_sheet.typ"
_SHARP = (
    "Cut edges are sharp: wear gloves and eye protection, and keep to the rules of the machine. "
    "The plan knows sizes only; look at grain, flatness and the machine's own limits before "
    "cutting."
)


def plan_sheets(
    estimates: EstimateSet, day: date, labels: Mapping[int, str] | None = None
) -> tuple[PlanSheet, ...]:
    """Write out every plan of some estimates.

    Parameters
    ----------
    estimates
        Priced with plans.
    day
        The date that stands on the sheet.
    labels
        Row → numbers of its labels, where they are given.

    Raises
    ------
    TermsError
        If there is no plan, or one that was not checked: what is not proven is not cut.
    """
    if not estimates.plans:
        raise TermsError("there is no cutting plan to print; plan strips or pieces with --plan.")
    return tuple(_plan_sheet(estimates, plan, day, labels or {}) for plan in estimates.plans)


def _plan_sheet(
    estimates: EstimateSet, plan: CuttingPlan, day: date, labels: Mapping[int, str]
) -> PlanSheet:
    names = {row: str(number) for number, row in enumerate(plan.rows.tolist(), 1)}
    lines = [_line_label(estimates, row) for row in plan.rows.tolist()]
    if len(set(lines)) == len(lines):
        names = dict(zip(plan.rows.tolist(), lines, strict=True))
    layout = plan.layout
    notes: tuple[str, ...]
    if isinstance(layout, SlitPlan):
        title, blocks, notes = (
            "Slitting",
            _slit_blocks(layout, _item_names(plan, layout, names)),
            (),
        )
    else:
        if not layout.checked:
            raise TermsError("a nest that did not pass its check is not printed for the cutter.")
        of_shape = [names[row] for row in plan.firsts.tolist()]
        title, blocks = "Cutting", _nest_blocks(layout, of_shape)
        notes = ("x runs along the cloth from its start, y across it from the edge at the left of "
                 "the drawing, both to the upright box about the piece; turns are anticlockwise "
                 "from how the piece is described.",)  # fmt: skip
    check = tuple(
        _check_row(estimates, plan, row, names[row], labels) for row in plan.rows.tolist()
    )
    columns = ("Name", "Size", "Ordered", "On this sheet", "Label", "Done")
    kept = tuple(f"keep: {_offcut_text(o)}" for o in plan.kept)
    return PlanSheet(
        title, _facts(estimates, plan, day), tuple(blocks), columns, check, (*notes, *kept, _SHARP)
    )


def _line_label(estimates: EstimateSet, row: int) -> str:
    heading = estimates.headings.column.get("line")
    cell = "" if heading is None else str(estimates.enquiries[heading].iloc[row])
    return cell or str(row + 1)


def _facts(estimates: EstimateSet, plan: CuttingPlan, day: date) -> tuple[tuple[str, str], ...]:
    row = int(plan.rows[0])
    cloth = estimates.orders.cloth
    pitch, wire = float(cloth.pitch_m[row]), float(cloth.wire_diameter_m[row])
    count = METRES_PER_INCH / pitch
    alloy = cloth.alloys[int(cloth.alloy[row])].designation
    heading = estimates.headings.column.get(ORDER)
    order = "" if heading is None else str(estimates.enquiries[heading].iloc[row])
    facts = [
        ("Order", order or "—"), ("Date", day.isoformat()),
        ("Mesh", f"{count:.4g} per inch, pitch {pitch * 1e3:.4g} mm, "
                 f"{WEAVES[int(cloth.weave[row])]} weave"),
        ("Wire", f"{wire * 1e3:.4g} mm"), ("Alloy", alloy),
        ("Warp", "along the cloth, downwards in the drawings"),
        ("Cloth", ", ".join(f"{length:.3f} m of {mm(width)} mm"
                            for width, length in plan.layout.length_by_width.items())),
    ]  # fmt: skip
    if isinstance(plan.layout, SlitPlan) and plan.layout.terms.kerf_m:
        kerf = mm(plan.layout.terms.kerf_m)
        facts.append(("Knives", f"a knife takes {kerf} mm, beyond where it is said to stand"))
    return tuple(facts)


def _item_names(plan: CuttingPlan, layout: SlitPlan, names: Mapping[int, str]) -> list[str]:
    """Name of each item that is slit: of the lines whose strips are made of it."""
    of_item: dict[int, list[str]] = {}
    for row, parts in zip(plan.rows.tolist(), layout.parts_of_strip, strict=True):
        for item, _ in parts:
            of_item.setdefault(item, []).append(names[row])
    return ["/".join(of_item[item]) for item in range(len(layout.items.quantity))]


def _slit_blocks(plan: SlitPlan, names: Sequence[str]) -> Iterator[Block]:
    first = 1
    for sheet in roll_sheets(plan):
        count, width = sheet.roll.count, plan.terms.stocks[sheet.stock].width_m
        which = f"Roll {first}" if count == 1 else f"Rolls {first} to {first + count - 1}, alike"
        first += count
        heading = f"{which}: {sheet.roll.kind}, {mm(width)} mm wide, {sheet.roll.length_m:.3f} m"
        notes = tuple(
            f"{s.from_m:.3f} m to {s.to_m:.3f} m, pattern {s.pattern}: knives at "
            f"{', '.join(mm(k) for k in s.knives_m) or 'none, the cloth as woven'} mm"
            for s in sheet.sections
        )
        picture = draw_roll(plan, sheet, names, heading)
        columns = ("Strip", "Across [mm]", "Along [m]", "Width [mm]", "Length [m]")
        rows = tuple(_strip_rows(plan, sheet, names))
        yield Block(heading, notes, picture, f"{heading}: {'; '.join(notes)}", columns, rows)


def _strip_rows(
    plan: SlitPlan, sheet: RollSheet, names: Sequence[str]
) -> Iterator[tuple[str, ...]]:
    for section in sheet.sections:
        for lane in section.lanes:
            at = section.from_m
            for item, count in lane.strips:
                for _ in range(count):
                    end = at + float(plan.items.length_m[item])
                    yield (names[item], f"{mm(lane.from_m)} to {mm(lane.to_m)}",
                           f"{at:.3f} to {end:.3f}", mm(lane.to_m - lane.from_m),
                           f"{end - at:.3f}")  # fmt: skip
                    at = end


def _nest_blocks(plan: NestPlan, names: Sequence[str]) -> Iterator[Block]:
    for number, cloth in enumerate(plan.cloths, 1):
        places = piece_places(plan, cloth, names)
        times = "" if cloth.repeats == 1 else f", cut {cloth.repeats} times"
        title = f"Cloth {number}: {mm(plan.width_m)} mm wide, {cloth.length_m:.3f} m{times}"
        drawn = list(draw_cloth(plan, cloth, places, title))
        for part, (band, picture) in enumerate(drawn, 1):
            # Pieces that begin together as printed are read across, however they were reckoned.
            own = sorted(
                (places[n] for n in band.pieces.tolist()), key=lambda p: (float(mm(p.x_m)), p.y_m)
            )
            heading = title if len(drawn) == 1 else f"{title}; part {part} of {len(drawn)}"
            note = f"{band.from_m:.3f} m to {band.to_m:.3f} m: {len(own)} pieces"
            counts = Counter(names[p.shape] for p in own)
            alt = f"{heading}: {', '.join(f'{n} of {name}' for name, n in counts.items())}"
            columns = ("Piece", "x [mm]", "y [mm]", "turn [°]")
            yield Block(heading, (note,), picture, alt, columns, tuple(map(place_cells, own)), 3)


def _check_row(
    estimates: EstimateSet, plan: CuttingPlan, row: int, name: str, labels: Mapping[int, str]
) -> tuple[str, ...]:
    ordered = int(estimates.orders.quantity[row])
    at = plan.rows.tolist().index(row)
    layout = plan.layout
    if isinstance(layout, SlitPlan):
        width, length = float(layout.order.width_m[at]), float(layout.order.length_m[at])
        size = f"{mm(width)} mm × {length:.3f} m"
        parts = layout.parts_of_strip[at]
        joined = sum(count for _, count in parts)
        size += f", joined from {joined}" if joined > 1 else ""
    else:
        shape = layout.order.shapes[int(plan.shape_of_row[at])]
        size = f"{shape.kind}, {mm(shape.width_m)} × {mm(shape.height_m)} mm"
    return name, size, str(ordered), str(ordered), labels.get(row, ""), "☐"


def _offcut_text(offcut: Offcut) -> str:
    return f"{offcut.count} × {mm(offcut.width_m)} mm by {offcut.length_m:.3f} m, {offcut.where}"


def _data(sheets: Sequence[PlanSheet], mill: str, paper: Paper) -> dict[str, Any]:
    name, scale, more = PAPERS[paper]
    orders = dict.fromkeys(dict(sheet.facts)["Order"] for sheet in sheets)
    return {
        "title": f"Cut sheet, order {', '.join(orders)}",
        "mill": mill, "paper": name, "scale": scale, "more": more,
        "plans": [
            {
                "title": sheet.title, "facts": sheet.facts, "notes": sheet.notes,
                "check_columns": sheet.check_columns,
                "check": [[breakable(cell) for cell in row] for row in sheet.check],
                "blocks": [
                    {"heading": b.heading, "notes": b.notes, "svg": b.picture.svg, "alt": b.alt,
                     "columns": b.columns, "rows": b.rows, "beside": b.beside}
                    for b in sheet.blocks
                ],
            }
            for sheet in sheets
        ],
    }  # fmt: skip


def cut_sheet_pdf(sheets: Sequence[PlanSheet], mill: str, paper: Paper = "A4") -> Printed:
    """Print cut sheets: each plan begins a page of its own."""
    return typeset(_LAYOUT, _data(sheets, mill, paper))


def cut_sheet_pages(sheets: Sequence[PlanSheet], mill: str, paper: Paper = "A4") -> list[bytes]:
    """Return the pages of cut sheets as pictures (PNG), for the screen."""
    return pictures(_LAYOUT, _data(sheets, mill, paper))


def write_cut_sheet(
    estimates: EstimateSet,
    path: Path,
    paper: Paper = "A4",
    day: date | None = None,
    labels: Mapping[int, str] | None = None,
) -> None:
    """Write the cut sheets of some estimates as the name ends: .pdf or .svg.

    Raises
    ------
    TermsError
        If the name ends in neither, there is no plan, or the file cannot be written.
    """
    check_cut_sheet(path)
    sheets = plan_sheets(estimates, day or date.today(), labels)
    if path.suffix.casefold() == ".svg":
        content = cut_sheet_svg(sheets).encode("utf-8")
    else:
        content = cut_sheet_pdf(sheets, estimates.policy.name, paper).content
    write_bytes(content, path)


def check_cut_sheet(path: Path) -> None:
    """Say at once where a cut sheet cannot be written.

    Raises
    ------
    TermsError
        If the name ends in neither ``.pdf`` nor ``.svg``, or its folder takes no file.
    """
    if path.suffix.casefold() not in (".pdf", ".svg"):
        raise TermsError(f"{path}: a cut sheet is .pdf or .svg; end it in one.")
    check_writable(path)
