"""Commands about price books: what one holds, what changed between two, another format."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands.options import Commands, add_demo_option

if TYPE_CHECKING:
    from meshcore.costing.book.price_book import PriceBook


def add(commands: Commands) -> None:
    """Add ``book``."""
    book = commands.add_parser("book", help="report on a price book, compare or convert it")
    book.add_argument("book", type=Path, nargs="?", metavar="BOOK",
                      help="price book, .toml or .xlsx; by default the one in use")  # fmt: skip
    book.add_argument("--against", type=Path, metavar="OTHER", help="list what OTHER changes")
    book.add_argument("--currency", default="", metavar="CODE", help="price in another currency")
    add_demo_option(book)
    book.add_argument("-o", "--output", type=Path, metavar="OUT", help="write it as .toml or .xlsx")
    book.set_defaults(command=_book)


def _book(chosen: argparse.Namespace) -> None:
    from meshcore.costing.book.files import read_price_book, write_price_book  # noqa: PLC0415
    from meshcore.costing.book.price_book import in_currency  # noqa: PLC0415 - only when a command runs
    from meshcore.demo import default_price_book, demo_price_book  # noqa: PLC0415

    in_use = demo_price_book if chosen.demo else default_price_book
    book = read_price_book(chosen.book) if chosen.book else in_use()
    if chosen.currency:
        book = in_currency(book, chosen.currency.upper())
    print(_report(book))
    if chosen.against:
        print(f"\n{_changes(book, read_price_book(chosen.against))}")
    if chosen.output:
        write_price_book(book, chosen.output)
        print(f"Wrote {chosen.output}.")


def _report(book: PriceBook) -> str:
    from datetime import date  # noqa: PLC0415 - only when a command runs

    from meshcore import plugins  # noqa: PLC0415
    from meshcore.alloys.records.registry import installed_registry  # noqa: PLC0415
    from meshcore.costing.book.reporting import report_book  # noqa: PLC0415
    from meshcore.costing.items import PricingRule  # noqa: PLC0415
    from meshcore.estimates.books import designated, doubts  # noqa: PLC0415

    rules = [r for _, r in plugins.installed().collect("meshcore_pricing_rules", PricingRule)]
    registry, today = installed_registry(), date.today()
    book = designated(book, registry)
    report = report_book(book, registry.alloys, rules, today)
    said = [f"{m.read}: {m.text}" for m in doubts(book, registry, rules, today)]
    note = f" {book.note}" if book.note else ""
    head = f"{book.name}, of {book.date}, prices in {book.currency}.{note}"
    return "\n".join([head, str(report), *said])


def _changes(saved: PriceBook, edited: PriceBook) -> str:
    from meshcore.costing.comparison import compare_books  # noqa: PLC0415 - only when it runs

    changes = compare_books(saved, edited).to_dict("records")
    if not changes:
        return "Nothing differs."
    rows = [
        f"  {c['table']}: {c['what']}, {c['column']}: {c['saved'] or 'none'} → "
        f"{c['edited'] or 'none'}"
        for c in changes
    ]
    return "\n".join([f"{len(changes)} changes:", *rows])
