"""Cells, lines and lists as buyers and clerks of four languages write them, each with its meaning.

Written by hand from the trade's habits and apart from the reader (common practice, no source). What
may be asked may be priced only as it is meant, or with a word said. A line or a row of a list that
is read otherwise is never ``ok``.
"""

from __future__ import annotations

import csv
import json
import math
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from test_strangers import AROUND, CLEAR_ARE_READ, agrees, priced_cell
from thorough import share

import meshcore as mc
from meshcore.estimates.pipeline import estimate_list
from meshcore.estimates.results import EstimateSet

DATA = Path(__file__).parent.parent / "data" / "reading" / "clerks"
LISTS = Path(__file__).parent / "clerks"
TRUTHS: dict[str, dict[str, dict[str, Any]]] = json.loads(
    (LISTS / "truths.json").read_text("utf-8")
)
#: One in so many cells and lines is tried by default; all of them where there is time.
STEP = share(8, 1)
SLACK = 2e-3
SERVICES = {"weld seam": "weld", "certificate": "cert"}


def cases() -> list[dict[str, str]]:
    """Rows of the corpus of cells."""
    with (DATA / "cases.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def lines() -> list[dict[str, Any]]:
    """Whole lines, each with what it means."""
    return [json.loads(row) for row in (DATA / "lines.jsonl").read_text("utf-8").splitlines()]


def allowed(case: Mapping[str, str]) -> list[str]:
    """Return what a cell may be read as."""
    more = case["note"].removeprefix("accept:").split(";")
    return [case["meaning"], *(part.strip() for part in more if part.strip())]


@pytest.mark.parametrize("field", sorted(AROUND))
def test_cells_of_clerks(field: str) -> None:
    wrong, unread, clear = [], [], 0
    for case in [c for c in cases() if c["field"] == field][::STEP]:
        answer, is_priced, said = priced_cell(case)
        meant = allowed(case)
        is_clear = "ask" not in meant
        clear += is_clear
        right = is_priced and any(agrees(field, answer, m) for m in meant if m != "ask")
        shown = f"{case['text']!r} under {case['unit_of_column']!r}: {answer}, {meant}"
        if is_priced and not right and not said:
            wrong.append(shown)
        elif is_clear and not right:
            unread.append(shown)
    assert not wrong
    assert len(unread) <= max((1.0 - CLEAR_ARE_READ) * clear, share(1, 0)), unread


def apart(estimates: EstimateSet, at: int, means: Mapping[str, Any]) -> dict[str, object]:
    """Return what of a line was read otherwise than it is meant."""
    row, orders = estimates.table.iloc[at], estimates.orders
    index = int(orders.cloth.alloy[at])
    quantity = float(orders.quantity[at])
    asked = {SERVICES.get(name, name) for name, rows in orders.services.items() if rows[at]}
    found: dict[str, object] = {
        **{name: row[name] for name in ("mesh_count_per_in", "aperture_mm", "wire_diameter_mm")},
        "alloy": orders.cloth.alloys[index].designation if index >= 0 else "",
        "quantity": quantity,
        "piece_m2": row["net_area_m2"] / quantity,
        "services": "+".join(sorted(asked)) or "none",
        "weave": row["weave"],
    }
    wanted = {k: v for k, v in means.items() if k not in ("width_mm", "length_m")}
    if {"width_mm", "length_m"} <= means.keys():
        wanted["piece_m2"] = means["width_mm"] / 1e3 * means["length_m"]
    return {k: found[k] for k, v in wanted.items() if not _same(found[k], v)}


def _same(found: object, wanted: object) -> bool:
    if isinstance(wanted, str):
        return sorted(str(found).split("+")) == sorted(wanted.split("+"))
    return math.isclose(float(found), float(wanted), rel_tol=SLACK)  # type: ignore[arg-type]


def faults(
    estimates: EstimateSet, truths: Sequence[tuple[int, Mapping[str, Any], str]]
) -> list[str]:
    """Return the lines that are wrong in silence, or asked though they are clear."""
    out = []
    for at, truth, shown in truths:
        status = estimates.table["status"].iloc[at]
        may_be_asked = truth.get("may_be_asked", False)
        if status == "refused":
            if not may_be_asked:
                out.append(f"not read: {shown}")
            continue
        odd = apart(estimates, at, truth["means"])
        if (odd or not truth["means"]) and (status == "ok" or not may_be_asked):
            out.append(f"{status}: {shown}: {odd}")
    return out


def test_lines_of_clerks() -> None:
    found = []
    for truth in lines()[::STEP]:
        estimates = estimate_list(pd.DataFrame([truth["line"]]))
        found += faults(estimates, [(0, truth, str(truth["line"]))])
    assert found == []


@pytest.mark.parametrize("name", sorted(TRUTHS))
def test_lists_of_clerks(name: str) -> None:
    estimates = mc.estimate_list(mc.read_list(LISTS / name))
    labels = [str(label) for label in estimates.table.index]
    assert sorted(labels) == sorted(TRUTHS[name])
    rows = [(labels.index(row), truth, f"row {row}") for row, truth in TRUTHS[name].items()]
    assert faults(estimates, rows) == []


def test_the_corpus_is_wide() -> None:
    assert len(cases()) > 2000
    assert len(lines()) > 250
    assert len(TRUTHS) >= 40
