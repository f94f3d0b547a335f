"""The command that goes from a use to specifications, and from a specification to a use."""

from __future__ import annotations

import argparse
import math
import shlex
from typing import TYPE_CHECKING

from meshcore.commands.options import (
    OPTIONS,
    PATHS,
    Commands,
    add_data_options,
    add_enquiry_options,
    enquiry_line,
    form_cells,
    read_data,
)
from meshcore.costing.money import money_text

if TYPE_CHECKING:
    from collections.abc import Mapping

    from meshcore.estimates.performing import Performance
    from meshcore.estimates.results import Estimate
    from meshcore.estimates.specified import Specifications
    from meshcore.messages import Message
    from meshcore.uses.statement import Measure

_COUNT = 5
#: Options that only a price hangs on, and how many are ordered where nothing says it.
_OF_PRICE, _ONE = ("services", "book", "policy", "customer"), "1"
#: How each severity of a message is announced.
_KINDS = {"note": "Note", "review": "Doubt", "refused": "Refused"}


def add(commands: Commands) -> None:
    """Add ``specify``."""
    parser = commands.add_parser(
        "specify",
        help="from what the cloth is for to specifications with price, and the other way round",
        epilog=_uses_text(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("use", metavar="USE", help='as "screening", or a sentence that says it')
    parser.add_argument("figures", nargs="*", metavar="FIGURE=TEXT",
                        help='as "cut_size=6 mm"')  # fmt: skip
    parser.add_argument("--count", type=int, metavar="N",
                        help=f"specifications wanted; {_COUNT} without it")  # fmt: skip
    add_enquiry_options(parser)
    add_data_options(parser)
    parser.set_defaults(command=_specify)


def _uses_text() -> str:
    """Name each use with its figures, for the help."""
    from meshcore.uses.catalogue import STATEMENTS  # noqa: PLC0415 - only when a command runs

    lines = ["uses and their figures (those marked * must be given):"]
    for use, statement in STATEMENTS.items():
        figures = ", ".join(
            f"{one.name}{'*' if one.needed else ''}={one.example}" for one in statement.figures
        )
        lines.append(f"  {use}: {figures}")
    lines.append("with the sizes of a cloth (--mesh-count, --wire and so on) it says what that")
    lines.append("cloth does; with --weave alone, it offers only that weave.")
    return "\n".join(lines)


def _specify(chosen: argparse.Namespace) -> None:
    from meshcore.lists.reading import ListError  # noqa: PLC0415 - only when a command runs

    figures = _figures(chosen.figures)
    sizes = [o for o, column in OPTIONS.items() if column != "weave" and getattr(chosen, column)]
    if sizes == ["--open-area"]:
        raise ListError(
            f'--open-area: alone it is no cloth. Write "open_area={chosen.open_area}" if the use '
            "has that figure, or give a size of the cloth too."
        )
    if sizes:
        print(_performance(chosen, figures))
        return
    from meshcore.estimates.specifying import specify  # noqa: PLC0415 - only when a command runs
    from meshcore.messages import writable  # noqa: PLC0415

    book, policy = read_data(chosen)
    try:
        found = specify(
            chosen.use, figures, alloy=chosen.alloy, weave=chosen.weave, form=form_cells(chosen),
            quantity=chosen.quantity, price_book=book, supply_policy=policy,
            count=_COUNT if chosen.count is None else chosen.count,
            services=writable(chosen.services), must_stand=writable(chosen.must_stand),
            path_model=chosen.path,
        )  # fmt: skip
    except ValueError as error:
        raise ListError(f"--count: {error}") from error
    _stop_if(found.messages)
    print(specifications_text(found, chosen))


def _figures(words: list[str]) -> dict[str, str]:
    from meshcore.lists.reading import ListError  # noqa: PLC0415 - only when a command runs

    figures = {}
    for word in words:
        name, sign, text = word.partition("=")
        if not sign:
            raise ListError(f'"{word}" is no figure: write it as "cut_size=6 mm".')
        name = name.strip().replace("-", "_")
        if name in figures:
            raise ListError(f'"{name}" is given twice: leave one of them out.')
        figures[name] = text.strip()
    return figures


def _stop_if(messages: tuple[Message, ...]) -> None:
    from meshcore.lists.reading import ListError  # noqa: PLC0415 - only when a command runs

    if messages:
        raise ListError("; ".join(str(message) for message in messages))


def specifications_text(found: Specifications, chosen: argparse.Namespace) -> str:
    """Write specifications as a page of text, each with the command that prices it so."""
    order = ", ".join(
        f"{name.replace('_', ' ')} {text}" for name, text in found.ordered.items() if text
    )
    lines = [f"{found.title}, priced in {found.alloy}, each for {order}", ""]
    lines += [f"- {reason}" for reason in found.reasons]
    lines += [_announced(one) for one in found.told]
    for rank, one in enumerate(found.offers, 1):
        price = money_text(one.price, found.currency)
        lines += ["", f"{rank}: {one.name}, {price}", f"   {'; '.join(one.reasons)}"]
        lines += [f"   beside the first: {one.trade_off}"] if one.trade_off else []
        lines.append("   " + "; ".join(f"{name} {text}" for name, text in one.measures.items()))
        lines += [f"   {_announced(message)}" for message in one.told]
        lines.append(f"   {_command(one.cells, found, chosen)}")
    lines += ["", *(f"Think of: {hint}" for hint in found.hints)]
    lines += [f"Caution: {found.caution}", f"Rests on: {'; '.join(found.sources)}"]
    return "\n".join(lines)


def _announced(one: Message) -> str:
    """Write a message behind what it is."""
    return f"{_KINDS[one.severity]}: {one}"


def _command(cells: Mapping[str, str], found: Specifications, chosen: argparse.Namespace) -> str:
    words = ["python", "-m", "meshcore", "estimate"]
    for option, column in OPTIONS.items():
        if cells.get(column):
            words += [option, cells[column]]
    words += ["--alloy", found.alloy, *_ordered(found.ordered)]
    words += ["--demo"] if chosen.demo else []
    for name in ("book", "policy", "customer"):
        if getattr(chosen, name):
            words += [f"--{name}", str(getattr(chosen, name))]
    words += ["--path", chosen.path] if chosen.path != PATHS[0] else []
    return shlex.join(words)


def _ordered(ordered: Mapping[str, str]) -> list[str]:
    """Write what is ordered as options."""
    form = ordered["form"]
    size = (
        f"{ordered['shape']}:{ordered['dimensions']}"
        if form == "piece"
        else f"{ordered['width']} x {ordered['length']}"
    )
    words = [f"--{form}", size, "--quantity", ordered["quantity"]]
    for name in ("services", "must_stand"):
        if ordered.get(name):
            words += [f"--{name.replace('_', '-')}", ordered[name]]
    return words


def _performance(chosen: argparse.Namespace, figures: dict[str, str]) -> str:
    from meshcore.estimates.performing import performance  # noqa: PLC0415
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415 - only when it runs

    book, policy = read_data(chosen)
    one = estimate_list(enquiry_line(chosen), book, policy, chosen.path)[0]
    told = performance(one, chosen.use, figures)
    _stop_if(told.messages)
    return "\n".join([performance_text(told), *_priced(one, chosen)])


def _priced(one: Estimate, chosen: argparse.Namespace) -> list[str]:
    """Write the price of the order, where one is given; else which options nothing hangs on."""
    idle = ["--count"] if chosen.count is not None else []
    if not form_cells(chosen):
        idle += [f"--{name}" for name in _OF_PRICE if getattr(chosen, name)]
        idle += ["--quantity"] if chosen.quantity != _ONE else []
    why = "" if form_cells(chosen) else " Nothing is priced without --roll, --strip or --piece."
    lines = [f"Note: not used of a cloth that is given: {', '.join(idle)}.{why}"] if idle else []
    if not form_cells(chosen):
        return lines
    price = money_text(one.price, one.currency)
    said = [message for message in one.messages if not message.code.startswith("service.")]
    return [*lines, f"Price of the order: {price}", *(_announced(message) for message in said)]


def _told(one: Measure) -> str:
    covered = math.isfinite(float(one.values[0]))
    return f"{one.name}: {one.text(0)} ({one.origin if covered else one.outside or one.origin})"


def performance_text(told: Performance) -> str:
    """Write what a cloth does for a use as a page of text."""
    asked = told.reasons or ("nothing that a cloth is to keep",)
    lines = ["Asked:", *(f"- {reason}" for reason in asked)]
    lines += [*(_announced(one) for one in told.told), ""]
    if told.meets:
        doubted = "Its sizes keep all of it; whether its weave does is to be asked."
        lines.append(doubted if told.weave_doubted else "This cloth keeps all of it.")
    lines += [f"This cloth does not keep: {reason}" for reason in told.failing]
    lines += [_told(one) for one in told.measures]
    return "\n".join([*lines, "", f"Caution: {told.caution}"])
