"""The command that quotes a list or a letter."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from meshcore.commands.on_file import (
    counted,
    not_on_file,
    opened_thing,
    register_to_save,
)
from meshcore.commands.options import (
    Commands,
    add_cutting_options,
    add_data_options,
    add_mapping_options,
    read_cutting,
    read_data,
)
from meshcore.commands.writing import try_document, write_filed

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.documents.facts import Quotation
    from meshcore.documents.terms import Terms
    from meshcore.estimates.results import EstimateSet
    from meshcore.register.connecting import Register
    from meshcore.register.entries import Entry

#: Endings of files that are letters; the rest are lists.
_LETTERS = frozenset({".eml", ".html", ".htm", ".md", ".docx", ".pdf"})
_LANGUAGES = ("en", "de", "fr", "es")


def add(commands: Commands) -> None:
    """Add ``quote``."""
    quote = commands.add_parser("quote", help="quote an enquiry list or a letter")
    quote.add_argument("input", type=Path, metavar="IN",
                       help="enquiry list, or a letter: .eml .html .md .docx .pdf")  # fmt: skip
    quote.add_argument("-o", "--output", type=Path, required=True, metavar="OUT",
                       help="quotation: .pdf .xlsx .csv .txt")  # fmt: skip
    quote.add_argument(
        "--letter", action="store_true", help="read IN as a letter, whatever its name"
    )
    quote.add_argument("--to", default="", metavar="TEXT",
                       help="who it is for; lines of the address apart by ;")  # fmt: skip
    quote.add_argument("--reference", default="", metavar="TEXT", help="theirs")
    quote.add_argument("--terms", type=Path, metavar="FILE", help="the mill's terms (.toml)")
    quote.add_argument("--language", choices=_LANGUAGES, default="", help="that of the terms")
    quote.add_argument("--number", default="", metavar="TEXT",
                       help="its number on file; without it, it takes the next")  # fmt: skip
    quote.add_argument("--unfiled", action="store_true",
                       help="only write it, under the number given; nothing is filed")  # fmt: skip
    quote.add_argument("--date", type=day, metavar="DAY", help='as "2026-11-25"; today')
    quote.add_argument("--breaks", type=_quantities, default=(), metavar="N,N",
                       help="tell the price at these quantities too")  # fmt: skip
    quote.add_argument("--confirm", default="", metavar="LINE,LINE",
                       help='lines whose doubts are settled, or "all"')  # fmt: skip
    quote.add_argument("--revise", default="", metavar="NUMBER",
                       help="save it as the next revision of a quotation on file")  # fmt: skip
    quote.add_argument("--lead-time", type=Path, metavar="FILE",
                       help="say when it could leave, from the mill's figures (.toml)")  # fmt: skip
    quote.add_argument("--note", default="", metavar="TEXT", help="why, for the register")
    add_mapping_options(quote)
    add_data_options(quote)
    add_cutting_options(quote)
    quote.set_defaults(command=_quote)


def day(text: str) -> date:
    """Read a day; argparse puts the message into its one line."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text[:40]}' is no day, such as 2026-11-25") from None


def _quantities(text: str) -> tuple[int, ...]:
    from meshcore.documents.quotation import break_quantities  # noqa: PLC0415 - only when it runs
    from meshcore.documents.terms import TermsError  # noqa: PLC0415

    try:
        found = tuple(sorted(set(break_quantities(text))))
        beyond = [part.strip() for part in text.split(",") if len(part.strip()) > _MOST_DIGITS]
    except TermsError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
    if not found:
        raise argparse.ArgumentTypeError(f"'{text[:40]}' are no quantities, such as 5, 10")
    if beyond:
        raise argparse.ArgumentTypeError(f"'{beyond[0][:40]}' is more than anybody orders")
    return found


#: Digits of a quantity beyond which nobody orders (our choice).
_MOST_DIGITS = 9


def _quote(chosen: argparse.Namespace) -> None:
    from meshcore.costing.money import money_text  # noqa: PLC0415 - only when it runs
    from meshcore.documents.cloth_lines import labels_of  # noqa: PLC0415
    from meshcore.documents.open_points import dated  # noqa: PLC0415
    from meshcore.documents.printing import check_document, write_quotation  # noqa: PLC0415
    from meshcore.documents.quotation import (  # noqa: PLC0415
        quotation,
        quoted_lead_times,
        to_settle,
    )
    from meshcore.estimates.lead_time import lead_time_text  # noqa: PLC0415
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415
    from meshcore.lists.reading import ListError  # noqa: PLC0415
    from meshcore.register.quotations import quoted  # noqa: PLC0415
    from meshcore.supply.shapes.drawing_files import drawings_below  # noqa: PLC0415

    check_document(chosen.output)
    _check_number(chosen)
    revised = _revised(chosen)
    book, policy = read_data(chosen)
    table, letter = _asked(chosen)
    if not len(table):
        raise ListError(f"{chosen.input}: nothing is asked for in it. Nothing was filed.")
    with drawings_below(chosen.input.parent):
        estimates = estimate_list(table, book, policy, chosen.path, cutting=read_cutting(chosen))
    terms, language = _wording(chosen, quoted(revised[1]) if revised else None)
    facts = quotation(
        estimates, terms, to=chosen.to.split(";") if chosen.to else letter["sender"],
        reference=chosen.reference or letter["reference"], number=chosen.number, day=chosen.date,
        language=language, breaks=chosen.breaks, wanted_by=letter["wanted_by"],
        confirmed=_confirmed(chosen.confirm, labels_of(estimates)), lead_time=chosen.lead_time,
    )  # fmt: skip

    def write(path: Path) -> str:
        return write_quotation(facts, path)

    if not chosen.unfiled:
        try_document(write, chosen.output)
    facts = _filed(chosen, facts, estimates, letter["text"], revised)
    said = (
        write_filed(write, chosen.output, f"Quotation {facts.number}",
                    f"register show {facts.number}")
        if not chosen.unfiled
        else write(chosen.output)
    )  # fmt: skip
    total = money_text(facts.total_minor / 10.0**facts.digits, facts.currency)
    named = f"{facts.number}, revision {facts.revision}" if facts.revision > 1 else facts.number
    told = (
        [f"{counted(len(facts.lines), 'line')}, {total}"]
        if facts.lines or not facts.options
        else []
    )
    told += [f"{len(facts.options)} offered in no sum"] if facts.options else []
    print(f"Quotation {named}: {'; '.join(told)}.")
    if facts.unpriced:
        labels = ", ".join(line.label for line in facts.unpriced)
        print(f"{counted(len(facts.unpriced), 'line')} without a price: {labels}.", file=sys.stderr)
    for told_of in dated(facts, date.today()):
        print(f"  {told_of}", file=sys.stderr)
    open_ = to_settle(estimates, facts)
    for one in open_:
        line = f"line {one.label}: " if one.label else ""
        print(f"  {line}{one.text}", file=sys.stderr)
    if any(one.can_confirm for one in open_):
        print("It tells the buyer what is still to be confirmed. Where you have settled it: "
              "--confirm LINE,LINE, or --confirm all.", file=sys.stderr)  # fmt: skip
    times = quoted_lead_times(estimates, chosen.lead_time, facts.day)
    if times:
        # What decides the date is the mill's own business: the document tells the date alone.
        print(lead_time_text(times))
    print(f"Wrote {chosen.output}.")
    if said:
        print(said, file=sys.stderr)


def _confirmed(text: str, labels: Sequence[str]) -> tuple[str, ...]:
    from meshcore.documents.terms import TermsError  # noqa: PLC0415 - only when it runs

    if text.strip().casefold() == "all":
        return tuple(labels)
    named = tuple(part.strip() for part in text.split(",") if part.strip())
    unknown = [name for name in named if name not in labels]
    if unknown:
        raise TermsError(f"--confirm: there is no line {', '.join(unknown)}.")
    return named


def _check_number(chosen: argparse.Namespace) -> None:
    """Refuse a number that leaves open what is to become of the quotation."""
    from meshcore.register.errors import RecordsError  # noqa: PLC0415 - only when it runs

    if chosen.revise and (chosen.number or chosen.unfiled):
        other = "--number" if chosen.number else "--unfiled"
        raise RecordsError(f"--revise: a revision keeps its number, and is filed. Leave {other}.")
    if chosen.unfiled and not chosen.number:
        raise RecordsError("--unfiled: what is not filed takes no number. Give it a --number.")


def _revised(chosen: argparse.Namespace) -> tuple[Register, Entry] | None:
    """Open the quotation that is revised, if one is; a number of one's own must be free."""
    from meshcore.register.quotations import check_revisable  # noqa: PLC0415 - only where it is filed

    if chosen.number and not chosen.revise:
        not_on_file("quotation", chosen.number)
    if not chosen.revise:
        return None
    register, opened = opened_thing(chosen.revise, ("quotation",))
    check_revisable(register, opened)
    return register, opened


def _wording(chosen: argparse.Namespace, old: Quotation | None) -> tuple[Terms | Path | None, str]:
    """Return terms and language: a revision has those of the quotation, unless others are named."""
    if chosen.terms or old is None:
        return chosen.terms, chosen.language
    return old.terms, chosen.language or old.language


def _filed(
    chosen: argparse.Namespace, facts: Quotation, estimates: EstimateSet, letter: str,
    revised: tuple[Register, Entry] | None,
) -> Quotation:  # fmt: skip
    """Put a quotation on file, unless it is not to be."""
    from meshcore.register.intake import Came  # noqa: PLC0415 - only where it is filed
    from meshcore.register.quotations import file_quotation, quoted, revise_quotation  # noqa: PLC0415
    from meshcore.register.revising import changed_terms  # noqa: PLC0415

    if revised:
        register, opened = revised
        old = quoted(opened)
        same = replace(
            facts, to=facts.to if facts.to.lines else old.to,
            reference=facts.reference or old.reference,
        )  # fmt: skip
        for one in changed_terms(old, same):
            print(f"  {one}", file=sys.stderr)
        return quoted(revise_quotation(register, opened, same, estimates, note=chosen.note))
    if chosen.unfiled:
        return facts
    kind: Literal["letter", "list"] = "letter" if letter else "list"
    came = Came(kind, chosen.input.name, chosen.input.read_bytes(), letter)
    return quoted(file_quotation(register_to_save(), facts, estimates, came=came, note=chosen.note))


def _asked(chosen: argparse.Namespace) -> tuple[pd.DataFrame, dict[str, str]]:
    """Lines that are asked for; and who asks, under which reference and by when, of a letter."""
    if not (chosen.letter or chosen.input.suffix.casefold() in _LETTERS):
        from meshcore.lists.reading import ListError, read_list  # noqa: PLC0415 - only when it runs

        try:
            table = read_list(chosen.input, mapping=chosen.mapping)
        except ListError as error:
            if chosen.input.suffix.casefold() != ".txt":
                raise
            raise ListError(f"{error} If it is a letter, say so: --letter.") from error
        if chosen.save_mapping:
            table.report.mapping.save(chosen.save_mapping)
        return table, dict.fromkeys(("sender", "reference", "wanted_by", "text"), "")
    from meshcore.reading.letters.letter import read_letter  # noqa: PLC0415 - only when it runs

    letter = read_letter(chosen.input)
    told = {name: found.text if (found := letter.header.get(name)) else ""
            for name in ("sender", "reference", "wanted_by")}  # fmt: skip
    told["sender"] = told["sender"].partition("<")[0].strip()
    return letter.lines, told | {"text": letter.text}
