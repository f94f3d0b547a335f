"""The command that prices an old line anew, and quotes it where that is wanted."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands.options import Commands, add_data_options, read_data
from meshcore.commands.writing import try_document, write_filed
from meshcore.costing.money import minor_digits, money_text

if TYPE_CHECKING:
    from meshcore.costing.book.price_book import PriceBook
    from meshcore.register.connecting import Register
    from meshcore.register.repeating import Repeat, RepeatLine
    from meshcore.supply.policy import SupplyPolicy


def add(commands: Commands) -> None:
    """Add ``repeat``."""
    again = commands.add_parser("repeat", help="an old line by its label or number, priced today")
    again.add_argument("text", nargs="+", metavar="TEXT", help="text of a label, or a number")
    again.add_argument("--choose", metavar="NUMBER", default="",
                       help="which of several that agree, by its number")  # fmt: skip
    again.add_argument("--quote", type=Path, metavar="OUT",
                       help="file it as a new quotation: .pdf .xlsx .csv .txt")  # fmt: skip
    again.add_argument("--terms", type=Path, metavar="FILE",
                       help="the mill's terms for it (.toml); those of then")  # fmt: skip
    again.add_argument("--reference", default="", metavar="TEXT", help="theirs; that of then")
    add_data_options(again)
    again.set_defaults(command=_repeat)


def _repeated(
    register: Register, chosen: argparse.Namespace, book: PriceBook | None,
    policy: SupplyPolicy | None,
) -> Repeat:  # fmt: skip
    from meshcore.register.errors import RecordsError  # noqa: PLC0415 - only when it runs
    from meshcore.register.repeating import SeveralError, repeat  # noqa: PLC0415
    from meshcore.register.words import folded  # noqa: PLC0415

    text = " ".join(chosen.text)
    try:
        return repeat(register, text, book, policy)
    except SeveralError as error:
        named = [n for n in error.found if folded(n.number) == folded(chosen.choose)]
        if len(named) == 1:
            return repeat(register, text, book, policy, item=named[0].id)
        if chosen.choose and not named:
            return repeat(register, chosen.choose, book, policy)
        raise RecordsError(f"{error} With --choose NUMBER, or a text that only one has.") from error


def _repeat(chosen: argparse.Namespace) -> None:
    from meshcore.documents.printing import check_document  # noqa: PLC0415 - only when it runs
    from meshcore.documents.terms import read_terms  # noqa: PLC0415
    from meshcore.register.opening import open_register  # noqa: PLC0415

    if chosen.quote:
        check_document(chosen.quote)
    terms = read_terms(chosen.terms) if chosen.terms else None
    book, policy = read_data(chosen)
    register = open_register(create=False)
    again = _repeated(register, chosen, book, policy)
    print("\n".join(_told(register, again)))
    if chosen.quote:
        from meshcore.documents.printing import write_quotation  # noqa: PLC0415 - only when it runs
        from meshcore.register.quotations import file_quotation, quoted  # noqa: PLC0415
        from meshcore.register.requoting import origin_note, quoted_anew  # noqa: PLC0415

        facts = quoted_anew(again, terms, chosen.reference)
        try_document(partial(write_quotation, facts), chosen.quote)
        filed = file_quotation(register, facts, again.today, note=origin_note(again))
        said = write_filed(
            partial(write_quotation, quoted(filed)), chosen.quote, f"Quotation {filed.number}",
            f"register show {filed.number}",
        )  # fmt: skip
        print(f"Quotation {filed.number} is on file.\nWrote {chosen.quote}.")
        if said:
            print(said, file=sys.stderr)


def _told(register: Register, again: Repeat) -> Iterable[str]:
    """Write what was found, each line with what it was, and what its price is made of."""
    line = f", line {again.label}" if again.label else ""
    yield (
        f"{again.source.kind} {again.source.number}{line}, of {again.source.head.day}: "
        f"{again.source.head.sender}"
    )
    if again.order:
        yield f"  ordered as {again.order.number}, {again.order.head.reference}"
    elif again.source.kind == "quotation":
        from meshcore.register.orders import live_orders  # noqa: PLC0415 - only when it runs

        for order in live_orders(register, again.source):
            yield f"  order {order.number} was taken on it; it may differ: repeat {order.number}"
    was, now = again.then.ledger, again.today.ledger
    like = again.like_minor
    for name, minor, priced in (("then", like[0], again.then), ("today", like[1], again.today)):
        price = _money(minor, priced.ledger.digits, priced.ledger.currency)
        yield f"  {name + ':':<8}{price:>18}  {priced.book.name} of {priced.book.date}"
    if like != (again.then_minor, again.today_minor):
        alone = [one.label for one in again.lines if not one.has_both and not one.is_option]
        yield (
            f"  without line {', '.join(alone)}, which has one price alone; with it "
            f"{_money(again.then_minor, was.digits, was.currency)} then, "
            f"{_money(again.today_minor, now.digits, now.currency)} today"
        )
    for one in again.lines:
        yield from _line(one, (was.digits, was.currency), (now.digits, now.currency))
    yield from (f"  no longer as it was: {one}" for one in again.gone)
    if again.label:
        yield "  today's price is that of this line as an order of its own"
    yield from _differences(again)


def _line(one: RepeatLine, was: tuple[int, str], now: tuple[int, str]) -> Iterable[str]:
    from meshcore.documents.cloth_rows import described, quantity_text  # noqa: PLC0415 - only when it runs
    from meshcore.documents.wording import words  # noqa: PLC0415

    say = words("en")
    beside = " (option, in no sum)" if one.is_option else ""
    if one.cloth is None:
        yield f"  line {one.label}{beside}: had no price"
    else:
        parts = "; ".join((*described(say, one.cloth), quantity_text(say, one.cloth)))
        yield f"  line {one.label}{beside}: {parts}"
    yield f"    was {_money(one.then_minor, *was)}, now {_money(one.today_minor, *now)}"
    for message in one.missing:
        yield f"    no more to be had: {message}"


def _money(minor: int | None, digits: int, currency: str) -> str:
    return "no price" if minor is None else money_text(minor / 10.0**digits, currency)


def _differences(again: Repeat) -> Iterable[str]:
    if again.compared is None:
        return
    currency = again.today.ledger.currency
    digits = minor_digits(currency)
    both = [one for one in again.lines if not one.is_option]
    whole = all(None not in (one.then_minor, one.today_minor) for one in both)
    for row in again.compared.to_dict("records"):
        is_total = row["stage"] == "total"
        if not row["difference"] and not (is_total and not whole):
            continue
        old, new = (
            money_text(row[side], "", digits).strip() for side in ("amount_first", "amount_second")
        )
        where = (
            ("total" if whole else "total of lines with both prices")
            if is_total
            else f"line {again.lines[int(row['line'])].label}, {row['stage']}"
        )
        yield (
            f"  {where}, {row['label']}: {old} → {new} {currency} "
            f"({row['difference']:+,.{digits}f})"
        )
