"""Texts that strangers to the reader wrote against it, each in a line that is priced.

``tests/data/reading/strangers/cases.csv`` was written and marked by people who had not seen the
word files; a row that was mended says so. What they meant is in the unit of the column: mm, meshes
an inch, per cent, metres of length, m² of one piece. A text that was to be asked may be priced only
with a word said; of those of one clear meaning, so many must be read.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace

import pandas as pd
import pytest

from meshcore.alloys.comparison.reading_conditions import CONDITION_FIELDS, read_conditions
from meshcore.commands.options import enquiry_line
from meshcore.estimates.pipeline import estimate_list
from meshcore.estimates.results import EstimateSet as Estimates
from meshcore.messages import Message
from meshcore.register.deliveries import lengths_of
from meshcore.register.invoicing import bill_rolls

CASES = Path(__file__).parent.parent / "data" / "reading" / "strangers" / "cases.csv"
CLEAR_ARE_READ = 0.97
ASK = "ask"
ROLL = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
        "width": "48 in", "length": "100 ft", "quantity": 3}  # fmt: skip
COARSE = {"aperture": "3 mm", "wire_diameter": "1 mm", "alloy": "304", "form": "roll",
          "width": "1.22 m", "length": "30.5 m", "quantity": 2}  # fmt: skip
PIECE = {"aperture": "3 mm", "wire_diameter": "1 mm", "alloy": "304", "form": "piece",
         "shape": "disc: diameter 200 mm", "quantity": 10}  # fmt: skip
#: A text of inches, in which a stroke is a fraction's.
_INCHES = re.compile(r'"|^3/4|\d[\s-]*in|(?<=\s)in$')
#: An aperture with its wire in one cell: no wire beside it.
_PAIR = re.compile(r"^(w )?[\d,.]+ ?(mm)?(/| d | - | x [\d.]+ x )[\d,.]")


@dataclass(frozen=True)
class Around:
    """The line about a field's text, its heading, and what of the estimate is what was meant."""

    line: Mapping[str, object]
    heading: str
    answer: Callable[[Estimates], object]


def _row(name: str) -> Callable[[Estimates], object]:
    return lambda priced: priced.table.iloc[0][name]


def _services(priced: Estimates) -> str:
    asked = [name for name, lines in priced.orders.services.items() if lines[0]]
    short = {"weld seam": "weld", "certificate": "cert", "rush": "rush"}
    return "+".join(word for name, word in short.items() if name in asked) or "none"


def _alloy(priced: Estimates) -> str:
    cloth = priced.orders.cloth
    index = int(cloth.alloy[0])
    return cloth.alloys[index].designation if index >= 0 else ""


def _per(share: float) -> Callable[[Estimates], object]:
    return lambda priced: priced.table.iloc[0]["net_area_m2"] * share


AROUND = {
    "wire_diameter": Around(COARSE | {"aperture": "5 mm", "width": "1.2 m"}, "Wire",
                            _row("wire_diameter_mm")),
    "aperture": Around(COARSE | {"width": "1.2 m"}, "Aperture", _row("aperture_mm")),
    "mesh_count": Around(ROLL, "Mesh", _row("mesh_count_per_in")),
    "pitch": Around({k: v for k, v in ROLL.items() if k != "mesh_count"}, "Pitch",
                    _row("pitch_mm")),
    "open_area": Around({k: v for k, v in ROLL.items() if k != "wire_diameter"}, "Open area",
                        _row("open_area_pct")),
    "width": Around(COARSE | {"length": "30 m", "quantity": 1}, "Width", _per(1000 / 30)),
    "length": Around(COARSE | {"width": "1 m", "quantity": 1}, "Length", _per(1.0)),
    "quantity": Around(COARSE | {"width": "1 m", "length": "30 m"}, "quantity",
                       lambda priced: float(priced.orders.quantity[0])),
    "shape": Around(PIECE, "shape", _per(0.1)),
    "alloy": Around(COARSE | {"width": "1.2 m"}, "alloy", _alloy),
    "weave": Around(COARSE | {"width": "1.2 m"}, "weave", _row("weave")),
    "services": Around(COARSE | {"width": "1 m"}, "services", _services),
}  # fmt: skip
#: Said of any line, and of no text: a stock width near the one that is asked for.
_OF_NO_TEXT = frozenset({"supply.width_near_stock"})


def cases() -> list[dict[str, str]]:
    """Rows of the corpus."""
    with CASES.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def agrees(field: str, answer: object, meaning: str) -> bool:
    """Whether an answer is what was meant."""
    if isinstance(answer, str):
        return answer == meaning
    given = float(answer)  # type: ignore[arg-type]
    slack = 0.3 if field == "open_area" else 1e-3 * abs(float(meaning)) + 1e-9
    return abs(given - float(meaning)) <= slack


def priced_cell(case: Mapping[str, str]) -> tuple[object, bool, list[str]]:
    """Return what came of a case: the answer, whether it has a price, and what was said."""
    around = AROUND[case["field"]]
    line = {k: v for k, v in around.line.items() if k != case["field"]}
    inches = _INCHES.search(f"{case['text']} {case['unit_of_column']}") is not None
    if case["field"] == "aperture" and not inches and _PAIR.match(case["text"]):
        line.pop("wire_diameter")
    unit = case["unit_of_column"]
    heading = f"{around.heading} ({unit})" if unit else case["field"]
    priced = estimate_list(pd.DataFrame([line | {heading: case["text"]}]))
    said = [m.code for m in priced[0].messages if m.code not in _OF_NO_TEXT]
    answer = around.answer(priced)
    missing = answer == "" or (isinstance(answer, float) and math.isnan(answer))
    return answer, not missing and priced.table.iloc[0]["status"] != "refused", said


@pytest.mark.parametrize("field", list(AROUND))
def test_texts_of_strangers(field: str) -> None:
    wrong: list[str] = []
    unread: list[str] = []
    clear = 0
    for case in (c for c in cases() if c["field"] == field):
        answer, is_priced, said = priced_cell(case)
        to_ask = case["meaning"] == ASK
        is_clear = not to_ask and "accept: ask" not in case["note"]
        clear += is_clear
        right = is_priced and not to_ask and agrees(field, answer, case["meaning"])
        shown = f"{case['text']!r} under {case['unit_of_column']!r}: {answer}, {case['meaning']}"
        if is_priced and not right and not said:
            wrong.append(shown)
        elif is_clear and not right:
            unread.append(shown)
    assert not wrong
    assert len(unread) <= (1.0 - CLEAR_ARE_READ) * clear, unread


CONDITIONS = ("temperature", "chloride", "distance_to_sea")
_TARGET = {"temperature": "temperature_c", "chloride": "chloride_mg_l",
           "distance_to_sea": "distance_to_sea_m"}  # fmt: skip


@pytest.mark.parametrize("field", CONDITIONS)
def test_conditions_of_strangers(field: str) -> None:
    assert field in CONDITION_FIELDS
    wrong = []
    unread = []
    rows = [case for case in cases() if case["field"] == field]
    for case in rows:
        beside = {"water_temperature": "20 °C"} if field == "chloride" else {}
        read = read_conditions({field: case["text"]} | beside)
        value = None if isinstance(read, tuple) else getattr(read, _TARGET[field])
        meant = None if case["meaning"] == ASK else float(case["meaning"].split()[0])
        if value is None and meant is not None:
            unread.append(case["text"])
        elif value is not None and (meant is None or abs(value - meant) > 1e-3 * meant):
            wrong.append((case["text"], value, case["meaning"]))
    assert not wrong
    assert len(unread) <= 0.15 * len(rows), unread


def _lengths(text: str) -> list[float]:
    """Lengths [m] of a meaning such as "1.2 m; 30 m"."""
    factor = {"mm": 1e-3, "m": 1.0, "ft": 0.3048, "in": 0.0254}
    return [float(n) * factor[u] for n, u in (part.split() for part in text.split("; "))]


def test_rolls_of_strangers_on_the_command_line() -> None:
    wrong = []
    for case in (c for c in cases() if c["field"] == "roll"):
        cells = {k: str(v) for k, v in COARSE.items() if k not in ("form", "width", "length")}
        chosen = SimpleNamespace(piece=None, strip=None, roll=case["text"], **cells)
        priced = estimate_list(enquiry_line(chosen))  # type: ignore[arg-type]
        row = priced.table.iloc[0]
        if row["status"] == "refused":
            continue
        area = float(row["net_area_m2"]) / 2
        meant = None if case["meaning"] == ASK else math.prod(_lengths(case["meaning"]))
        said = [m.code for m in priced[0].messages if m.code not in _OF_NO_TEXT]
        if (meant is None and not said) or (meant and abs(area - meant) > 1e-3 * meant):
            wrong.append((case["text"], area, case["meaning"]))
    assert not wrong


def test_lengths_of_strangers_on_a_bill() -> None:
    line = COARSE | {"width": "1.2 m"}
    priced = estimate_list(pd.DataFrame([line]))
    wrong = []
    for case in (c for c in cases() if c["field"] == "delivered"):
        invoice = bill_rolls(priced, lengths_of(case["text"]))
        if isinstance(invoice, tuple):
            assert all(isinstance(message, Message) for message in invoice)
            continue
        meant = sum(_lengths(case["meaning"])) if case["meaning"] != ASK else 0.0
        total = float(sum(invoice.delivered_m))
        if abs(total - meant) > 1e-3 * meant and not (meant == 0.0 and invoice.messages):
            wrong.append((case["text"], total, case["meaning"]))
    assert not wrong


def test_no_case_is_lost() -> None:
    fields = {case["field"] for case in cases()}
    assert len(cases()) > 950
    assert fields <= {*AROUND, *CONDITIONS, "roll", "delivered", "shape+quantity"}


def test_counts_beside_pieces_of_strangers() -> None:
    wrong = []
    for case in (c for c in cases() if c["field"] == "shape+quantity"):
        beside = re.search(r"'(\d*)'", case["note"])
        assert beside
        line = {k: v for k, v in PIECE.items() if k not in ("shape", "quantity")}
        cells = {"shape": case["text"], "quantity": beside[1]}
        priced = estimate_list(pd.DataFrame([line | cells]))
        is_refused = priced.table.iloc[0]["status"] == "refused"
        counted = is_refused or priced.orders.quantity[0] == float(case["meaning"])
        if is_refused != (case["meaning"] == ASK) or not counted:
            wrong.append(case["text"])
    assert not wrong
