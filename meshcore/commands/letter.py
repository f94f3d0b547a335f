"""The command that reads a buyer's letter to lines, and prices or asks back."""

from __future__ import annotations

import argparse
import io
import shlex
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from meshcore.commands.options import Commands, add_data_options, add_for_others, read_data
from meshcore.commands.writing import write_file
from meshcore.reading.texts import is_blank

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.estimates.letters import PricedLetter
    from meshcore.estimates.results import EstimateSet
    from meshcore.reading.letters.letter import Letter

#: Columns that say which cloth and form a line asks for, as the terminal shows them.
_SHOWN = (
    "line", "mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "weave", "alloy",
    "form", "width", "length", "shape", "dimensions", "quantity", "services",
)  # fmt: skip
_STANDARD_INPUT = "-"


def add(commands: Commands) -> None:
    """Add ``letter``."""
    letter = commands.add_parser("letter", help="read a letter to enquiry lines")
    letter.add_argument("input", metavar="FILE",
                        help="letter: .txt .eml .html .md .docx .pdf, or - for standard input")  # fmt: skip  # noqa: E501
    letter.add_argument("-o", "--output", type=Path, metavar="OUT",
                        help="write the lines as an enquiry list: .csv .xlsx; priced with --price")  # fmt: skip  # noqa: E501
    add_for_others(letter)
    letter.add_argument("--price", action="store_true",
                        help="price the lines, a choice of alloys both ways")  # fmt: skip
    letter.add_argument("--ask", action="store_true", help="print the questions as a reply")
    add_data_options(letter)
    letter.set_defaults(command=_letter)


def _letter(chosen: argparse.Namespace) -> None:
    from meshcore.lists.writing import check_writable  # noqa: PLC0415 - only when it runs

    if chosen.output:
        check_writable(chosen.output)
    letter = _read(chosen.input)
    print(_report(letter))
    has_lines = len(letter.lines) > 0
    priced = _priced(chosen, letter) if chosen.ask or (chosen.price and has_lines) else None
    if priced is not None and chosen.price and has_lines:
        _price(chosen, priced)
    elif chosen.output:
        _write(letter.lines, chosen.output)
        print(f"Wrote {chosen.output}.")
    if priced is not None and chosen.ask:
        reply = priced.reply()
        print(f"\n{reply.rstrip()}" if reply else "\nNothing is left to ask.")
    if led := _to_the_use(letter, chosen):
        print(led)
    if not has_lines:
        from meshcore.reading.letters.open import LetterError  # noqa: PLC0415 - only when it runs

        raise LetterError(
            f"{chosen.input}: no line was read. A line needs a mesh or an opening, and how many."
        )


#: Cells of a line that specify a cloth.
_SPECIFIES = ("mesh_count", "pitch", "aperture", "open_area")


def _to_the_use(letter: Letter, chosen: argparse.Namespace) -> str:
    """Lead to the use that a letter states instead of a specification; empty where it does not."""
    from meshcore.uses.sentences.passages import use_passage  # noqa: PLC0415 - only when it runs

    lines = letter.lines
    if any((lines[name] != "").any() for name in _SPECIFIES if name in lines):
        return ""
    said, use = use_passage(letter.text)
    if not said:
        return ""
    words = ["python", "-m", "meshcore", "specify", said, *_ordered(lines)]
    words += ["--demo"] if chosen.demo else []
    return (
        f"It specifies no cloth, but says what it is for ({use}). To go on from there:\n"
        f"  {shlex.join(words)}"
    )


def _ordered(lines: pd.DataFrame) -> list[str]:
    """Write as options what one line orders beside its cloth; of several lines, nothing."""
    if len(lines) != 1:
        return []
    cell = {name: str(text) for name, text in lines.iloc[0].items() if not is_blank(str(text))}
    form, words = cell.get("form", ""), []
    if form in ("roll", "strip") and "width" in cell and "length" in cell:
        words += [f"--{form}", f"{cell['width']} x {cell['length']}"]
    elif form == "piece" and "shape" in cell and "dimensions" in cell:
        words += ["--piece", f"{cell['shape']}:{cell['dimensions']}"]
    for name in ("quantity", "alloy", "weave", "services", "must_stand"):
        if name in cell:
            words += [f"--{name.replace('_', '-')}", cell[name]]
    return words


def _read(named: str) -> Letter:
    from meshcore.reading.letters.letter import read_letter, read_text_of_letter  # noqa: PLC0415 - only when it runs
    from meshcore.reading.letters.open import decode  # noqa: PLC0415

    if named == _STANDARD_INPUT:
        return read_text_of_letter(decode(sys.stdin.buffer.read()))
    return read_letter(Path(named))


def _priced(chosen: argparse.Namespace, letter: Letter) -> PricedLetter:
    from meshcore.estimates.letters import price_letter  # noqa: PLC0415 - only when it runs

    book, policy = read_data(chosen)
    return price_letter(letter, book, policy, chosen.path)


def _report(letter: Letter) -> str:
    """Tell what was read, what is to be asked, what was left aside and why."""
    lines = letter.lines
    many = "1 line" if len(lines) == 1 else f"{len(lines)} lines"
    rows = [f"{many} read." if len(lines) else "No line was read."]
    rows += [
        f"  {name.replace('_', ' ')}: {found.text}"
        for name, found in letter.header.items()
        if found
    ]
    for cells in lines.to_dict("records"):
        said = [f"{name.replace('_', ' ')} {cells[name]}" for name in _SHOWN[1:] if cells[name]]
        rows.append(f"  {cells['line']}: {', '.join(said)}")
    if len(letter.asked):
        rows.append("To be asked:")
        rows += [f"  {_about(row)}" for row in _rows(letter.asked)]
    for title, table in (
        ("Other goods, set apart:", letter.not_square),
        ("Not read:", letter.unread),
    ):
        if len(table):
            rows.append(title)
            rows += [
                f"  {' '.join(row['text'].split())[:90]} ({row['why']})" for row in _rows(table)
            ]
    return "\n".join(rows)


def _rows(table: pd.DataFrame) -> list[dict[str, str]]:
    return [
        {str(name): str(cell) for name, cell in row.items()} for row in table.to_dict("records")
    ]


def _about(row: dict[str, str]) -> str:
    return f"{row['line']}, {row['field'].replace('_', ' ')}: {row['why']}"


def _price(chosen: argparse.Namespace, priced: PricedLetter) -> None:
    from meshcore.commands import report  # noqa: PLC0415 - only when it runs
    from meshcore.estimates.letters import as_offers  # noqa: PLC0415
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415
    from meshcore.lists.writing import write_list  # noqa: PLC0415

    lines, estimates = as_offers(priced.letter), priced.estimates
    if priced.choices:
        estimates = estimate_list(lines, estimates.book, estimates.policy, chosen.path)
    for line in _prices(lines, estimates):
        print(line)
    if chosen.output:
        write_list(estimates, chosen.output, costs=not chosen.without_costs,
                   keep=chosen.keep_column)  # fmt: skip
        print(f"Wrote {chosen.output}.")
    refused = report.refusals(estimates)
    if refused:
        print(refused, file=sys.stderr)


def _prices(lines: pd.DataFrame, estimates: EstimateSet) -> list[str]:
    from meshcore.costing.money import money_text  # noqa: PLC0415 - only when it runs

    out = ["Prices:"]
    rows = estimates.table[["status", "price", "currency"]].itertuples(index=False)
    for label, (status, price, currency) in zip(lines["line"], rows, strict=True):
        shown = (
            "no price"
            if price != price  # noqa: PLR0124
            else money_text(float(price), str(currency))
        )  # noqa: PLR0124, RUF100
        out.append(f"  {label}: {shown} ({status})")
    return out


def _write(lines: pd.DataFrame, output: Path) -> None:
    from meshcore.lists.reading import ListError  # noqa: PLC0415 - only when it runs
    from meshcore.lists.writing import without_formulas  # noqa: PLC0415

    suffix = output.suffix.casefold()
    if suffix == ".csv":
        write_file(without_formulas(lines).to_csv(index=False).encode(), output)
    elif suffix == ".xlsx":
        write_file(_as_workbook(lines), output)
    else:
        raise ListError(f"{output}: lines are written as .csv or .xlsx. Give -o such a name.")


def _as_workbook(lines: pd.DataFrame) -> bytes:
    """Return a workbook in which a text that begins as a formula stays a text."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a workbook is written

    made = io.BytesIO()
    with pd.ExcelWriter(made, engine="openpyxl") as writer:
        lines.to_excel(writer, index=False)
        cells = (cell for row in writer.sheets["Sheet1"].iter_rows() for cell in row)
        for cell in cells:
            if cell.data_type == "f":
                cell.data_type = "s"
    return made.getvalue()
