"""Commands about the register: what is on file, what becomes of it, and the repeat order."""

from __future__ import annotations

import argparse
import csv
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands.options import Commands, add_data_options, read_data
from meshcore.commands.quoting import day
from meshcore.costing.money import minor_digits, money_text

if TYPE_CHECKING:
    from meshcore.register.connecting import Register
    from meshcore.register.finding import Found
    from meshcore.register.storing import Entry


def add(commands: Commands) -> None:
    """Add ``register`` and ``repeat``."""
    register = commands.add_parser("register", help="what is on file, and what becomes of it")
    deeds = register.add_subparsers(required=True, metavar="WHAT")
    find = deeds.add_parser("find", help="by number, reference, sender, cloth, date or state")
    find.add_argument("text", nargs="*", metavar="TEXT", help='as "10 mesh 316L sent 2026-03"')
    find.add_argument("--limit", type=int, default=20, metavar="N", help="as many (20)")
    find.set_defaults(command=_find)
    show = _numbered(deeds, "show", "all that is on file of one thing", _show)
    show.add_argument("-o", "--output", type=Path, metavar="OUT",
                      help="print a quotation or an order again: .pdf .xlsx .csv .txt")  # fmt: skip
    mark = _numbered(deeds, "mark", "mark a quotation sent, won, lost or lapsed", _mark)
    mark.add_argument("state", choices=("sent", "won", "lost", "lapsed", "deleted"))
    mark.add_argument("--reason", default="", metavar="TEXT", help="why")
    _add_orders(deeds)
    for name, help_, command in (
        ("export", "what is on file as a list: .csv", _export),
        ("backup", "all of it into one file: .jsonl.gz", _backup),
        ("restore", "a backup into an empty register", _restore),
    ):
        one = deeds.add_parser(name, help=help_)
        one.add_argument("file", type=Path, metavar="FILE")
        one.set_defaults(command=command)
    again = commands.add_parser("repeat", help="an old line by its label or number, priced today")
    again.add_argument("text", nargs="+", metavar="TEXT", help="text of a label, or a number")
    add_data_options(again)
    again.set_defaults(command=_repeat)


def _add_orders(deeds: Commands) -> None:
    order = _numbered(deeds, "order", "take an order against a quotation", _order)
    order.add_argument("--buyer", required=True, metavar="TEXT", help="the buyer's order number")
    order.add_argument("--date", type=day, metavar="DAY", help="of the buyer's order; today")
    order.add_argument("--quantity", action="append", default=[], metavar="LINE=N",
                       help="where it is other than quoted; 0 for a line not ordered")  # fmt: skip
    order.add_argument("--accept", action="store_true",
                       help="file it; without, only tell what differs")  # fmt: skip
    order.add_argument("-o", "--output", type=Path, metavar="OUT", help="acknowledgement")
    labels = _numbered(deeds, "labels", "labels of an order", _labels)
    labels.add_argument("-o", "--output", type=Path, required=True, metavar="OUT.pdf")
    labels.add_argument("--sheet", choices=("single", "a4"), default="single",
                        help="each by itself, 100 x 60 mm, or eight on A4")  # fmt: skip
    deliver = _numbered(deeds, "deliver", "note the lengths delivered on an order", _deliver)
    deliver.add_argument("lengths", metavar="LENGTHS", help='as "3 x 100 ft; 98", or a file')
    deliver.add_argument("--unit", default="", metavar="TEXT", help="of bare numbers")
    billed = _numbered(deeds, "bill", "bill what was delivered on an order", _bill)
    billed.add_argument("-o", "--output", type=Path, required=True, metavar="OUT")


def _numbered(deeds: Commands, name: str, help_: str, command: object) -> argparse.ArgumentParser:
    one = deeds.add_parser(name, help=help_)
    one.add_argument("number", metavar="NUMBER", help="of the thing on file")
    one.set_defaults(command=command)
    return one


def _opened(number: str, kinds: tuple[str, ...] = ()) -> tuple[Register, Entry]:
    from meshcore.register.errors import RecordsError  # noqa: PLC0415 - only when it runs
    from meshcore.register.finding import find  # noqa: PLC0415
    from meshcore.register.opening import open_register  # noqa: PLC0415
    from meshcore.register.storing import entry_of  # noqa: PLC0415
    from meshcore.register.words import folded  # noqa: PLC0415

    register = open_register()
    found = find(register, number, kinds=kinds, limit=50)
    exact = [one for one in found if folded(one.number) == folded(number)]
    if not exact:
        what = " or ".join(kinds) or "thing"
        hint = f" Perhaps {found[0].number}?" if found else ""
        raise RecordsError(f'no {what} "{number}" is on file.{hint}')
    return register, entry_of(register, exact[0].id)


def _find(chosen: argparse.Namespace) -> None:
    from meshcore.register.finding import find  # noqa: PLC0415 - only when it runs
    from meshcore.register.opening import open_register  # noqa: PLC0415

    found = find(open_register(), " ".join(chosen.text), limit=chosen.limit)
    print("\n".join(map(_told, found)) or "Nothing on file agrees.")


def _told(one: Found) -> str:
    amount = money_text(one.total_minor / 10.0**one.digits, one.currency) if one.currency else ""
    about = " · ".join(t for t in (one.sender, one.reference, one.title, one.line) if t)
    named = f"{one.number:<14}{one.kind:<10} {one.state:<9} {one.day}"
    return f"{named} {amount:>16}  {about[:120]}".rstrip()


def _show(chosen: argparse.Namespace) -> None:
    _, opened = _opened(chosen.number)
    head = opened.head
    print(f"{opened.kind} {opened.number}, revision {head.revision}, {opened.state}")
    for name, text in (("for", head.sender), ("reference", head.reference), ("date", head.day),
                       ("holds until", head.until), ("about", head.title)):  # fmt: skip
        if text:
            print(f"  {name}: {text}")
    if head.currency:
        print(f"  amount: {money_text(head.total_minor / 10.0**head.digits, head.currency)}")
    for change in opened.changes:
        note = f": {change.note}" if change.note else ""
        print(f"  {change.at:%Y-%m-%d %H:%M} UTC  {change.what} by {change.who}{note}")
    if chosen.output:
        _print_again(opened, chosen.output)


def _print_again(opened: Entry, path: Path) -> None:
    from meshcore.documents.orders import order_sheet  # noqa: PLC0415 - only when it runs
    from meshcore.documents.printing import write_document, write_quotation  # noqa: PLC0415
    from meshcore.register.errors import RecordsError  # noqa: PLC0415
    from meshcore.register.orders import ordered  # noqa: PLC0415
    from meshcore.register.quotations import quoted  # noqa: PLC0415

    if opened.kind == "quotation":
        write_quotation(quoted(opened), path)
    elif opened.kind == "order":
        write_document(order_sheet(ordered(opened)), path)
    else:
        raise RecordsError(f"a {opened.kind} is not printed from here; a quotation or an order is.")
    print(f"Wrote {path}.")


def _mark(chosen: argparse.Namespace) -> None:
    from meshcore.register.quotations import mark_quotation  # noqa: PLC0415 - only when it runs

    register, opened = _opened(chosen.number, ("quotation",))
    marked = mark_quotation(register, opened, chosen.state, chosen.reason)
    print(f"Quotation {marked.number} is {marked.state}.")


def _order(chosen: argparse.Namespace) -> None:
    from meshcore.documents.orders import difference_texts, order_sheet  # noqa: PLC0415 - only when it runs
    from meshcore.documents.printing import write_document  # noqa: PLC0415
    from meshcore.documents.wording import words  # noqa: PLC0415
    from meshcore.register.orders import accept_order, draft_order, ordered  # noqa: PLC0415
    from meshcore.register.quotations import quoted  # noqa: PLC0415

    register, opened = _opened(chosen.number, ("quotation",))
    changed = dict(_quantity(text) for text in chosen.quantity)
    order = draft_order(quoted(opened), chosen.buyer, chosen.date or date.today(), changed)
    told = difference_texts(words("en"), order.differences, order.currency, order.digits)
    print("\n".join(told) or "As quoted.")
    if chosen.accept:
        filed = accept_order(register, opened, order)
        order = ordered(filed)
        print(f"Order {filed.number} is on file.")
    if chosen.output:
        write_document(order_sheet(order), chosen.output)
        print(f"Wrote {chosen.output}.")


def _quantity(text: str) -> tuple[str, int]:
    from meshcore.register.errors import RecordsError  # noqa: PLC0415 - only when it runs

    label, sign, count = text.rpartition("=")
    if not sign or not count.strip().isdecimal():
        raise RecordsError(f'--quantity: read "{text}"; a line and a count are due, as 2=4.')
    return label.strip(), int(count[:9])


def _labels(chosen: argparse.Namespace) -> None:
    from meshcore.documents.labels import label_pdf  # noqa: PLC0415 - only when it runs
    from meshcore.documents.printing import write_bytes  # noqa: PLC0415
    from meshcore.register.orders import make_labels, ordered, printable  # noqa: PLC0415

    register, opened = _opened(chosen.number, ("order",))
    labels = make_labels(register, opened)
    printed = label_pdf(printable(opened, labels), chosen.sheet, ordered(opened).language)
    write_bytes(printed.content, chosen.output)
    print(
        f"{len(labels)} labels, {labels[0].number} to {labels[-1].number}.\nWrote {chosen.output}."
    )


def _deliver(chosen: argparse.Namespace) -> None:
    from meshcore.register.deliveries import read_deliveries, typed_deliveries  # noqa: PLC0415 - only when it runs
    from meshcore.register.orders import deliver, make_labels  # noqa: PLC0415

    register, opened = _opened(chosen.number, ("order",))
    make_labels(register, opened)
    is_file = Path(chosen.lengths).suffix.casefold() in (".csv", ".xlsx")
    read = read_deliveries if is_file else typed_deliveries
    given = Path(chosen.lengths) if is_file else chosen.lengths
    for one in deliver(register, opened, read(given, chosen.unit)):  # type: ignore[arg-type]
        if one.body["delivered_m"]:
            print(f"{one.number}: {one.body['delivered_m']:.3f} m {one.body['heat']}".rstrip())


def _bill(chosen: argparse.Namespace) -> None:
    from meshcore.documents.orders import bill_sheet  # noqa: PLC0415 - only when it runs
    from meshcore.documents.printing import write_document  # noqa: PLC0415
    from meshcore.register.orders import file_bill, ordered  # noqa: PLC0415

    register, opened = _opened(chosen.number, ("order",))
    filed, goods = file_bill(register, opened)
    made = date.fromisoformat(filed.head.day)
    write_document(bill_sheet(ordered(opened), filed.number, made, goods), chosen.output)
    total = money_text(filed.head.total_minor / 10.0**filed.head.digits, filed.head.currency)
    print(f"Bill {filed.number}: {total} before tax.")
    for one in goods:
        if not one.within:
            print(
                f"  {one.label}: outside the tolerance. "
                "Settle with the buyer whether it is accepted."
            )
    print(f"Wrote {chosen.output}.")


def _export(chosen: argparse.Namespace) -> None:
    import io  # noqa: PLC0415 - only when it runs

    from meshcore.documents.printing import harmless, plain_money, write_bytes  # noqa: PLC0415 - only when it runs
    from meshcore.register.finding import find  # noqa: PLC0415
    from meshcore.register.opening import open_register  # noqa: PLC0415

    found = find(open_register(), limit=10_000_000)
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(["kind", "number", "revision", "state", "date", "holds_until", "sender",
                     "reference", "title", "amount", "currency", "lines"])  # fmt: skip
    for one in found:
        amount = plain_money(one.total_minor, one.digits) if one.currency else ""
        texts = map(harmless, (one.sender, one.reference, one.title))
        writer.writerow([one.kind, one.number, one.revision, one.state, one.day, one.until, *texts,
                         amount, one.currency, one.line_count])  # fmt: skip
    write_bytes(out.getvalue().encode("utf-8"), chosen.file)
    print(f"{len(found)} things.\nWrote {chosen.file}.")


def _backup(chosen: argparse.Namespace) -> None:
    from meshcore.register.copying import backup  # noqa: PLC0415 - only when it runs
    from meshcore.register.opening import open_register  # noqa: PLC0415

    print(f"{backup(chosen.file, open_register())} changes.\nWrote {chosen.file}.")


def _restore(chosen: argparse.Namespace) -> None:
    from meshcore.register.copying import restore  # noqa: PLC0415 - only when it runs
    from meshcore.register.opening import open_register  # noqa: PLC0415

    register = open_register()
    print(f"{restore(chosen.file, register)} changes restored into {register.where}.")


def _repeat(chosen: argparse.Namespace) -> None:
    from meshcore.estimates.summary import list_totals  # noqa: PLC0415 - only when it runs
    from meshcore.register.opening import open_register  # noqa: PLC0415
    from meshcore.register.repeating import repeat  # noqa: PLC0415

    book, policy = read_data(chosen)
    again = repeat(open_register(), " ".join(chosen.text), book, policy)
    line = f", line {again.label}" if again.label else ""
    print(f"{again.source.kind} {again.source.number}{line}, of {again.source.head.day}: "
          f"{again.source.head.sender}")  # fmt: skip
    for name, priced in (("then", again.then), ("today", again.today)):
        totals = list_totals(priced)
        price = (
            money_text(totals.price, totals.currency) if totals.ok + totals.review else "no price"
        )
        print(f"  {name + ':':<8}{price:>18}  {priced.book.name} of {priced.book.date}")
    for message in again.missing:
        print(f"  no more to be had: {message}")
    if again.compared is not None:
        currency = again.today.ledger.currency
        digits = minor_digits(currency)
        for row in again.compared.to_dict("records"):
            if row["difference"]:
                was, now = (
                    money_text(row[side], "", digits).strip()
                    for side in ("amount_first", "amount_second")
                )
                print(f"  {row['stage']}, {row['label']}: {was} → {now} {currency} "
                      f"({row['difference']:+,.{digits}f})")  # fmt: skip
