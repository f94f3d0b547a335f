"""The command line: ``python -m meshcore``."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn, TypeAlias

from meshcore import report

if TYPE_CHECKING:
    from meshcore.costing.book import PriceBook
    from meshcore.supply.policy import SupplyPolicy

#: Exit code for input that could not be read or understood, or output that could not be written.
COULD_NOT = 2


Commands: TypeAlias = "argparse._SubParsersAction[_Parser]"


class _Parser(argparse.ArgumentParser):
    """An argument parser that says what is wrong in one line."""

    def error(self, message: str) -> NoReturn:
        self.exit(COULD_NOT, f"{self.prog}: {message}. See '{self.prog} --help'.\n")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line.

    Parameters
    ----------
    arguments
        Words after ``python -m meshcore``; those of the process by default.

    Returns
    -------
    0 when done, even where lines were refused; 2 where something could not be read, understood or
    written, after one line on stderr that says what to do.
    """
    chosen = _parser().parse_args(arguments)
    command: Callable[[argparse.Namespace], None] = chosen.command
    from meshcore.costing.book import PriceBookError  # noqa: PLC0415 - only when a command runs
    from meshcore.lists.reading import ListError  # noqa: PLC0415
    from meshcore.supply.policy import SupplyPolicyError  # noqa: PLC0415

    try:
        command(chosen)
    except (ListError, PriceBookError, SupplyPolicyError) as error:
        print(f"meshcore: {' '.join(str(error).split())}", file=sys.stderr)
        return COULD_NOT
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="meshcore", description="Estimates for industrial woven wire cloth.", epilog=CAUTION
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    _add_price(commands)
    _add_estimate(commands)
    template = commands.add_parser("template", help="write an empty enquiry list, with notes")
    template.add_argument("output", type=Path, metavar="OUT.xlsx")
    template.set_defaults(command=_template)
    listing = commands.add_parser("plugins", help="list the plugins, and what failed to load")
    listing.set_defaults(command=_plugins)
    return parser


CAUTION = report.CAUTION


def _add_price(commands: Commands) -> None:
    price = commands.add_parser("price", help="price an enquiry list")
    price.add_argument("input", type=Path, metavar="IN", help="enquiry list: .csv .xlsx .parquet")
    price.add_argument("-o", "--output", type=Path, required=True, metavar="OUT",
                       help="priced list; .xlsx is the live workbook")  # fmt: skip
    _add_data_options(price)
    price.set_defaults(command=_price)


def _add_estimate(commands: Commands) -> None:
    one = commands.add_parser("estimate", help="price one enquiry")
    for option, field, example in (
        ("--mesh-count", "mesh_count", "10/in"),
        ("--pitch", "pitch", "2.54 mm"),
        ("--aperture", "aperture", "0.075 in"),
        ("--wire", "wire_diameter", "0.025 in"),
        ("--open-area", "open_area", "56 %%"),
        ("--weave", "weave", "plain"),
        ("--alloy", "alloy", "304"),
    ):
        one.add_argument(option, dest=field, default="", metavar="TEXT", help=f'as "{example}"')
    form = one.add_mutually_exclusive_group()
    form.add_argument("--roll", metavar="W x L", help='as "48 in x 100 ft"')
    form.add_argument("--strip", metavar="W x L", help='as "50 mm x 10 m"')
    form.add_argument("--piece", metavar="SHAPE", help='as "disc: diameter 200 mm"')
    one.add_argument("--quantity", default="1", metavar="N")
    one.add_argument("--services", default="", metavar="TEXT", help='as "weld seam, certificate"')
    one.add_argument("-o", "--output", type=Path, metavar="OUT", help="write it as a list too")
    _add_data_options(one)
    one.set_defaults(command=_estimate)


def _add_data_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--book", type=Path, metavar="FILE", help="price book (.toml or .xlsx)")
    parser.add_argument("--policy", type=Path, metavar="FILE", help="supply policy (.toml)")
    parser.add_argument("--path", choices=("arc", "flat"), default="arc",
                        help="wire path by weave, or the flat 3 %% allowance")  # fmt: skip


def _data(chosen: argparse.Namespace) -> tuple[PriceBook | None, SupplyPolicy | None]:
    from meshcore.costing.book_files import read_price_book  # noqa: PLC0415 - only when a command runs
    from meshcore.supply.policy import read_supply_policy  # noqa: PLC0415

    book = read_price_book(chosen.book) if chosen.book else None
    policy = read_supply_policy(chosen.policy) if chosen.policy else None
    return book, policy


def _price(chosen: argparse.Namespace) -> None:
    from meshcore.estimating import estimate_list  # noqa: PLC0415 - only when a command runs
    from meshcore.lists.reading import read_list  # noqa: PLC0415
    from meshcore.lists.writing import check_writable, write_list  # noqa: PLC0415

    check_writable(chosen.output)
    book, policy = _data(chosen)
    found = estimate_list(read_list(chosen.input), book, policy, chosen.path)
    write_list(found, chosen.output)
    print(report.list_summary(found, str(chosen.output)))
    refusals = report.refusals(found)
    if refusals:
        print(refusals, file=sys.stderr)


def _estimate(chosen: argparse.Namespace) -> None:
    import pandas as pd  # noqa: PLC0415 - only when a command runs

    from meshcore.enquiry import COLUMNS  # noqa: PLC0415
    from meshcore.estimating import estimate_list  # noqa: PLC0415
    from meshcore.lists.writing import check_writable, write_list  # noqa: PLC0415
    from meshcore.priced_table import priced_table  # noqa: PLC0415
    from meshcore.results import Estimate  # noqa: PLC0415

    if chosen.output:
        check_writable(chosen.output)
    book, policy = _data(chosen)
    cells = {name: getattr(chosen, name, "") for name in COLUMNS} | _form_cells(chosen)
    line = pd.DataFrame([cells | {"line": "1"}], dtype=object)
    found = estimate_list(line, book, policy, chosen.path)
    print(report.estimate_text(Estimate(found, priced_table(found))))
    if chosen.output:
        write_list(found, chosen.output)


def _form_cells(chosen: argparse.Namespace) -> dict[str, str]:
    if chosen.piece:
        shape, _, dimensions = chosen.piece.partition(":")
        return {"form": "piece", "shape": shape.strip(), "dimensions": dimensions.strip()}
    form, sizes = ("strip", chosen.strip) if chosen.strip else ("roll", chosen.roll)
    if not sizes:
        return {}
    width, _, length = sizes.replace("×", "x").partition("x")
    return {"form": form, "width": width.strip(), "length": length.strip()}


def _template(chosen: argparse.Namespace) -> None:
    from meshcore.lists.template import write_template  # noqa: PLC0415 - only when a command runs

    write_template(chosen.output)
    print(f"Wrote {chosen.output}: fill in a line for each item, then price it with "
          f"'python -m meshcore price {chosen.output} -o priced.xlsx'.")  # fmt: skip


def _plugins(_chosen: argparse.Namespace) -> None:
    print(report.plugin_report())
