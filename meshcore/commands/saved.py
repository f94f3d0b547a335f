"""Commands about saved estimates: what is on file, and the same order again."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands.options import Commands, add_for_others, whole_number
from meshcore.costing.money import money_text
from meshcore.estimates.wording import CAUTION

if TYPE_CHECKING:
    from meshcore.register.records import SavedEstimate


def add(commands: Commands) -> None:
    """Add ``saved``."""
    saved = commands.add_parser("saved", help="list saved estimates, or price one again")
    saved.add_argument(
        "number", type=whole_number, nargs="?", metavar="N", help="number of the estimate"
    )
    saved.add_argument("--again", action="store_true",
                       help="price it with today's book too, and tell the change")  # fmt: skip
    saved.add_argument("-o", "--output", type=Path, metavar="OUT", help="write it as a priced list")
    add_for_others(saved)
    saved.add_argument("--book", type=Path, metavar="FILE", help="book for --again")
    saved.set_defaults(command=_saved)


def _saved(chosen: argparse.Namespace) -> None:
    from meshcore.register.records import load_estimate, saved_estimates  # noqa: PLC0415 - only when it runs

    if chosen.number is None:
        table = saved_estimates()
        table["price"] = list(map(money_text, table["price"], table["currency"]))
        table = table.drop(columns="currency")
        print(table.to_string(index=False) if len(table) else "Nothing is saved yet.")
        return
    kept = load_estimate(chosen.number)
    print(f"{kept.id}: {kept.title}, saved {kept.saved_at:%Y-%m-%d %H:%M} UTC, "
          f"with {kept.book.name} of {kept.book.date}. {kept.note}".rstrip())  # fmt: skip
    _price_again(kept, chosen)


def _price_again(kept: SavedEstimate, chosen: argparse.Namespace) -> None:
    """Price with its own book, and if asked with today's; write the last."""
    from meshcore.costing.book.files import read_price_book  # noqa: PLC0415 - only when it runs
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415
    from meshcore.estimates.summary import list_totals  # noqa: PLC0415
    from meshcore.lists.writing import write_list  # noqa: PLC0415

    estimates = estimate_list(
        kept.enquiries, kept.book, kept.policy, kept.path_model, cutting=kept.cutting
    )
    then = float(kept.items["amount"].sum())
    own = list_totals(estimates).price
    currency = kept.book.currency
    print(f"  as saved:              {money_text(then, currency)}")
    print(f"  with its own book:     {money_text(own, currency)}")
    if chosen.again:
        book = read_price_book(chosen.book) if chosen.book else None
        estimates = estimate_list(
            kept.enquiries, book, kept.policy, kept.path_model, cutting=kept.cutting
        )
        now, today = list_totals(estimates).price, estimates.book
        print(f"  with {today.name} of {today.date}: "
              f"{money_text(now, today.currency)}")  # fmt: skip
        if today.currency == currency and own:
            print(f"  change:                {now / own - 1:+.1%}")
    if chosen.output:
        write_list(estimates, chosen.output, costs=not chosen.without_costs,
                   keep=chosen.keep_column)  # fmt: skip
        print(f"Wrote {chosen.output}.")
    print(CAUTION)
