"""The command that bills rolls by the length delivered."""

from __future__ import annotations

import argparse

from meshcore.commands.options import (
    Commands,
    add_data_options,
    add_enquiry_options,
    enquiry_line,
    read_data,
)


def add(commands: Commands) -> None:
    """Add ``bill``."""
    parser = commands.add_parser("bill", help="bill rolls by the lengths delivered")
    add_enquiry_options(parser)
    parser.add_argument("--delivered", required=True, metavar="LENGTHS",
                        help='length of each roll, as "98 ft, 101.5 ft"')  # fmt: skip
    add_data_options(parser)
    parser.set_defaults(command=_bill)


def _bill(chosen: argparse.Namespace) -> None:
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415 - only when a command runs
    from meshcore.lists.reading import ListError  # noqa: PLC0415
    from meshcore.register.deliveries import lengths_of  # noqa: PLC0415
    from meshcore.register.invoicing import bill_rolls, bill_text  # noqa: PLC0415

    book, policy = read_data(chosen)
    estimates = estimate_list(enquiry_line(chosen), book, policy, chosen.path)
    for message in estimates.log.by_line().get(0, []):
        print(f"{message.severity}: {message}")
    invoice = bill_rolls(estimates, lengths_of(chosen.delivered))
    if isinstance(invoice, tuple):
        raise ListError("; ".join(str(message) for message in invoice))
    print(bill_text(invoice))
