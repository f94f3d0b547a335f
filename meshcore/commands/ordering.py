"""Commands about what follows a quotation: order, labels, delivery, bill."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands.on_file import counted, numbered, opened_thing
from meshcore.commands.options import Commands
from meshcore.commands.quoting import day
from meshcore.commands.writing import try_document, write_filed
from meshcore.costing.money import money_text

if TYPE_CHECKING:
    from meshcore.documents.labels import Label


def add_to(deeds: Commands) -> None:
    """Add ``order``, ``cancel``, ``labels``, ``deliver`` and ``bill`` to ``register``."""
    order = numbered(deeds, "order", "take an order against a quotation", _order)
    order.add_argument("--buyer", required=True, metavar="TEXT", help="the buyer's order number")
    order.add_argument("--date", type=day, metavar="DAY", help="of the buyer's order; today")
    order.add_argument("--revision", type=int, metavar="N", help="of the quotation; the newest")
    order.add_argument("--quantity", action="append", default=[], metavar="LINE=N",
                       help="where it is other than quoted; 0 for a line not ordered")  # fmt: skip
    order.add_argument("--price", action="append", default=[], metavar="LINE=AMOUNT",
                       help="of one, as the buyer's order has it, if not as quoted")  # fmt: skip
    order.add_argument("--keep-prices", action="store_true",
                       help="a line in another quantity keeps its unit price")  # fmt: skip
    order.add_argument("--reprice", action="store_true",
                       help="price lines anew that were quoted with others left out")  # fmt: skip
    order.add_argument("--accept", action="store_true",
                       help="file it; without, only tell what differs")  # fmt: skip
    order.add_argument("--anyway", action="store_true",
                       help="although an order is there, or the quotation lapsed")  # fmt: skip
    order.add_argument("-o", "--output", type=Path, metavar="OUT", help="acknowledgement")
    cancel = numbered(deeds, "cancel", "mark an order cancelled", _cancel)
    cancel.add_argument("--reason", required=True, metavar="TEXT", help="why")
    labels = numbered(deeds, "labels", "labels of an order", _labels)
    labels.add_argument("-o", "--output", type=Path, required=True, metavar="OUT.pdf")
    labels.add_argument("--sheet", choices=("single", "a4"), default="single",
                        help="each by itself, 100 x 60 mm, or eight on A4")  # fmt: skip
    deliver = numbered(deeds, "deliver", "note what was delivered on an order", _deliver)
    deliver.add_argument("lengths", metavar="LENGTHS",
                         help='as "3 x 100 ft; 98", "R2026-000003: 98 ft heat H7", a file, or '
                         '"all" as ordered')  # fmt: skip
    deliver.add_argument("--unit", default="", metavar="TEXT", help="of bare numbers")
    deliver.add_argument("--instead", action="store_true",
                         help="in place of what these labels have and no bill has")  # fmt: skip
    deliver.add_argument("--anyway", action="store_true", help="although a length is far off")
    billed = numbered(deeds, "bill", "bill what was delivered on an order", _bill)
    billed.add_argument("-o", "--output", type=Path, required=True, metavar="OUT")


def _order(chosen: argparse.Namespace) -> None:
    from meshcore.documents.order_sheets import difference_texts, order_sheet  # noqa: PLC0415 - only when it runs
    from meshcore.documents.printing import check_document, write_document  # noqa: PLC0415
    from meshcore.documents.wording import words  # noqa: PLC0415
    from meshcore.register.entries import entry  # noqa: PLC0415
    from meshcore.register.errors import DoubtError, RecordsError  # noqa: PLC0415
    from meshcore.register.orders import (  # noqa: PLC0415
        accept_order,
        draft_order,
        order_doubts,
        ordered,
    )

    if chosen.output:
        check_document(chosen.output)
    register, opened = opened_thing(chosen.number, ("quotation",))
    if chosen.revision is not None:
        opened = entry(register, "quotation", opened.number, chosen.revision)
    changed = _each_once("--quantity", [_quantity(text) for text in chosen.quantity])
    prices = _each_once("--price", [_price(text, opened.head.digits) for text in chosen.price])
    order = draft_order(opened, chosen.buyer, chosen.date or date.today(), changed,
                        keep_prices=chosen.keep_prices, reprice=chosen.reprice,
                        prices=prices)  # fmt: skip
    told = difference_texts(words("en"), order.differences, order.currency, order.digits)
    print("\n".join(told) or "As quoted.")
    if any(one.what == "part_kept" for one in order.differences):
        print("To price what is left as an order of its own: --reprice.")
    if not chosen.accept:
        for doubt in order_doubts(register, opened, order):
            print(f"Against it: {doubt}")
    if chosen.accept:
        if chosen.output:
            draft = order
            try_document(lambda path: write_document(order_sheet(draft), path), chosen.output)
        try:
            filed = accept_order(register, opened, order, anyway=chosen.anyway)
        except DoubtError as error:
            raise RecordsError(
                f"{' '.join(error.doubts)} To take it all the same: --anyway."
            ) from error
        order = ordered(filed)
        print(f"Order {filed.number} is on file.")
    if chosen.output:
        write = partial(write_document, order_sheet(order))
        if chosen.accept:
            write_filed(write, chosen.output, f"Order {order.number}",
                        f"register show {order.number}")  # fmt: skip
        else:
            write(chosen.output)
        print(f"Wrote {chosen.output}.")


def _each_once(option: str, told: list[tuple[str, int]]) -> dict[str, int]:
    """Return label → value; a label that is told twice is refused."""
    from meshcore.register.errors import RecordsError  # noqa: PLC0415 - only when it runs

    labels = [label for label, _ in told]
    twice = next((label for label in labels if labels.count(label) > 1), None)
    if twice is not None:
        values = " and ".join(str(value) for label, value in told if label == twice)
        raise RecordsError(f"{option}: line {twice} is told twice, {values}. Leave one of them.")
    return dict(told)


def _quantity(text: str) -> tuple[str, int]:
    from meshcore.register.errors import RecordsError  # noqa: PLC0415 - only when it runs

    label, sign, count = text.rpartition("=")
    if not sign or not count.strip().isdecimal():
        raise RecordsError(f'--quantity: read "{text}"; a line and a count are due, as 2=4.')
    return label.strip(), int(count[:9])


def _price(text: str, digits: int) -> tuple[str, int]:
    from meshcore.register.amounts import read_price  # noqa: PLC0415 - only when it runs
    from meshcore.register.errors import RecordsError  # noqa: PLC0415

    label, sign, amount = text.rpartition("=")
    if not sign:
        raise RecordsError(f'--price: read "{text}"; a line and a price are due, as 2=850.00.')
    return label.strip(), read_price(amount, digits)


def _cancel(chosen: argparse.Namespace) -> None:
    from meshcore.register.orders import cancel_order  # noqa: PLC0415 - only when it runs

    register, opened = opened_thing(chosen.number, ("order",))
    print(f"Order {cancel_order(register, opened, chosen.reason).number} is cancelled.")


def _labels(chosen: argparse.Namespace) -> None:
    from meshcore.documents.labels import check_labels, label_pdf  # noqa: PLC0415 - only when it runs
    from meshcore.documents.printing import write_bytes  # noqa: PLC0415
    from meshcore.register.entries import children  # noqa: PLC0415
    from meshcore.register.labels import make_labels, printable, unnumbered  # noqa: PLC0415
    from meshcore.register.orders import ordered  # noqa: PLC0415

    check_labels(chosen.output)
    register, opened = opened_thing(chosen.number, ("order",))
    language = ordered(opened).language

    def write(path: Path, labels: Sequence[Label]) -> str:
        write_bytes(label_pdf(labels, chosen.sheet, language).content, path)
        return ""

    if not children(register, opened, "label"):
        try_document(partial(write, labels=unnumbered(opened)), chosen.output)
    labels = make_labels(register, opened)
    named = f"{labels[0].number} to {labels[-1].number}"
    write_filed(partial(write, labels=printable(opened, labels)), chosen.output,
                f"Each of the labels {named}", f"register labels {opened.number}")  # fmt: skip
    print(f"{counted(len(labels), 'label')}, {named}.\nWrote {chosen.output}.")


def _deliver(chosen: argparse.Namespace) -> None:
    from meshcore.register.delivery_files import is_delivery_file, read_deliveries  # noqa: PLC0415 - only when it runs
    from meshcore.register.errors import DoubtError, RecordsError  # noqa: PLC0415
    from meshcore.register.labels import as_ordered, deliver, make_labels  # noqa: PLC0415
    from meshcore.register.order_lengths import delivered_texts, deliveries_for  # noqa: PLC0415
    from meshcore.register.orders import ordered, standing  # noqa: PLC0415

    register, opened = opened_thing(chosen.number, ("order",))
    labels = make_labels(register, opened)
    takes_all = chosen.lengths.strip().casefold() == "all"
    if takes_all:
        given = as_ordered(standing(opened), labels)
    elif is_delivery_file(chosen.lengths):
        given = read_deliveries(Path(chosen.lengths.strip()), chosen.unit)
    else:
        given = deliveries_for(ordered(opened), chosen.lengths, chosen.unit)
    if not given:
        raise RecordsError(
            f"order {opened.number}: nothing is left to be delivered."
            if takes_all
            else f'delivered: read "{chosen.lengths}" – no length or count. Write some, as '
            '"3 x 100 ft; 98 ft", or "all".'
        )
    try:
        noted = deliver(register, opened, given, anyway=chosen.anyway, instead=chosen.instead)
    except DoubtError as error:
        raise RecordsError(
            f"{' '.join(error.doubts)} To note it all the same: --anyway."
        ) from error
    for label in noted.labels:
        for one in delivered_texts(ordered(opened), label):
            print(f"{label.number}: {one}")
    print("".join(f"{one}\n" for one in noted.said), end="")


def _bill(chosen: argparse.Namespace) -> None:
    from meshcore.documents.order_sheets import bill_sheet  # noqa: PLC0415 - only when it runs
    from meshcore.documents.printing import check_document, write_document  # noqa: PLC0415
    from meshcore.register.bills import delivered_goods, file_bill, over_charged  # noqa: PLC0415
    from meshcore.register.entries import children  # noqa: PLC0415
    from meshcore.register.orders import ordered  # noqa: PLC0415

    check_document(chosen.output)
    register, opened = opened_thing(chosen.number, ("order",))
    order = ordered(opened)
    labels, bills = (children(register, opened, kind) for kind in ("label", "bill"))
    if due := delivered_goods(order, labels, bills):
        try_document(
            partial(write_document, bill_sheet(order, "", date.today(), due)), chosen.output
        )
    filed, goods = file_bill(register, opened)
    made = date.fromisoformat(filed.head.day)
    write_filed(
        partial(write_document, bill_sheet(order, filed.number, made, goods)), chosen.output,
        f"Bill {filed.number}", f"register show {filed.number}",
    )  # fmt: skip
    total = money_text(filed.head.total_minor / 10.0**filed.head.digits, filed.head.currency)
    print(f"Bill {filed.number}: {total} before tax.")
    for one in goods:
        if not one.within:
            print(
                f"  {one.label}: outside the tolerance. "
                "Settle with the buyer whether it is accepted."
            )
    for text in over_charged(order, labels, goods):
        print(f"  {text} Settle with the buyer whether it is accepted.")
    print(f"Wrote {chosen.output}.")
