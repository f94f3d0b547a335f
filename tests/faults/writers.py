"""One writer for each kind of file that the estimator writes, as small programs of their own."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import meshcore as mc
from meshcore.cli import main
from meshcore.costing.book.files import read_price_book, write_price_book
from meshcore.demo import demo_data, demo_price_book, demo_supply_policy

LIST = demo_data() / "enquiries.csv"


@cache
def _estimates() -> mc.EstimateSet:
    return mc.estimate_list(mc.read_list(LIST)[:20], demo_price_book(), demo_supply_policy())


def _listed(path: Path) -> None:
    from meshcore.lists.writing import write_list  # noqa: PLC0415

    write_list(_estimates(), path)


@cache
def _facts() -> object:
    from meshcore.documents.quotation import quotation  # noqa: PLC0415
    from meshcore.documents.terms import read_terms  # noqa: PLC0415

    return quotation(_estimates(), read_terms(demo_data() / "terms.toml"), number="T-1")


def _quoted(path: Path) -> None:
    from meshcore.documents.printing import write_quotation  # noqa: PLC0415

    write_quotation(_facts(), path)  # type: ignore[arg-type]


def _book(path: Path) -> None:
    write_price_book(demo_price_book(), path)


def _version(path: Path) -> None:
    """Each time a new version, with another price of one rate."""
    from dataclasses import replace  # noqa: PLC0415

    from meshcore.costing.book.history.saving import save_version  # noqa: PLC0415

    if not path.exists():
        path.write_bytes((demo_data() / "price_book.toml").read_bytes())
    book = read_price_book(path)
    rates = list(book.rates)
    rates[0] = replace(rates[0], amount=rates[0].amount + 0.25)
    save_version(path, replace(book, rates=tuple(rates)), book, author="T", note="test")


def _mapping(path: Path) -> None:
    mc.read_list(LIST).report.mapping.save(path)


def _words(*words: str) -> Callable[[Path], None]:
    def write(path: Path) -> None:
        done = main([*words[:-1], words[-1], str(path)])
        if done:
            raise OSError(f"exit {done}")

    return write


ONE = ("estimate", "--demo", "--mesh-count", "10/in", "--wire", "0.025 in", "--alloy", "304",
       "--quantity", "40")  # fmt: skip
STRIPS = (*ONE, "--strip", "50 mm x 10 m", "--plan", "0.1")
PIECES = (*ONE, "--piece", "disc: diameter 200 mm", "--plan", "0.1")

#: What is written → ending of its name, and how.
WRITERS: dict[str, tuple[str, Callable[[Path], None]]] = {
    "list.csv": (".csv", _listed),
    "list.xlsx": (".xlsx", _listed),
    "list.parquet": (".parquet", _listed),
    "book.toml": (".toml", _book),
    "book.xlsx": (".xlsx", _book),
    "version.toml": (".toml", _version),
    "quotation.pdf": (".pdf", _quoted),
    "quotation.xlsx": (".xlsx", _quoted),
    "quotation.csv": (".csv", _quoted),
    "quotation.txt": (".txt", _quoted),
    "drawing.svg": (".svg", _words(*ONE, "--roll", "48 in x 100 ft", "--drawing")),
    "plan.svg": (".svg", _words(*PIECES, "--plan-drawing")),
    "plan.dxf": (".dxf", _words(*PIECES, "--plan-dxf")),
    "cut_sheet.pdf": (".pdf", _words(*STRIPS, "--cut-sheet")),
    "cut_sheet.svg": (".svg", _words(*STRIPS, "--cut-sheet")),
    "template.xlsx": (".xlsx", _words("template")),
    "alloys.csv": (".csv", _words("alloys", "--demo", "--mesh-count", "10/in", "--wire",
                                  "0.025 in", "--roll", "48 in x 100 ft", "--temperature",
                                  "20 °C", "-o")),
    "alloys.xlsx": (".xlsx", _words("alloys", "--demo", "--mesh-count", "10/in", "--wire",
                                    "0.025 in", "--roll", "48 in x 100 ft", "--temperature",
                                    "20 °C", "-o")),
    "letter.csv": (".csv", _words("letter", "--demo", str(demo_data() / "inbox" /
                                                           "04-observatory.eml"), "-o")),
    "letter.xlsx": (".xlsx", _words("letter", "--demo", str(demo_data() / "inbox" /
                                                            "04-observatory.eml"), "-o")),
    "model.glb": (".glb", _words("model", "--demo", "--mesh-count", "10/in", "--wire", "0.025 in",
                                 "--alloy", "304", "--pitches", "2", "-o")),
    "mapping.toml": (".toml", _mapping),
    "mapping.json": (".json", _mapping),
}  # fmt: skip
