"""Known values in random writing are read as they are or asked about; and nothing else reads."""

from __future__ import annotations

import ast
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from thorough import share

import meshcore
from meshcore.messages import Message
from meshcore.reading.numbers import plausible
from meshcore.reading.numbers.readings import NO_HINTS, Hints, Mark
from meshcore.reading.texts import read_text
from meshcore.units import LENGTHS_M, Kind

#: How many texts are tried; thoroughly, all that the project asks for.
TRIED = share(4_000, 200_000)
#: Least share of the texts that must be read, so that refusing all is no way to pass [-].
LEAST_READ = 0.8
SEED = 20261125
#: Field → kind, units that people write it in with how, and the range of its values [SI].
UNITS = {
    "mm": ("mm", "Millimeter", "MM", "m/m"), "cm": ("cm",), "m": ("m", "mtr", "Meter", "metres"),
    "µm": ("µm", "micron", "um", "µ"), "in": ("in", '"', "inch", "Zoll", "″", "in."),
    "ft": ("ft", "'", "feet", "′"),
}  # fmt: skip
FIELDS: dict[str, tuple[Kind, tuple[str, ...], tuple[float, float]]] = {
    "wire_diameter": ("length", ("mm", "in", "µm"), (20e-6, 12e-3)),
    "aperture": ("length", ("mm", "in", "µm"), (25e-6, 100e-3)),
    "width": ("length", ("mm", "cm", "m", "in", "ft"), (10e-3, 3.0)),
    "length": ("length", ("mm", "m", "ft"), (0.1, 100.0)),
    "mesh_count": ("count", ("/in", "mesh", "/cm", "Maschen/cm"), (20.0, 15_000.0)),
}
COUNTS = {"/in": 1 / 0.0254, "mesh": 1 / 0.0254, "/cm": 100.0, "Maschen/cm": 100.0}
BEFORE = {"wire_diameter": ("", "", "d=", "Ø ", "wire "), "aperture": ("", "", "w = ", "MW "),
          "width": ("", ""), "length": ("", ""), "mesh_count": ("",)}  # fmt: skip
AFTER = ("", "", "", " ± 0.1 %", " nom.")


@dataclass(frozen=True)
class Rendered:
    """A known value [SI] as somebody might write it."""

    field: str
    text: str
    value: float
    hints: Hints


def rendered(rng: random.Random) -> Rendered:
    """One value in one way of writing: unit, decimal mark, thousands, spaces and symbols."""
    field = rng.choice(list(FIELDS))
    kind, units, (low, high) = FIELDS[field]
    value = low * (high / low) ** rng.random()
    unit = rng.choice(units)
    factor = COUNTS[unit] if kind == "count" else LENGTHS_M[unit]
    places = rng.choice((0, 0, 1, 2, 3, 4))
    number = round(value / factor, places)
    if number <= 0:
        number = round(value / factor, places + 4)
        places += 4
    mark: Mark = rng.choice((".", ","))
    digits = f"{number:,.{places}f}"
    group = rng.choice(("", "", "." if mark == "," else ",", " ", "'"))
    digits = digits.replace(",", "\0").replace(".", mark).replace("\0", group)
    if digits.startswith("0" + mark) and rng.random() < 0.2:
        digits = digits[1:]
    word = unit if kind == "count" else rng.choice(UNITS[unit])
    space = rng.choice(("", " ", "\u00a0", "  "))
    text = f"{rng.choice(BEFORE[field])}{digits}{space}{word}{rng.choice(AFTER)}"
    hints = Hints(decimal=mark) if rng.random() < 0.3 else NO_HINTS
    return Rendered(field, text, number * factor, hints)


@pytest.mark.thorough
def test_known_values_are_never_read_as_another() -> None:
    """Unit, mark, thousands, spaces and symbols at random: wrong in silence is none."""
    rng = random.Random(SEED)
    wrong: list[str] = []
    read = 0
    for _ in range(TRIED):
        case = rendered(rng)
        answer = read_text(case.text, FIELDS[case.field][0], case.field, "", case.hints)
        if isinstance(answer, Message):
            continue
        read += 1
        if abs(answer.value - case.value) > 1e-9 * case.value and _is_ordinary(
            case.field, answer.value
        ):
            wrong.append(f"{case.field}: {case.text!r} is {case.value:g}, read {answer.value:g}")
    assert not wrong
    assert read > LEAST_READ * TRIED


def _is_ordinary(field: str, value: float) -> bool:
    """Whether a size goes through without a review."""
    forms = [form for form in ("", "roll", "strip", "piece") if plausible.window(field, form)]
    return any(plausible.is_usual(field, value, 0.0, form) for form in forms)


ROOT = Path(meshcore.__file__).parent
#: Where digits are looked for outside the reader, by module and function, and why they may be.
ALLOWED = {
    "alloys/comparison/assumptions.py _nearest": "the program's own amounts",
    "alloys/reading.py _alloy": "a number of a family's TOML file, which is one already",
    "costing/ranges.py tornado": "the program's own amounts",
    "lists/binary_workbooks.py _value": "a number that the file itself holds as one",
    "lists/bulk_rows.py Row.value": "a number that is written",
    "lists/workbook.py _fill_list": "the program's own amounts",
    "estimates/explaining.py _n": "the program's own amounts",
    "estimates/set_prices.py PriceSet._money": "the program's own amounts",
    "estimates/lead_time.py _number": "a number of a TOML file, which is one already",
    "lists/open_document.py _cells": "how many cells a cell spans, as the file format counts them",
    "lists/open_document.py _repeated": "how often a cell repeats, as the file format counts it",
    "lists/open_document.py _value": "a number that the file itself holds as one",
    "lists/sheets.py": "the name of a cell in a workbook that is written",
    "lists/sheets.py LiveCells.put": "a number that is written",
    "register/records.py deleted_estimates": "a number that the register itself holds as one",
    "supply/shapes/dxf_opening.py metres_of_unit": "the code of a unit, a number in the drawing",
    "supply/shapes/dxf_edges.py _old_polyline": "a number that the drawing itself holds as one",
    "supply/slitting/planning.py _with_lanes": "the number of a layout, which the planner made",
    "supply/solver/programme.py solve_linear": "the solver's own answer",
    "alloys/comparison/reading_conditions.py": "whether a temperature has a mark: asked then",
    "alloys/records/as_written.py": "numbers of standards, which are names",
    "alloys/records/spotting.py": "numbers of grades, which are names",
    "commands/options.py whole_number": "a seed or the number of a record, as argparse hands it",
    "commands/options.py _seconds": "a time to plan in, as argparse hands it",
    "costing/book/cells.py CellReader.text": "a number that the file itself holds as one",
    "costing/book/cells.py CellReader.number": "a number that the file itself holds as one",
    "costing/explain.py _figures": "the program's own figures, reckoned again as printed",
    "lists/writing.py _is_number": "whether a text is a number: nothing is made of it",
    "documents/cloth_lines.py _breaks": "the program's own amounts",
    "documents/wording.py Words.number": "a figure of the program's own, rounded to be written",
    "register/amounts.py": "finds an amount that is looked for, which the reader reads",
    "register/amounts.py read_price": "whether a text is a number, which the reader reads",
    "register/delivery_files.py": "words of a heading, without its digits",
    "register/deliveries.py": "parts a list of lengths, each of which the reader reads",
    "register/wanting.py": "a day as ISO 8601 has it, which is looked for",
    "register/records.py saved_estimates": "a number that the register itself gave",
    "register/choosing.py": "whether a text is a number on file, which is looked for",
    "register/repeated_lines.py _agreed": "the program's own amounts, as they were kept",
    "register/words.py": "whether a text holds a number on file, which is looked for",
    "register/storing.py next_number": "a number that the register itself gave",
    "estimates/alloy_comparison_text.py _row.number": "a cell of the program's own table",
    "estimates/alloy_comparison_text.py _row.money": "a cell of the program's own table",
    "alloys/availability.py _supply": "a number of a TOML file, which is one already",
    "alloys/records/beside.py": "a material number, which is a name: nothing is made of it",
    "documents/printing.py": "the program's own text, in which figures keep together",
    "documents/drawings.py": "the program's own figures, whose point is written as a comma",
    "documents/drawings.py _in_words": "a drawing's own XML",
    "register/labels.py measured": "a number that the register itself keeps",
    "register/labels.py billed_places": "a number that the register itself keeps",
    "lists/assembling.py": "whether a cell is a number alone: nothing is made of it",
    "lists/grids.py shown": "a number that the file itself holds as one",
    "uses/relations/sieves.py": "numbers of test sieves, which are names",
    "uses/sentences/amounts.py": "finds amounts in a sentence, which the reader reads",
    "uses/sentences/amounts.py _pattern": "finds amounts in a sentence, which the reader reads",
    "uses/sentences/reading.py _counted": "the word behind a number: nothing is made of it",
    "uses/sentences/passages.py use_passage": "where a sentence ends: nothing is made of it",
    "lists/open_document.py": "the unit that an office program shows after a number",
    "lists/rows.py _is_number": "whether a cell is a number alone: nothing is made of it",
    "supply/shapes/texts.py": "parts named sizes, each of which the reader reads",
    "supply/shapes/texts.py _parted": "whether a part holds a size, which the reader reads",
}


def _makes_numbers(path: Path) -> Iterator[tuple[str, int]]:
    """Modules and functions that match digits, or make a number of a text; the line of each."""
    yield from _places(ast.parse(path.read_text("utf-8")), path.relative_to(ROOT).as_posix(), "")


def _places(node: ast.AST, module: str, function: str) -> Iterator[tuple[str, int]]:
    for inner in ast.iter_child_nodes(node):
        named = isinstance(inner, ast.FunctionDef | ast.ClassDef)
        within = (
            ".".join(filter(None, (function, getattr(inner, "name", "")))) if named else function
        )
        if isinstance(inner, ast.Call) and _is_of_numbers(inner):
            yield f"{module} {function}".strip(), inner.lineno
        yield from _places(inner, module, within)


#: What a text is called where a number is made of it.
_TEXTS = (
    "matched[", "match[", ".group(", "text", "str(", "cell)", ".strip(", "word", "value)",
    "number)", ".get(", "part)", "said", "typed", "digits", "token",
)  # fmt: skip
#: What makes numbers of texts, besides float and its like, and patterns of digits.
_MAKERS = ("to_numeric", "fromstring", "literal_eval", "eval", "atof", "genfromtxt", "loadtxt")
_DIGITS = (r"\\d", "[0-9", "NUMBER")


def _is_of_numbers(call: ast.Call) -> bool:
    """Whether a call matches digits, or makes a float of what looks like a text."""
    called = ast.unparse(call.func)
    texts = [ast.unparse(argument) for argument in call.args]
    if called.startswith("re.") or ".str." in called:
        return any(sign in text for text in texts for sign in _DIGITS)
    if called.rpartition(".")[2] in _MAKERS:
        return True
    makes = called in ("float", "int", "Decimal", "Fraction", "complex")
    return makes and bool(texts) and any(sign in f"{texts[0]})" for sign in _TEXTS)


def test_no_second_reader_of_numbers() -> None:
    found = [
        (place, line)
        for path in sorted(ROOT.rglob("*.py"))
        if path.relative_to(ROOT).parts[0] != "reading"
        for place, line in _makes_numbers(path)
    ]
    assert [f"{place}:{line}" for place, line in found if place not in ALLOWED] == []
    assert sorted(set(ALLOWED) - {place for place, _ in found}) == [], "allowed and not there"
