"""Cells as callers fill them, each with what it means, or that it must be asked.

Written from the trade's habits (common practice, no source), and apart from the reader. Each cell
stands in a whole line, and is held against the line as it is priced: one text may mean several
things, of which any may be taken, and ``ask`` is one of them.
"""

from __future__ import annotations

import csv
import json
import math
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path

import pandas as pd

import meshcore as mc
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.comparison.reading_conditions import AMOUNTS, read_conditions
from meshcore.estimates.pipeline import estimate_list
from meshcore.estimates.results import EstimateSet
from meshcore.messages import Message
from meshcore.reading.shape_texts import written

CELLS = tuple(
    Path(__file__).parents[1] / "data" / "reading" / folder / "cells.csv"
    for folder in ("callers", "inspectors")
)
#: Column whose cell says what its text means, by the letter of the truths.
_NAMES = {
    "m": "mesh_count", "a": "aperture", "w": "wire_diameter", "p": "pitch", "W": "width",
    "L": "length", "q": "quantity",
}  # fmt: skip
#: Sizes are typed and said in other units, rounded: they agree this nearly [-].
_NEAR = 0.006
#: Points of open area within which a share typed in whole per cent agrees.
_NEAR_PCT = 0.5
#: Share of the texts with one meaning that must be read.
_READ = 0.97
_CONDITION = "condition:"


@cache
def _cells() -> tuple[Mapping[str, str], ...]:
    found: list[Mapping[str, str]] = []
    for path in CELLS:
        with path.open(encoding="utf-8", newline="") as file:
            found += csv.DictReader(file)
    return tuple(found)


def _meanings(text: str) -> Iterator[dict[str, str]]:
    """Each meaning of a text by letter; asking is none."""
    for one in text.split("||"):
        if one != "ask":
            yield dict(part.split("=", 1) for part in one.split(";") if "=" in part)


def priced_as(priced: EstimateSet, row: int) -> dict[str, object]:
    """Return every fact of a line as it is priced, by the letter of the truths."""
    line, orders = priced.table.iloc[row], priced.orders
    quantity, width = float(orders.quantity[row]), float(orders.cloth.width_m[row])
    area = float(orders.net_area_m2[row]) / quantity if quantity else math.nan
    alloy = int(orders.cloth.alloy[row])
    return {
        "m": line["mesh_count_per_in"], "p": line["pitch_mm"], "a": line["aperture_mm"],
        "w": line["wire_diameter_mm"], "oa": line["open_area_pct"], "wv": line["weave"],
        "q": quantity, "f": int(orders.form[row]), "W": width, "A": area, "L": area / width,
        "al": orders.cloth.alloys[alloy].designation if alloy >= 0 else "",
        "svc": {name for name, lines in orders.services.items() if lines[row]},
    }  # fmt: skip


def is_meant(meaning: Mapping[str, str], facts: Mapping[str, object]) -> bool:
    """Whether a line as it is priced is what a text means."""
    for letter, want in meaning.items():
        got = facts[letter]
        if letter == "svc":
            if {part for part in want.split(",") if part} != got:
                return False
        elif letter in ("al", "wv"):
            if want != got:
                return False
        else:
            slack = _NEAR_PCT if letter == "oa" else _NEAR * float(want)
            if not abs(float(want) - float(got)) <= slack:  # type: ignore[arg-type]
                return False
    return True


def _verdict(
    cell: Mapping[str, str], status: str, facts: Mapping[str, object], messages: Sequence[Message]
) -> str:
    text, field = cell["text"], cell["field"]
    may_ask = "ask" in cell["meaning"].split("||")
    if status == "refused":
        return "asked" if may_ask else "not read"
    if any(is_meant(meaning, facts) for meaning in _meanings(cell["meaning"])):
        return "read"
    named = [m for m in messages if m.field == field or (str(m.read).strip() and m.read in text)]
    if may_ask and status == "review" and named:
        return "asked"
    return "misread, named" if named else "misread"


def _of_lines(field: str, cells: Sequence[Mapping[str, str]]) -> Iterator[tuple[str, str]]:
    lines = [json.loads(cell["companions"]) | {field: cell["text"]} for cell in cells]
    table = pd.DataFrame(lines, dtype=object).fillna("")
    priced = estimate_list(table, mc.demo_price_book(), lines_apart=True)
    for row, cell in enumerate(cells):
        one = priced[row]
        verdict = _verdict(cell, one.status, priced_as(priced, row), one.messages)
        yield verdict, " ## ".join(map(str, one.messages))


def _of_a_condition(field: str, cell: Mapping[str, str]) -> tuple[str, str]:
    read = read_conditions({field: cell["text"]})
    meanings = cell["meaning"].split("||")
    if not isinstance(read, Conditions):
        said = " ## ".join(map(str, read))
        only_other = all(message.field != field for message in read)
        return ("asked" if "ask" in meanings or only_other else "not read"), said
    got = getattr(read, AMOUNTS[field].window if field in AMOUNTS else field)
    for meaning in meanings:
        if meaning == str(got) or _is_near(meaning, got):
            return "read", ""
    return ("misread, named" if read.said else "misread"), " ## ".join(map(str, read.said))


def _is_near(meaning: str, got: object) -> bool:
    if meaning == "ask" or not isinstance(got, float):
        return False
    return abs(float(meaning) - got) <= _NEAR * abs(float(meaning)) + 1e-9


@cache
def verdicts() -> tuple[tuple[str, str, str, str, str], ...]:
    """Return field, text, meaning, verdict and messages of each cell."""
    found = []
    fields = dict.fromkeys(cell["field"] for cell in _cells())
    for field in fields:
        cells = [cell for cell in _cells() if cell["field"] == field]
        if field.startswith(_CONDITION):
            told = [_of_a_condition(field.removeprefix(_CONDITION), cell) for cell in cells]
        else:
            told = list(_of_lines(field, cells))
        for cell, (verdict, said) in zip(cells, told, strict=True):
            found.append((field, cell["text"], cell["meaning"], verdict, said))
    return tuple(found)


def test_a_width_and_a_height_stay_as_they_are_named() -> None:
    assert written("", "W500 H300 mm") == ("rectangle", "width 500 mm, height 300 mm")


def test_conditions_name_both_amounts_of_a_pair() -> None:
    refused = read_conditions({"temperature": "850/900 °C"})
    assert not isinstance(refused, Conditions)
    assert "850 °C" in refused[0].text
    assert "900 °C" in refused[0].text


def test_nothing_is_misread() -> None:
    wrong = [one for one in verdicts() if one[3].startswith("misread")]
    assert not wrong, wrong


def test_what_has_one_meaning_is_read() -> None:
    clear = [one for one in verdicts() if "ask" not in one[2].split("||")]
    unread = [one[:2] for one in clear if one[3] != "read"]
    assert len(clear) >= 800
    assert len(unread) <= (1 - _READ) * len(clear), unread
