"""The command that quotes a list or a letter."""

from __future__ import annotations

import argparse
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands.options import (
    Commands,
    add_cutting_options,
    add_data_options,
    add_mapping_options,
    read_cutting,
    read_data,
)

if TYPE_CHECKING:
    import pandas as pd

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
                       help="its number; without it, it is filed and takes the next")  # fmt: skip
    quote.add_argument("--date", type=day, metavar="DAY", help='as "2026-11-25"; today')
    quote.add_argument("--breaks", type=_quantities, default=(), metavar="N,N",
                       help="tell the price at these quantities too")  # fmt: skip
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
    parts = [part.strip() for part in text.split(",") if part.strip()]
    if not parts or not all(part.isdecimal() and int(part[:9]) > 0 for part in parts):
        raise argparse.ArgumentTypeError(f"'{text[:40]}' are no quantities, such as 5,10")
    return tuple(int(part[:9]) for part in parts)


def _quote(chosen: argparse.Namespace) -> None:
    from meshcore.documents.printing import check_document, write_quotation  # noqa: PLC0415 - only when it runs
    from meshcore.documents.quotation import quotation  # noqa: PLC0415
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415

    check_document(chosen.output)
    book, policy = read_data(chosen)
    table, sender, reference = _asked(chosen)
    estimates = estimate_list(table, book, policy, chosen.path, cutting=read_cutting(chosen))
    facts = quotation(
        estimates, chosen.terms, to=chosen.to.split(";") if chosen.to else sender,
        reference=chosen.reference or reference, number=chosen.number, day=chosen.date,
        language=chosen.language, breaks=chosen.breaks,
    )  # fmt: skip
    if not chosen.number:
        from meshcore.register.opening import open_register  # noqa: PLC0415 - only where it is filed
        from meshcore.register.quotations import file_quotation, quoted  # noqa: PLC0415

        facts = quoted(file_quotation(open_register(), facts, estimates))
    said = write_quotation(facts, chosen.output)
    from meshcore.costing.money import money_text  # noqa: PLC0415 - only when it runs

    total = money_text(facts.total_minor / 10.0**facts.digits, facts.currency)
    print(f"Quotation {facts.number}: {len(facts.lines)} lines, {total}.")
    if facts.unpriced:
        labels = ", ".join(line.label for line in facts.unpriced)
        print(f"{len(facts.unpriced)} lines without a price: {labels}.", file=sys.stderr)
    print(f"Wrote {chosen.output}.")
    if said:
        print(said, file=sys.stderr)


def _asked(chosen: argparse.Namespace) -> tuple[pd.DataFrame, str, str]:
    """Lines that are asked for, and who asks under which reference, as far as a letter tells."""
    if not (chosen.letter or chosen.input.suffix.casefold() in _LETTERS):
        from meshcore.lists.reading import read_list  # noqa: PLC0415 - only when it runs

        table = read_list(chosen.input, mapping=chosen.mapping)
        if chosen.save_mapping:
            table.report.mapping.save(chosen.save_mapping)
        return table, "", ""
    from meshcore.reading.letters.letter import read_letter  # noqa: PLC0415 - only when it runs

    letter = read_letter(chosen.input)
    sender, reference = (letter.header.get(name) for name in ("sender", "reference"))
    name = sender.text.partition("<")[0].strip() if sender else ""
    return letter.lines, name, reference.text if reference else ""
