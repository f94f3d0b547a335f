"""The command that compares alloys for a service."""

from __future__ import annotations

import argparse
from pathlib import Path

from meshcore.commands.options import (
    Commands,
    add_data_options,
    add_enquiry_options,
    enquiry_line,
    read_data,
)


def add(commands: Commands) -> None:
    """Add ``alloys``."""
    from meshcore.alloys.comparison.reading_conditions import CONDITION_FIELDS  # noqa: PLC0415
    from meshcore.estimates.life_cost_reading import COST_FIELDS  # noqa: PLC0415

    parser = commands.add_parser("alloys", help="compare alloys on price for a service")
    add_enquiry_options(parser, alloy=False)
    service = parser.add_argument_group("the service")
    for field, example in CONDITION_FIELDS.items():
        service.add_argument(f"--{field.replace('_', '-')}", dest=f"condition_{field}", default="",
                             metavar="TEXT", help=example.replace("%", "%%"))  # fmt: skip
    parser.add_argument("--alloys", default="", metavar="NAMES",
                        help='those to compare, as "304, 316L"; all by default')  # fmt: skip
    over = parser.add_argument_group("cost over the years wanted")
    for name, (example, _, _) in COST_FIELDS.items():
        over.add_argument(f"--{name.replace('_', '-')}", dest=f"cost_{name}", default="",
                          metavar="TEXT", help=example.replace("%", "%%"))  # fmt: skip
    parser.add_argument("--availability", type=Path, metavar="FILE",
                        help="what wire the mill has (.toml)")  # fmt: skip
    parser.add_argument("-o", "--output", type=Path, metavar="OUT", help="write .xlsx or .csv too")
    add_data_options(parser)
    parser.set_defaults(command=_alloys)


def _alloys(chosen: argparse.Namespace) -> None:
    from meshcore.alloys.availability import read_availability  # noqa: PLC0415
    from meshcore.alloys.comparison.reading_conditions import CONDITION_FIELDS, read_conditions  # noqa: PLC0415
    from meshcore.demo import demo_availability  # noqa: PLC0415
    from meshcore.estimates.alloy_comparison import compare_for_line  # noqa: PLC0415
    from meshcore.estimates.alloy_comparison_text import comparison_text  # noqa: PLC0415
    from meshcore.estimates.life_cost_reading import COST_FIELDS, read_life_cost  # noqa: PLC0415
    from meshcore.lists.reading import ListError  # noqa: PLC0415

    typed = {name: getattr(chosen, f"condition_{name}") for name in CONDITION_FIELDS}
    conditions = read_conditions({name: text for name, text in typed.items() if text})
    if isinstance(conditions, tuple):
        raise ListError("; ".join(str(message) for message in conditions))
    cost = read_life_cost({name: getattr(chosen, f"cost_{name}") for name in COST_FIELDS})
    if isinstance(cost, tuple):
        raise ListError("; ".join(str(message) for message in cost))
    names = [name.strip() for name in chosen.alloys.split(",") if name.strip()]
    book, policy = read_data(chosen)
    held = demo_availability() if chosen.demo else None
    if chosen.availability:
        held = read_availability(chosen.availability)
    table = compare_for_line(enquiry_line(chosen), conditions, names, book, policy, chosen.path,
                             cost, held)  # fmt: skip
    if not len(table):
        raise ListError("; ".join(table.attrs["messages"]))
    print(comparison_text(table))
    if chosen.output:
        from meshcore.lists.comparison_workbook import write_comparison  # noqa: PLC0415

        write_comparison(table, chosen.output)
