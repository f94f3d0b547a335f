"""Commands that list: the plugins, an empty enquiry list to fill in."""

from __future__ import annotations

import argparse
from pathlib import Path

from meshcore.commands import report
from meshcore.commands.options import Commands


def add(commands: Commands) -> None:
    """Add ``template`` and ``plugins``."""
    template = commands.add_parser("template", help="write an empty enquiry list, with notes")
    template.add_argument("output", type=Path, metavar="OUT.xlsx")
    template.set_defaults(command=_template)
    listing = commands.add_parser("plugins", help="list the plugins, and what failed to load")
    listing.set_defaults(command=_plugins)


def _template(chosen: argparse.Namespace) -> None:
    from meshcore.lists.template import write_template  # noqa: PLC0415 - only when a command runs

    write_template(chosen.output)
    print(f"Wrote {chosen.output}: fill in a line for each item, then price it with "
          f"'python -m meshcore price {chosen.output} -o priced.xlsx'.")  # fmt: skip


def _plugins(_chosen: argparse.Namespace) -> None:
    print(report.plugin_report())
