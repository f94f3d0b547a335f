"""Texts as people write them, each with what it means or that it must be asked.

The corpus in ``tests/data/reading`` was written from the trade's habits, by field, and not from
what the reader answers. A row's note may allow more answers (``accept: ask; 2.5``); a row that
was mended says so and why. A text read as what it does not mean is the one fault that is never
allowed; of those whose one meaning is clear, so many must be read.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pandas as pd
import pytest

from meshcore import plugins
from meshcore.alloys.comparison.reading_conditions import AMOUNTS
from meshcore.alloys.records.beside import said_beside
from meshcore.alloys.records.registry import installed_registry, resolve
from meshcore.enquiry import FORMS, WEAVES, Service
from meshcore.messages import Message, MessageLog
from meshcore.reading.numbers import plausible
from meshcore.reading.sizes.amounts import read_amount
from meshcore.reading.sizes.rolls import roll_word
from meshcore.reading.tables.cells import Cells
from meshcore.reading.tables.forms import implied_lengths, named_forms, read_weaves
from meshcore.reading.tables.headings import headings_of
from meshcore.reading.tables.service_words import read_services
from meshcore.reading.texts import NO_HINTS, Hints, is_blank, read_text
from meshcore.reading.vocabulary import fold, words
from meshcore.supply.shapes.texts import read_shape
from meshcore.units import Kind

CORPUS = Path(__file__).parent.parent / "data" / "reading"
#: Share of the texts of one clear meaning that must be read, by field [-].
CLEAR_ARE_READ = 0.97
#: Relative difference within which two numbers are one: the corpus gives gauges to four figures.
ONE_NUMBER = 1e-3
ASK = "ask"
KINDS: dict[str, tuple[Kind, float]] = {
    "aperture": ("length", 1e3),
    "pitch": ("length", 1e3),
    "wire_diameter": ("length", 1e3),
    "width": ("length", 1e3),
    "length": ("length", 1e3),
    "mesh_count": ("count", 0.0254),
    "open_area": ("share", 100.0),
    "quantity": ("number", 1.0),
}
#: What a list lets a cell state beside its own field.
TAKES = {
    "mesh_count": {"wire_diameter"},
    "aperture": {"wire_diameter"},
    "width": {"length"},
    "length": {"quantity"},
    "quantity": {"length", "width", "dimensions", "form"},
}


@dataclass(frozen=True)
class Row:
    """One text of the corpus."""

    text: str
    unit: str
    meaning: str
    note: str
    field: str = ""

    @property
    def allowed(self) -> list[str]:
        _, _, more = self.note.partition("accept:")
        return [
            self.meaning,
            *(part.strip() for part in re.split(r"; ?(?:accept:)?", more) if part),
        ]

    @property
    def is_clear(self) -> bool:
        return self.meaning != ASK and ASK not in self.allowed


def corpus(name: str) -> Iterator[Row]:
    """Rows of one field: the trade's habits, and those of buyers and visitors written apart."""
    for folder in (CORPUS, CORPUS / "buyers", CORPUS / "visitors"):
        path = folder / f"{name}.csv"
        if not path.exists():
            continue
        with path.open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                yield Row(
                    row["text"], row["unit_of_column"], row["meaning"], row["note"],
                    row.get("field") or "",
                )  # fmt: skip


def same(answer: str, allowed: str) -> bool:
    """Whether an answer is one that is allowed: the same words, or the same number."""
    try:
        return abs(float(answer) - float(allowed)) <= ONE_NUMBER * abs(float(allowed))
    except ValueError:
        return answer == allowed


def judge(
    name: str, answer_to: Callable[[Row], str], takes: Callable[[Row], bool] = lambda _: True
) -> None:
    """Hold every answer against the corpus: none wrong, and enough of the clear ones read."""
    wrong: list[str] = []
    unread: list[str] = []
    clear = 0
    for row in filter(takes, corpus(name)):
        answer = answer_to(row)
        clear += row.is_clear
        if any(same(answer, allowed) for allowed in row.allowed):
            continue
        shown = f"{row.text!r} under {row.unit!r}: {answer}, not {row.meaning}"
        (unread if answer == ASK else wrong).append(shown)
    assert not wrong
    assert len(unread) <= (1.0 - CLEAR_ARE_READ) * clear, unread
    assert clear > 40


def is_ordinary(field: str, value: float) -> bool:
    """Whether a size is usual in any form; what is not comes up for review, and so is asked."""
    known = [form for form in ("", "roll", "strip", "piece") if plausible.window(field, form)]
    return any(plausible.is_usual(field, value, 0.0, form) for form in known)


def read_cell(field: str, row: Row) -> str:
    """What the reader makes of a cell, as the corpus writes it."""
    kind, scale = KINDS[field]
    if field == "length" and (roll := roll_word(row.text)):
        return roll
    if is_blank(row.text):
        return ASK
    hints = Hints(takes=frozenset(TAKES.get(field, ())))
    unit = row.unit or ("/in" if kind == "count" else "")
    read = read_text(row.text, kind, field, unit, hints)
    if isinstance(read, Message) or not is_ordinary(field, read.value):
        return ASK
    if read.said is not None and read.said.severity == "review":
        return ASK
    if field == "quantity" and read.value != round(read.value):
        return ASK
    return f"{read.value * scale:.10g}"


@pytest.mark.parametrize("field", list(KINDS))
def test_sizes_and_counts(field: str) -> None:
    judge(field, lambda row: read_cell(field, row))


#: Condition of the corpus → its field here, and the unit that the corpus's own heading names.
CONDITIONS = {
    "furnace_temperature_c": ("temperature", "C", "temperature_c"),
    "chloride_mg_per_l": ("chloride", "mg/l", "chloride_mg_l"),
    "distance_to_sea_m": ("distance_to_sea", "", "distance_to_sea_m"),
    "design_life_years": ("years_wanted", "a", "years_wanted"),
}


def read_condition(row: Row) -> str:
    """What the reader makes of a condition of service."""
    field, unit, judged_as = CONDITIONS[row.field]
    heading = words(AMOUNTS[field].topic).get(fold(row.unit), "") if row.unit else unit
    read = read_amount(row.text, AMOUNTS[field], field, heading, NO_HINTS)
    if isinstance(read, Message) or not plausible.is_usual(judged_as, read.value):
        return ASK
    return f"{read.value:.10g}"


def test_conditions_of_service() -> None:
    judge("conditions", read_condition)


#: Names of the corpus → designations of the records: one alloy, or one of the family that it names.
RECORDS = {
    "brass 90/10": {"commercial bronze 90/10"},
    "brass 85/15": {"red brass 85/15"},
    "NiCr 80/20": {"nickel-chromium 80/20"},
    "FeCrAl": {"FeCrAl 1.4767"},
    "alloy C-22": {"alloy 22"},
    "galvanized steel": {"galvanized steel", "heavily galvanized steel"},
    "phosphor bronze": {"phosphor bronze 5 %", "phosphor bronze 6 %", "phosphor bronze 8 %"},
}


def read_alloy(row: Row) -> str:
    """What the reader makes of a name of an alloy, in the words of the corpus."""
    registry = installed_registry()
    found = resolve(registry, row.text)
    if isinstance(found, Message) or said_beside(registry, row.text, found) is not None:
        return ASK
    alloy = registry.alloys[found]
    names = {alloy.designation, alloy.uns, alloy.en}
    for allowed in row.allowed:
        if names & (RECORDS.get(allowed, set()) | {allowed}):
            return allowed
    return alloy.designation


def test_alloys_as_written() -> None:
    judge("alloy", read_alloy)


def piece_area_m2(meaning: str) -> float:
    """Area of a piece as the corpus writes it, by its closed form."""
    name, _, sizes = meaning.partition("|")
    v = [float(size) for size in sizes.split(",")] if sizes else []
    half_turn = math.pi / 4
    known: dict[str, Callable[[], float]] = {
        "disc": lambda: half_turn * v[0] ** 2,
        "ring": lambda: half_turn * (v[0] ** 2 - v[1] ** 2),
        "rectangle": lambda: v[0] * v[1],
        "square": lambda: v[0] ** 2,
        "rounded rectangle": lambda: v[0] * v[1] - (4 - math.pi) * v[2] ** 2,
        "L": lambda: v[0] * v[1] - v[2] * v[3],
        "sector": lambda: math.radians(v[-1]) / 2 * (v[0] ** 2 - (v[1] ** 2 if v[2:] else 0.0)),
        "hexagon": lambda: v[0] ** 2 * math.sqrt(3) / 2,
        "triangle": lambda: math.sqrt(sum(v) / 2 * math.prod(sum(v) / 2 - side for side in v)),
        "ellipse": lambda: half_turn * v[0] * v[1],
        "obround": lambda: (v[0] - v[1]) * v[1] + half_turn * v[1] ** 2,
        "half disc": lambda: half_turn / 2 * v[0] ** 2,
        "trapezoid": lambda: (v[0] + v[1]) / 2 * v[2],
    }
    return known[name]() * 1e-6 if name in known else math.nan


def read_piece(row: Row) -> str:
    """What the reader makes of a piece, known by its area."""
    found = read_shape("", row.text)
    if isinstance(found, Message):
        return ASK
    for allowed in row.allowed:
        if found.area_m2 == pytest.approx(piece_area_m2(allowed), rel=1e-4):
            return allowed
    return f"{found.kind} of {found.area_m2:.6g} m²"


def test_pieces() -> None:
    judge("shape", read_piece, lambda row: not row.unit)


def cells_of(column: str, text: str) -> Cells:
    """One cell of a list, as the readers of lists take it."""
    table = pd.DataFrame({column: [text]})
    return Cells(table, headings_of(table), MessageLog(1))


def is_sure(cells: Cells) -> bool:
    """Whether nothing was asked back: no refusal and no review."""
    return str(cells.log.status()[0]) == "ok"


def read_weave(row: Row) -> str:
    """What the reader of lists makes of a weave."""
    cells = cells_of("weave", row.text)
    code = int(read_weaves(cells, blank=-1)[0])
    return WEAVES[code] if code >= 0 and is_sure(cells) else ASK


def test_weaves() -> None:
    judge("weave", read_weave)


def read_form(row: Row) -> str:
    """What the reader of lists makes of a form, with the length that its words imply."""
    cells = cells_of("form", row.text)
    code = int(named_forms(cells)[0])
    if code < 0 or not is_sure(cells):
        return ASK
    implied = implied_lengths(cells)
    return str(implied[0]) if implied is not None and implied[0] else FORMS[code]


def test_forms() -> None:
    judge("form", read_form)


#: Services of the corpus → those that the bundled plugin offers.
SERVICES = {
    "hemmed": "edge finish", "welded": "weld seam", "annealed": "anneal", "coated": "coat",
    "formed": "form", "cut edges": "cut", "degreased": "clean", "calendered": "calender",
    "slit": "slit", "none": "",
}  # fmt: skip


OFFERED = [service for _, service in plugins.installed().collect("meshcore_services", Service)]


def offered(meaning: str) -> str:
    """Services of a row of the corpus by the names under which they are offered."""
    named = [SERVICES.get(part, part) for part in meaning.split(";")]
    return ";".join(sorted(named))


def read_services_asked(row: Row) -> str:
    """What the reader of lists makes of services, or of yes and no under a heading of one."""
    cells = cells_of(row.unit or "services", row.text)
    asked = read_services(cells, OFFERED)
    if not is_sure(cells):
        return ASK
    found = ";".join(sorted(name for name, lines in asked.items() if lines[0]))
    return next((allowed for allowed in row.allowed if offered(allowed) == found), found or "none")


def test_services() -> None:
    judge("services", read_services_asked)


def test_a_service_denied_in_one_column_and_asked_in_another_is_put_to_review() -> None:
    table = pd.DataFrame({"services": ["no weld", "no weld"], "Weld": ["yes", "no"]})
    cells = Cells(table, headings_of(table), MessageLog(2))
    read_services(cells, OFFERED)
    assert cells.log.status().tolist() == ["review", "ok"]


def test_the_corpus_is_wide() -> None:
    rows = [row for path in CORPUS.glob("*.csv") for row in corpus(path.stem)]
    assert len(rows) >= 1500
    assert len({(row.field, row.text, row.unit) for row in rows}) >= 1500
