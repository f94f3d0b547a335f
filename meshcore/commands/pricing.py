"""Commands that price: one enquiry, or a list."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands import report
from meshcore.commands.options import (
    Commands,
    add_cutting_options,
    add_data_options,
    add_enquiry_options,
    add_for_others,
    add_mapping_options,
    enquiry_line,
    read_cutting,
    read_data,
    whole_number,
)
from meshcore.commands.writing import write_file

if TYPE_CHECKING:
    from meshcore.estimates.results import EstimateSet

#: Units of ``meshcore.estimates.unit_prices``, here because that is heavy to load.
UNITS = ("roll", "m", "ft", "m2", "ft2", "kg", "piece")
#: Papers of ``meshcore.documents.cut_sheets``, for the same reason.
PAPERS = ("A4", "A3", "Letter")


def add(commands: Commands) -> None:
    """Add ``price`` and ``estimate``."""
    price = commands.add_parser("price", help="price an enquiry list")
    price.add_argument(
        "input", type=Path, metavar="IN", help="enquiry list: .csv .txt .xlsx .xls .ods .parquet"
    )
    price.add_argument("-o", "--output", type=Path, required=True, metavar="OUT",
                       help="priced list; .xlsx is the live workbook")  # fmt: skip
    price.add_argument("--save", default="", metavar="TITLE", help="file it for a repeat order")
    add_for_others(price)
    price.add_argument("--per", choices=UNITS, help="add the price of such a unit")
    price.add_argument("--lead-time", type=Path, metavar="FILE",
                       help="when it could leave, from the mill's data (.toml)")  # fmt: skip
    price.add_argument("--workers", type=whole_number, metavar="N",
                       help="price a list of many orders in parts, by N processes: "
                            ".csv or .parquet in and out; the lines of an order follow one "
                            "another")  # fmt: skip
    add_mapping_options(price)
    add_data_options(price)
    add_cutting_options(price)
    _add_cut_sheet(price)
    price.set_defaults(command=_price)
    one = commands.add_parser("estimate", help="price one enquiry")
    add_enquiry_options(one)
    one.add_argument("-o", "--output", type=Path, metavar="OUT", help="write it as a list too")
    add_for_others(one)
    one.add_argument("--save", default="", metavar="TITLE", help="file it for a repeat order")
    one.add_argument("--drawing", type=Path, metavar="OUT.svg", help="draw the cloth to scale")
    one.add_argument("--purpose", default="", metavar="TEXT",
                     help='recommend a weave for it, as "vibrating screen"')  # fmt: skip
    one.add_argument("--per", choices=UNITS, help="show the price of such a unit")
    one.add_argument("--range", action="store_true",
                     help="show the budget range, and what moves the price")  # fmt: skip
    one.add_argument("--explain", action="store_true", help="show the arithmetic of every item")
    add_data_options(one)
    add_cutting_options(one)
    one.add_argument("--plan-drawing", type=Path, metavar="OUT.svg", help="draw the cutting plan")
    one.add_argument("--plan-dxf", type=Path, metavar="OUT.dxf", help="write it for the cutter")
    _add_cut_sheet(one)
    one.set_defaults(command=_estimate)


def _add_cut_sheet(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--cut-sheet", type=Path, metavar="OUT",
                        help="what to cut by: .pdf or .svg, with knives and pieces")  # fmt: skip
    parser.add_argument("--paper", choices=PAPERS, default=PAPERS[0], help="of the cut sheet")
    parser.add_argument("--label", action="append", default=[], metavar="LINE=NUMBER",
                        help="a line's label on the cut sheet, as 2=L-0013")  # fmt: skip


def _write_cut_sheet(chosen: argparse.Namespace, estimates: EstimateSet) -> None:
    if chosen.cut_sheet:
        from meshcore.documents.cut_sheet_labels import read_labels  # noqa: PLC0415 - only when asked for
        from meshcore.documents.cut_sheets import write_cut_sheet  # noqa: PLC0415

        labels = read_labels(chosen.label, estimates)
        write_cut_sheet(estimates, chosen.cut_sheet, chosen.paper, labels=labels)
        print(f"Cut sheet written to {chosen.cut_sheet}.")


def _check_cut_sheet(chosen: argparse.Namespace) -> None:
    if chosen.label and not chosen.cut_sheet:
        from meshcore.documents.terms import TermsError  # noqa: PLC0415 - only when it is raised

        raise TermsError("--label stands on a cut sheet; name its file with --cut-sheet OUT.")
    if chosen.cut_sheet:
        from meshcore.documents.cut_sheets import check_cut_sheet  # noqa: PLC0415 - only when asked for

        check_cut_sheet(chosen.cut_sheet)


def _price(chosen: argparse.Namespace) -> None:
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415 - only when a command runs
    from meshcore.lists.in_parts import has_many_rows  # noqa: PLC0415
    from meshcore.lists.reading import read_list  # noqa: PLC0415
    from meshcore.lists.writing import check_writable, write_list  # noqa: PLC0415
    from meshcore.supply.shapes.drawing_files import drawings_below  # noqa: PLC0415

    check_writable(chosen.output)
    _check_cut_sheet(chosen)
    if chosen.workers or has_many_rows(chosen.input):
        _price_in_parts(chosen)
        return
    book, policy = read_data(chosen)
    table, effort = read_list(chosen.input, mapping=chosen.mapping), read_cutting(chosen)
    print(table.report)
    if chosen.save_mapping:
        table.report.mapping.save(chosen.save_mapping)
    with drawings_below(chosen.input.parent):
        estimates = estimate_list(
            table, book, policy, chosen.path, progress=report.progress(), cutting=effort
        )
    write_list(estimates, chosen.output, per=chosen.per, costs=not chosen.without_costs,
               keep=chosen.keep_column)  # fmt: skip
    print(report.list_summary(estimates, str(chosen.output)))
    if chosen.without_costs and (left := report.withheld(estimates, chosen.keep_column)):
        print(left)
    _write_cut_sheet(chosen, estimates)
    if chosen.lead_time:
        from meshcore.estimates.lead_time import (  # noqa: PLC0415 - only when asked for
            lead_time_text,
            lead_times,
            read_lead_time,
        )

        print(lead_time_text(lead_times(estimates, read_lead_time(chosen.lead_time))))
    _save(estimates, chosen.save)
    refusals = report.refusals(estimates)
    if refusals:
        print(refusals, file=sys.stderr)


#: What is of a whole list, and not of one that is priced in parts.
_OF_THE_WHOLE = ("save", "cut_sheet", "lead_time", "save_mapping")


def _price_in_parts(chosen: argparse.Namespace) -> None:
    from meshcore.lists.grids import ListError  # noqa: PLC0415 - only when a command runs
    from meshcore.lists.mapping import as_mapping  # noqa: PLC0415
    from meshcore.lists.pricing_in_parts import Terms, price_in_parts  # noqa: PLC0415

    for name in _OF_THE_WHOLE:
        if getattr(chosen, name):
            option = f"--{name.replace('_', '-')}"
            raise ListError(f"{option} is of a list that is priced as a whole, and this one is "
                            "priced in parts. Leave it out, or part the list.")  # fmt: skip
    book, policy = read_data(chosen)
    costs = not chosen.without_costs
    terms = Terms(book, policy, chosen.path, read_cutting(chosen), costs, chosen.per,
                  tuple(chosen.keep_column))  # fmt: skip
    done = price_in_parts(
        chosen.input, chosen.output, terms, workers=chosen.workers or 1,
        mapping=as_mapping(chosen.mapping) if chosen.mapping else None,
        progress=report.progress_of_lines(),
    )  # fmt: skip
    print(report.parts_summary(done, terms, str(chosen.output)))
    if refusals := report.parts_refusals(done):
        print(refusals, file=sys.stderr)


def _estimate(chosen: argparse.Namespace) -> None:
    from meshcore.commands.cutting_report import plan_dxf, plan_svg, plan_text  # noqa: PLC0415 - only when a command runs
    from meshcore.commands.estimate_report import estimate_text  # noqa: PLC0415
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415
    from meshcore.lists.writing import check_writable, write_list  # noqa: PLC0415

    if chosen.output:
        check_writable(chosen.output)
    _check_cut_sheet(chosen)
    book, policy = read_data(chosen)
    effort = read_cutting(chosen)
    estimates = estimate_list(enquiry_line(chosen), book, policy, chosen.path, cutting=effort)
    one = estimates[0]
    print(estimate_text(one, chosen.per))
    for plan in estimates.plans:
        print(f"\n{plan_text(plan)}")
    if chosen.purpose:
        print(f"\nFor {chosen.purpose}: {one.recommended_weave(chosen.purpose)}")
    if chosen.range:
        from meshcore.commands.reasons_text import range_text  # noqa: PLC0415 - only when asked

        print(f"\n{range_text(estimates)}")
    if chosen.explain:
        print(f"\n{one.explain()}")
    if chosen.output:
        write_list(estimates, chosen.output, costs=not chosen.without_costs,
                   keep=chosen.keep_column)  # fmt: skip
    _save(estimates, chosen.save)
    _write_cut_sheet(chosen, estimates)
    drawings: dict[Path | None, str | bytes] = {chosen.drawing: one.drawing()}
    for plan in estimates.plans:
        drawings |= {chosen.plan_drawing: plan_svg(plan), chosen.plan_dxf: plan_dxf(plan)}
    for path in (chosen.drawing, chosen.plan_drawing, chosen.plan_dxf):
        if path:
            _write_drawing(drawings.get(path, ""), path)


def _save(estimates: EstimateSet, title: str) -> None:
    if title:
        from meshcore.register.records import save_estimate  # noqa: PLC0415 - only when asked

        number = save_estimate(estimates, title)
        print(f"Saved as number {number}; 'python -m meshcore saved {number}' prices it again.")


def _write_drawing(drawing: str | bytes, path: Path) -> None:
    from meshcore.lists.reading import ListError  # noqa: PLC0415 - only when a command runs

    if not drawing:
        raise ListError(
            f"{path}: there is nothing to draw. Cloth is drawn where it can be woven, a plan with "
            "--plan."
        )
    write_file(drawing if isinstance(drawing, bytes) else drawing.encode("utf-8"), path)
