"""Options that commands share, and what they make of them."""

from __future__ import annotations

import argparse
import math
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.costing.book.price_book import PriceBook
    from meshcore.supply.cutting import CuttingEffort
    from meshcore.supply.policy import SupplyPolicy

Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"

_SIZES = (
    ("--mesh-count", "mesh_count", "10/in"),
    ("--pitch", "pitch", "2.54 mm"),
    ("--aperture", "aperture", "0.075 in"),
    ("--wire", "wire_diameter", "0.025 in"),
    ("--open-area", "open_area", "56 %%"),
    ("--weave", "weave", "plain"),
)
#: Option → enquiry column, to write a line as a command again.
OPTIONS: Mapping[str, str] = {option: column for option, column, _ in _SIZES}

#: Rules of the wire's path; the first holds where none is named.
PATHS = ("arc", "flat")


def add_enquiry_options(parser: argparse.ArgumentParser, alloy: bool = True) -> None:
    """Add what describes one enquiry; `alloy` is left out where all are compared."""
    for option, column, example in _SIZES:
        parser.add_argument(option, dest=column, default="", metavar="TEXT", help=f'as "{example}"')
    if alloy:
        parser.add_argument("--alloy", default="", metavar="TEXT", help='as "304" or "316L"')
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--roll", metavar="W x L", help='as "48 in x 100 ft"')
    form.add_argument("--strip", metavar="W x L", help='as "50 mm x 10 m"')
    form.add_argument("--piece", metavar="SHAPE", help='as "disc: diameter 200 mm"')
    parser.add_argument("--quantity", default="1", metavar="N", help="how many of them")
    parser.add_argument(
        "--services", default="", metavar="TEXT", help='as "weld seam, certificate"'
    )
    if alloy:
        parser.add_argument("--must-stand", default="", metavar="TEXT",
                            help='the service, as "sea water; temperature: 25 °C"')  # fmt: skip


def add_for_others(parser: argparse.ArgumentParser) -> None:
    """Add the option that writes a file for others than the mill."""
    parser.add_argument("--without-costs", action="store_true",
                        help="tell prices alone, for others than the mill")  # fmt: skip
    parser.add_argument("--keep-column", action="append", default=[], metavar="HEADING",
                        help="a column that --without-costs would withhold, to leave all the same "
                             "(may be given several times)")  # fmt: skip


def add_data_options(parser: argparse.ArgumentParser) -> None:
    """Add the price book, the supply policy, the demonstration and the path rule."""
    add_demo_option(parser)
    parser.add_argument("--book", type=Path, metavar="FILE", help="price book (.toml or .xlsx)")
    parser.add_argument("--policy", type=Path, metavar="FILE", help="supply policy (.toml)")
    parser.add_argument("--customer", type=Path, metavar="FILE",
                        help="a customer's terms (.toml)")  # fmt: skip
    parser.add_argument("--path", choices=PATHS, default=PATHS[0],
                        help="wire path by weave, or the flat 3 %% allowance")  # fmt: skip


def add_demo_option(parser: argparse.ArgumentParser) -> None:
    """Add the invented mill, for who wants to see it work."""
    parser.add_argument("--demo", action="store_true",
                        help="take the invented mill where neither an option nor the "
                             "environment names a book or a policy")  # fmt: skip


def add_mapping_options(parser: argparse.ArgumentParser) -> None:
    """Add what the headings of a list stand for."""
    parser.add_argument("--mapping", type=Path, metavar="FILE",
                        help="what each heading stands for (.toml or .json)")  # fmt: skip
    parser.add_argument("--save-mapping", type=Path, metavar="FILE",
                        help="write what each was read as, for another list")  # fmt: skip


def add_cutting_options(parser: argparse.ArgumentParser) -> None:
    """Add how cutting is planned."""
    parser.add_argument("--plan", type=_seconds, nargs="?", const=_PLAN_SECONDS, metavar="SECONDS",
                        help="plan further how strips and pieces are cut, SECONDS an order; "
                             "0 for whole rows")  # fmt: skip
    parser.add_argument(
        "--seed", type=whole_number, default=0, metavar="N", help="seed of the plan"
    )
    parser.add_argument("--bias", action="store_true", help="cut pieces at 45° to the wires")
    parser.add_argument("--warp-along", action="store_true",
                        help="warp along the longer side of each piece")  # fmt: skip


def _seconds(text: str) -> float:
    """Read a time to plan in; argparse puts the message into its one line."""
    try:
        seconds = float(text)
    except ValueError:
        seconds = math.nan
    if not (math.isfinite(seconds) and seconds >= 0):
        raise argparse.ArgumentTypeError(f"'{text[:_SHOWN]}' is no time, such as 10, or 0 for none")
    return seconds


def whole_number(text: str) -> int:
    """Read a seed or a number on file, a whole number from 0."""
    if not (text.isdecimal() and len(text) <= _DIGITS):
        raise argparse.ArgumentTypeError(f"'{text[:_SHOWN]}' is no whole number from 0, such as 7")
    return int(text)


#: As much of a wrong option as a message shows, and the digits that any number makes do with.
_SHOWN, _DIGITS = 40, 18
#: Time for each plan where none is given [s].
_PLAN_SECONDS = 10.0


def read_cutting(chosen: argparse.Namespace) -> CuttingEffort | None:
    """Return the effort to plan cutting that was asked for; None where it is left to the policy.

    How pieces must lie is of a plan, so one is made where that is asked for.
    """
    from meshcore.supply.cutting import CuttingEffort  # noqa: PLC0415 - only when a command runs

    must_lie = chosen.bias or chosen.warp_along
    if chosen.plan is None and not must_lie:
        return None
    seconds = _PLAN_SECONDS if chosen.plan is None else chosen.plan
    return CuttingEffort(seconds, chosen.seed, chosen.bias, chosen.warp_along)


def read_data(chosen: argparse.Namespace) -> tuple[PriceBook | None, SupplyPolicy | None]:
    """Read the price book and the supply policy that were named; the invented ones with ``--demo``.

    Raises
    ------
    PriceBookError, SupplyPolicyError, CustomerError
        If a file cannot be read.
    """
    from meshcore.costing.agreed import for_customer  # noqa: PLC0415
    from meshcore.costing.book.files import read_price_book  # noqa: PLC0415 - only when it runs
    from meshcore.costing.customer import read_customer  # noqa: PLC0415
    from meshcore.demo import default_price_book, policy_in_use  # noqa: PLC0415
    from meshcore.supply.policy import read_supply_policy  # noqa: PLC0415

    book = read_price_book(chosen.book) if chosen.book else None
    policy = read_supply_policy(chosen.policy) if chosen.policy else None
    if chosen.demo:
        book, policy = book or default_price_book(demo=True), policy or policy_in_use(demo=True)
    if chosen.customer:
        book = for_customer(book or default_price_book(), read_customer(chosen.customer))
    return book, policy


def enquiry_line(chosen: argparse.Namespace) -> pd.DataFrame:
    """Return what was asked on the command line as a list of one line."""
    import pandas as pd  # noqa: PLC0415 - only when a command runs

    from meshcore.enquiry import COLUMNS, MUST_STAND  # noqa: PLC0415
    from meshcore.messages import writable  # noqa: PLC0415

    cells = {name: getattr(chosen, name, "") for name in COLUMNS} | form_cells(chosen)
    if stands := getattr(chosen, MUST_STAND, ""):
        cells[MUST_STAND] = stands
    # Bytes of a terminal that are no UTF-8 come as lone surrogates.
    shown = {name: writable(text) for name, text in cells.items()}
    return pd.DataFrame([shown | {"line": "1"}], dtype=object)


def form_cells(chosen: argparse.Namespace) -> dict[str, str]:
    """Return the cells of the form that was asked for; none where none was."""
    if chosen.piece:
        shape, _, dimensions = chosen.piece.partition(":")
        return {"form": "piece", "shape": shape.strip(), "dimensions": dimensions.strip()}
    form, sizes = ("strip", chosen.strip) if chosen.strip else ("roll", chosen.roll)
    if not sizes:
        return {}
    width, _, length = sizes.replace("×", "x").partition("x")
    return {"form": form, "width": width.strip(), "length": length.strip()}
