"""Commands about price books: what one holds, what changed between two, another format."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands.options import Commands, add_demo_option

if TYPE_CHECKING:
    from datetime import date

    from meshcore.costing.book.price_book import PriceBook

#: Doubts that a day to come brings by itself, whatever the rates.
_BY_AGE = ("book.rate_too_old",)


def add(commands: Commands) -> None:
    """Add ``book``."""
    book = commands.add_parser("book", help="report on a price book, compare or convert it")
    book.add_argument("book", type=Path, nargs="?", metavar="BOOK",
                      help="price book, .toml or .xlsx; by default the one in use")  # fmt: skip
    book.add_argument("--against", type=Path, metavar="OTHER", help="list what OTHER changes")
    book.add_argument("--coming", type=Path, metavar="FILE",
                      help="rates to come, .csv or .xlsx: what they change")  # fmt: skip
    book.add_argument("--open-quotations", action="store_true",
                      help="what they do to the quotations on file that are open")  # fmt: skip
    book.add_argument("--currency", default="", metavar="CODE", help="price in another currency")
    add_demo_option(book)
    book.add_argument("-o", "--output", type=Path, metavar="OUT", help="write it as .toml or .xlsx")
    book.set_defaults(command=_book)


def _book(chosen: argparse.Namespace) -> None:
    from meshcore.costing.book.files import read_price_book, write_price_book  # noqa: PLC0415
    from meshcore.costing.book.price_book import in_currency  # noqa: PLC0415 - only when a command runs
    from meshcore.demo import default_price_book  # noqa: PLC0415

    book = read_price_book(chosen.book) if chosen.book else default_price_book(demo=chosen.demo)
    if chosen.currency:
        book = in_currency(book, chosen.currency.upper())
    print(_report(book))
    if chosen.coming:
        book = _with_coming(book, chosen)
    if chosen.against:
        print(f"\n{changes_text(book, read_price_book(chosen.against))}")
    if chosen.output:
        write_price_book(book, chosen.output)
        print(f"Wrote {chosen.output}.")


def _with_coming(book: PriceBook, chosen: argparse.Namespace) -> PriceBook:
    """Say what rates to come change and do; return the book with them in it."""
    from datetime import date  # noqa: PLC0415 - only when a command runs

    from meshcore.costing.book.changes import read_rate_changes, with_changes  # noqa: PLC0415
    from meshcore.costing.book.validity import in_force  # noqa: PLC0415
    from meshcore.estimates.books import installed_doubts  # noqa: PLC0415

    today = date.today()
    coming = read_rate_changes(chosen.coming)
    changed = with_changes(book, coming)
    doubted = {message.text for message in installed_doubts(book, today)}
    for day in sorted({rate.valid_from for rate in coming.rates if rate.valid_from}):
        print(f"\nFrom {day}:")
        print(changes_text(in_force(book, today), in_force(changed, day)))
        for message in installed_doubts(changed, max(day, today)):
            if message.text not in doubted and message.code not in _BY_AGE:
                print(f"{message.read}: {message.text}")
        if chosen.open_quotations:
            print(_effects(changed, day))
    return changed


def _effects(book: PriceBook, day: date) -> str:
    from meshcore.costing.money import money_text  # noqa: PLC0415 - only when it runs
    from meshcore.register.coming import effects_on_open  # noqa: PLC0415
    from meshcore.register.opening import open_register  # noqa: PLC0415

    rows = [
        f"  {one.number} {one.customer}, until {one.until}: quoted "
        f"{money_text(one.quoted, one.currency)}; now {money_text(one.now, one.currency)}, then "
        f"{money_text(one.then, one.currency)} ({one.change:+.1%})"
        for one in effects_on_open(open_register(), book, day)
    ]
    return "\n".join([f"{len(rows)} open quotations in {book.currency}:", *rows])


def _report(book: PriceBook) -> str:
    from datetime import date  # noqa: PLC0415 - only when a command runs

    from meshcore import plugins  # noqa: PLC0415
    from meshcore.alloys.records.registry import installed_registry  # noqa: PLC0415
    from meshcore.costing.book.reporting import report_book  # noqa: PLC0415
    from meshcore.costing.items import PricingRule  # noqa: PLC0415
    from meshcore.estimates.books import designated, installed_doubts  # noqa: PLC0415

    rules = [r for _, r in plugins.installed().collect("meshcore_pricing_rules", PricingRule)]
    registry, today = installed_registry(), date.today()
    report = report_book(designated(book, registry), registry.alloys, rules, today)
    said = [f"{m.read}: {m.text}" for m in installed_doubts(book, today)]
    note = f" {book.note}" if book.note else ""
    head = f"{book.name}, of {book.date}, prices in {book.currency}.{note}"
    return "\n".join([head, str(report), *said])


def changes_text(saved: PriceBook, edited: PriceBook) -> str:
    """Write what an edited book changes against the saved one, a line a change."""
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
