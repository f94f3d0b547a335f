"""A document as PDF, CSV and plain text, and written to a file: the same texts in each."""

from __future__ import annotations

import csv
import io
import os
import re
import textwrap
from dataclasses import asdict
from datetime import date
from pathlib import Path

from meshcore.documents.cloth_rows import Row
from meshcore.documents.facts import Quotation
from meshcore.documents.sheet import Sheet, quotation_sheet
from meshcore.documents.terms import TermsError
from meshcore.documents.typesetting import Printed, each_text, pictures, typeset
from meshcore.documents.workbook import workbook
from meshcore.whole_files import is_apart, save

#: Signs on a line of a mail.
_MAIL_WIDTH = 76
#: What a cell may not begin with, lest a spreadsheet runs it.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def pdf(sheet: Sheet) -> Printed:
    """Print a document: tagged (PDF/UA-1) and archival (PDF/A-3), its lines attached as CSV."""
    return typeset("sheet.typ", _data(sheet))


def missing_text(missing: str) -> str:
    """Say which signs no font at hand shows, and what stands for them.

    Examples
    --------
    >>> missing_text("織")
    'No font at hand shows 織: its code stands there instead, as [U+7E54]. Install a font that \
has it, such as one of the Noto families, and print again.'
    """
    if not missing:
        return ""
    whose = "its code stands" if len(missing) == 1 else "their codes stand"
    return (
        f"No font at hand shows {missing}: {whose} there instead, as [U+{ord(missing[0]):04X}]. "
        "Install a font that has it, such as one of the Noto families, and print again."
    )


def preview(sheet: Sheet) -> list[bytes]:
    """Return a document's pages as pictures (PNG), for the screen."""
    return pictures("sheet.typ", _data(sheet))


def _data(sheet: Sheet) -> dict[str, object]:
    day = date.fromisoformat(sheet.day)
    held = asdict(sheet)
    broken = {name: each_text(held[name], breakable) for name in _BREAKABLE}
    for row in (*broken["rows"], *broken["offers"]):
        row["label"] = _LONG_LABEL.sub("\\g<0>\u200b", row["label"])
    drawn = [one | {"caption": breakable(one["caption"])} for one in held["figures"]]
    return held | broken | {
        "figures": drawn,
        "year": day.year, "month": day.month, "day": day.day,
        "csv": lines_csv(sheet), "csv_name": "lines.csv",
    }  # fmt: skip


#: What may hold long words that others typed.
_BREAKABLE = ("mill_lines", "contact", "to", "facts", "rows", "offers", "sections")
#: The space between a number and its unit, which are not parted at the end of a line.
_SIZE = re.compile(r"(?<=\d) (?=(?:mm|cm|m|in|ft|kg|%|[A-Z]{3})(?![\w-]))")
#: Signs of a word beyond which it may be broken anywhere.
_LONG_WORD = re.compile(r"\S{24}(?=\S{8})")
#: The same in the narrow column of labels.
_LONG_LABEL = re.compile(r"\S{12}(?=\S{2})")


def breakable(text: str) -> str:
    """Let a word break that is longer than any column (with ZERO WIDTH SPACE), and no size.

    Examples
    --------
    >>> len(breakable("x" * 40)), breakable("304, 10 mesh")
    (41, '304, 10 mesh')
    """
    return _LONG_WORD.sub("\\g<0>\u200b", _SIZE.sub("\N{NO-BREAK SPACE}", text))


def lines_csv(sheet: Sheet) -> str:
    """Return the lines for machines: label, description, quantity, unit price, amount, currency.

    Offers, which are in no sum, stand behind the rest and are marked
    ``one of``, ``option`` or ``instead``.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(["line", "description", "quantity", "unit_price", "amount", "currency",
                     "offer"])  # fmt: skip
    for row in (*sheet.rows, *sheet.offers):
        if row.numbers is not None:
            quantity, unit, amount = row.numbers
            text = "; ".join((row.heading, *row.details))
            writer.writerow([
                harmless(row.label), harmless(text), f"{quantity:.10g}",
                plain_money(unit, sheet.digits + row.unit_places),
                plain_money(amount, sheet.digits), sheet.currency, row.offer,
            ])  # fmt: skip
    return out.getvalue()


def harmless(text: str) -> str:
    """Return a cell's text that no spreadsheet runs.

    Examples
    --------
    >>> harmless("=1+1"), harmless("316L")
    ("'=1+1", '316L')
    """
    return f"'{text}" if text.startswith(_FORMULA) else text


def plain_money(minor: int, digits: int) -> str:
    """Write an amount for machines.

    Examples
    --------
    >>> plain_money(-123456, 2), plain_money(5, 0)
    ('-1234.56', '5')
    """
    sign, whole = ("-", -minor) if minor < 0 else ("", minor)
    scale = 10**digits
    return f"{sign}{whole // scale}" + (f".{whole % scale:0{digits}d}" if digits else "")


def text(sheet: Sheet) -> str:
    """Return a document for a mail, as plain text."""
    lines = [*((sheet.banner, "") if sheet.banner else ())]
    lines += [sheet.mill, *sheet.mill_lines, "", *sheet.to, "", f"{sheet.title} {sheet.number}"]
    lines += [f"{name}: {value}" for name, value in sheet.facts[1:]]
    lines += ["", *_wrapped(sheet.intro)]
    for row in sheet.rows:
        lines += ["", *_row_text(row, sheet.currency)]
    if sheet.rows:
        lines.append("")
        width = max(len(name) for name, *_ in sheet.totals)
        lines += [f"{name:<{width}}  {value:>20}" for name, value, _ in sheet.totals]
        lines += [line for note in sheet.notes for line in _wrapped(note)]
    if sheet.offers:
        lines += ["", *_wrapped(f"{sheet.offers_heading}:")]
    for row in sheet.offers:
        lines += ["", *_row_text(row, sheet.currency)]
    if sheet.offers and not sheet.rows:
        lines += ["", *(line for note in sheet.notes for line in _wrapped(note))]
    for section in sheet.sections:
        lines += ["", section.heading]
        lines += [line for one in section.texts for line in _wrapped(one, "  ")]
    return "\n".join([*lines, "", *sheet.contact]).strip() + "\n"


def _row_text(row: Row, currency: str) -> list[str]:
    lines = _wrapped(f"{row.label}. {row.heading}")
    for detail in row.details:
        lines += _wrapped(detail, "   ")
    sums = [f"{row.quantity} × {row.unit_price}" if row.quantity else "", row.amount]
    told = " = ".join(part for part in sums if part)
    return [*lines, f"   {told} {currency}"] if told else lines


def _wrapped(line: str, indent: str = "") -> list[str]:
    return textwrap.wrap(line, _MAIL_WIDTH, initial_indent=indent, subsequent_indent=indent,
                         break_long_words=False, break_on_hyphens=False)  # fmt: skip


def write_document(sheet: Sheet, path: Path) -> str:
    """Write a document as the name ends: .pdf, .xlsx, .csv or .txt; return what to know of it.

    Raises
    ------
    TermsError
        If the name ends in none of them, or the file cannot be written.
    """
    check_document(path)
    said = ""
    match path.suffix.casefold():
        case ".pdf":
            printed = pdf(sheet)
            content = printed.content
            if printed.missing:
                said = missing_text(printed.missing)
        case ".xlsx":
            content = workbook(sheet)
        case ".csv":
            content = lines_csv(sheet).encode("utf-8")
        case _:
            content = text(sheet).encode("utf-8")
    write_bytes(content, path)
    return said


#: What the name of a document may end in.
_ENDINGS = (".pdf", ".xlsx", ".csv", ".txt")


def check_document(path: Path) -> None:
    """Say at once, before anything is priced, where a document cannot be written.

    Raises
    ------
    TermsError
        If the name ends in none of ``.pdf``, ``.xlsx``, ``.csv`` and ``.txt``.
    """
    if path.suffix.casefold() not in _ENDINGS:
        raise TermsError(f"{path}: a document is .pdf, .xlsx, .csv or .txt; end it in one.")
    check_writable(path)


def check_writable(path: Path) -> None:
    """Say at once, before anything is filed, where a file cannot be written.

    Raises
    ------
    TermsError
        If its folder is not there, or it or its folder takes no file.
    """
    folder = path.parent
    wrong = ""
    if not folder.is_dir():
        wrong = f"there is no folder {folder}"
    elif path.is_dir():
        wrong = "it is a folder"
    elif not is_apart(path) and not os.access(folder, os.W_OK):
        wrong = "its folder takes no file of yours"
    elif path.exists() and not os.access(path, os.W_OK):
        wrong = "it is not yours to write"
    if wrong:
        raise TermsError(f"{path}: cannot be written ({wrong}). Nothing was filed.")


def write_bytes(content: bytes, path: Path) -> None:
    """Write a file.

    Raises
    ------
    TermsError
        If it cannot be written.
    """
    try:
        save(path, content)
    except OSError as error:
        raise TermsError(f"{path}: cannot be written ({error.strerror}).") from error


def write_quotation(facts: Quotation, path: str | Path) -> str:
    """Write a quotation as the name ends: .pdf, .xlsx, .csv or .txt; return what to know of it.

    Raises
    ------
    TermsError
        If the name ends in none of them, or the file cannot be written.
    """
    return write_document(quotation_sheet(facts), Path(path))
