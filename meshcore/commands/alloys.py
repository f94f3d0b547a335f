"""The command that compares alloys for a service."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands.options import (
    Commands,
    add_data_options,
    add_enquiry_options,
    enquiry_line,
    read_data,
)
from meshcore.units import Kind

if TYPE_CHECKING:
    from meshcore.estimates.life_cost import LifeCost


#: What a replacement costs besides the cloth: field → how it is written, and what it is read as.
_COSTS: Mapping[str, tuple[str, Kind]] = {
    "fitting": ("500, of each replacement, in the book's currency", "number"),
    "down_time": ("2000, of each replacement, in the book's currency", "number"),
    "discount": ("5 % a year", "share"),
}


def add(commands: Commands) -> None:
    """Add ``alloys``."""
    from meshcore.alloys.comparison.reading_conditions import CONDITION_FIELDS  # noqa: PLC0415

    parser = commands.add_parser("alloys", help="compare alloys on price for a service")
    add_enquiry_options(parser, alloy=False)
    service = parser.add_argument_group("the service")
    for field, example in CONDITION_FIELDS.items():
        service.add_argument(f"--{field.replace('_', '-')}", dest=f"condition_{field}", default="",
                             metavar="TEXT", help=example.replace("%", "%%"))  # fmt: skip
    parser.add_argument("--alloys", default="", metavar="NAMES",
                        help='those to compare, as "304, 316L"; all by default')  # fmt: skip
    over = parser.add_argument_group("cost over the years wanted")
    for name, (example, _) in _COSTS.items():
        over.add_argument(f"--{name.replace('_', '-')}", dest=f"cost_{name}", default="",
                          metavar="TEXT", help=example.replace("%", "%%"))  # fmt: skip
    parser.add_argument("-o", "--output", type=Path, metavar="OUT", help="write .xlsx or .csv too")
    add_data_options(parser)
    parser.set_defaults(command=_alloys)


def _alloys(chosen: argparse.Namespace) -> None:
    from meshcore.alloys.comparison.reading_conditions import CONDITION_FIELDS, read_conditions  # noqa: PLC0415
    from meshcore.estimates.alloy_comparison import compare_for_line, comparison_text  # noqa: PLC0415
    from meshcore.lists.reading import ListError  # noqa: PLC0415

    typed = {name: getattr(chosen, f"condition_{name}") for name in CONDITION_FIELDS}
    conditions = read_conditions({name: text for name, text in typed.items() if text})
    if isinstance(conditions, tuple):
        raise ListError("; ".join(str(message) for message in conditions))
    cost = _life_cost({name: getattr(chosen, f"cost_{name}") for name in _COSTS})
    names = [name.strip() for name in chosen.alloys.split(",") if name.strip()]
    book, policy = read_data(chosen)
    table = compare_for_line(enquiry_line(chosen), conditions, names, book, policy, chosen.path,
                             cost)  # fmt: skip
    print(comparison_text(table))
    if chosen.output:
        from meshcore.lists.comparison_workbook import write_comparison  # noqa: PLC0415

        write_comparison(table, chosen.output)


def _life_cost(typed: Mapping[str, str]) -> LifeCost:
    """Read the costs of a replacement; what cannot be read is refused."""
    from meshcore.estimates.life_cost import LifeCost  # noqa: PLC0415
    from meshcore.lists.reading import ListError  # noqa: PLC0415
    from meshcore.messages import Message  # noqa: PLC0415
    from meshcore.reading.numbers.readings import NO_HINTS  # noqa: PLC0415
    from meshcore.reading.texts import read_text  # noqa: PLC0415

    read: dict[str, float] = {}
    for name, text in typed.items():
        if not text.strip():
            continue
        value = read_text(text, _COSTS[name][1], name, "", NO_HINTS)
        if isinstance(value, Message) or value is None or value.value < 0.0:
            raise ListError(f"{name}: read {text!r}. Write it as {_COSTS[name][0]}.")
        read[name] = value.value
    return LifeCost(**read)
