"""Commands about cloth that cannot be woven, or is not yet specified."""

from __future__ import annotations

import argparse
import math
import shlex
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands.options import (
    OPTIONS,
    PATHS,
    Commands,
    add_data_options,
    add_enquiry_options,
    enquiry_line,
    read_data,
)
from meshcore.costing.money import minor_digits, money_text
from meshcore.estimates.wording import NO_LINES

if TYPE_CHECKING:
    from meshcore.weave.search.alternatives import Alternatives

_COUNT = 8


def add(commands: Commands) -> None:
    """Add ``alternatives`` and ``questions``."""
    nearest = commands.add_parser(
        "alternatives", help="find the nearest specifications that can be woven"
    )
    add_enquiry_options(nearest)
    nearest.add_argument("--hold", default="", metavar="NAMES",
                         help='what must hold, as "aperture, open_area"')  # fmt: skip
    nearest.add_argument("--count", type=int, default=_COUNT, metavar="N", help="offers wanted")
    add_data_options(nearest)
    nearest.set_defaults(command=_alternatives)
    ask = commands.add_parser("questions", help="write what a list leaves open, ready to send")
    ask.add_argument("input", type=Path, metavar="IN", help="enquiry list: as price has it")
    ask.add_argument("--by-line", action="store_true", help="each line apart")
    add_data_options(ask)
    ask.set_defaults(command=_questions)


def _alternatives(chosen: argparse.Namespace) -> None:
    from meshcore.estimates.nearest import nearest_weavable  # noqa: PLC0415
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415 - only when a command runs
    from meshcore.lists.reading import ListError  # noqa: PLC0415

    hold = [_property(name) for name in chosen.hold.split(",") if name.strip()]
    book, policy = read_data(chosen)
    estimates = estimate_list(enquiry_line(chosen), book, policy, chosen.path)
    for message in estimates.log.by_line().get(0, []):
        print(f"{message.severity}: {message}")
    try:
        offered = nearest_weavable(estimates, 0, hold, chosen.count)
    except ValueError as error:
        raise ListError(f"--hold or --count: {error}") from error
    print(alternatives_text(offered, estimates.book.currency, chosen))


def _property(name: str) -> str:
    """Name a property as an enquiry list does, from any heading that people use for it."""
    from meshcore.reading.tables.headings import heading_meaning  # noqa: PLC0415 - only when a command runs

    return heading_meaning(name)[0] or name


def alternatives_text(offered: Alternatives, currency: str, chosen: argparse.Namespace) -> str:
    """Write the offers as a table, then for each the command that uses it."""
    if offered.message is not None:
        return str(offered.message)
    table, digits = offered.frame(), minor_digits(currency)
    heads = ("", "weave", "count/in", "aperture", "wire", "open %", "Δapert.", "Δopen", "Δmass",
             f"price {currency}", "Δprice")  # fmt: skip
    rows = [heads]
    for rank, r in zip(table.index, table.to_dict("records"), strict=True):
        changes = [_percent(r[f"{name}_change_pct"]) for name in ("aperture", "open_area", "mass")]
        price = "–" if math.isnan(r["price"]) else money_text(r["price"], digits=digits)
        rows.append(
            (str(rank), r["weave"], f"{r['mesh_count_per_in']:.4g}", f"{r['aperture_mm']:.4g} mm",
             f"{r['wire_diameter_mm']:.4g} mm", f"{r['open_area_pct']:.1f}", *changes, price,
             _percent(r["price_change_pct"]))
        )  # fmt: skip
    widths = [max(len(row[n]) for row in rows) for n in range(len(heads))]
    lines = ["  ".join(c.rjust(w) for c, w in zip(row, widths, strict=True)) for row in rows]
    told = [f"{n + 1}: {_told(offered, n)}\n   {_command(offered.cells(n), chosen)}"
            for n in range(len(offered))]  # fmt: skip
    return "\n".join([*lines, "", "Why each is offered, and the command that uses it:", *told])


def _told(offered: Alternatives, rank: int) -> str:
    """Why an offer is made, and what it changes."""
    changed = offered.trade_off(rank)
    return f"{offered.name(rank)}, {offered.why[rank]}{f': {changed}' if changed else ''}"


#: Changes above this are told as so many times [%].
_MANY_TIMES_PCT = 200.0


def _percent(value: float) -> str:
    if value > _MANY_TIMES_PCT:
        return f"{1.0 + value / 100.0:.3g} ×"
    return "–" if math.isnan(value) else f"{value:+.1f} %"


def _command(cells: dict[str, str], chosen: argparse.Namespace) -> str:
    words = ["python", "-m", "meshcore", "estimate"]
    for option, column in OPTIONS.items():
        if cells.get(column):
            words += [option, cells[column]]
    for name in ("alloy", "roll", "strip", "piece", "services"):
        if getattr(chosen, name):
            words += [f"--{name}", getattr(chosen, name)]
    words += ["--quantity", chosen.quantity]
    words += ["--demo"] if chosen.demo else []
    for name in ("book", "policy", "customer"):
        if getattr(chosen, name):
            words += [f"--{name}", str(getattr(chosen, name))]
    return shlex.join([*words, "--path", chosen.path] if chosen.path != PATHS[0] else words)


def _questions(chosen: argparse.Namespace) -> None:
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415 - only when a command runs
    from meshcore.estimates.questions import questions  # noqa: PLC0415
    from meshcore.lists.reading import read_list  # noqa: PLC0415

    book, policy = read_data(chosen)
    table = read_list(chosen.input)
    estimates = estimate_list(table, book, policy, chosen.path)
    if not len(table):
        print(NO_LINES)
        return
    asked = questions(table, estimates.messages, estimates.policy, estimates.book)
    if chosen.by_line:
        texts = [asked.text(row) for row in range(len(table))]
        print("\n\n".join(text for text in texts if text))
    else:
        print(asked.text_for_all())
