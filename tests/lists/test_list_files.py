"""Enquiry lists of every customary kind, each with its truth.

Written by hand apart from the reader, from the trade's habits (common practice, no source).
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from list_truths import FOLDER, Score, judge, line_of, read, truths

import meshcore as mc
from meshcore.lists.grids import ListError

TRUTHS = {truth["file"]: truth for truth in truths()}
#: A list without headings is asked back whole, as its truth allows.
HEADLESS = "43.xlsx"
LISTS = [name for name in TRUTHS if name != HEADLESS]


@pytest.mark.parametrize("name", LISTS)
def test_lines_in_are_lines_out_each_with_its_row(name: str) -> None:
    found, truth = read(name), TRUTHS[name]
    places = [line_of(found, line) for line in truth["lines"]]
    missing = [line["file_row"] for line, at in zip(truth["lines"], places, strict=True) if at < 0]
    assert missing == []
    extra = len(found.table) - len(set(places))
    allowed = sum("a refusal of the row is right too" in text for text in truth["not_lines"])
    assert extra <= allowed


@pytest.mark.parametrize("name", [name for name in LISTS if TRUTHS[name]["must_name"]])
def test_what_must_be_named_is_named(name: str) -> None:
    table = mc.read_list(FOLDER / name)
    estimates = mc.estimate_list(table)
    said = str(table.report) + "\n".join(str(m) for ms in estimates.messages.values() for m in ms)
    said = " ".join(said.casefold().replace("·", " ").split())
    for must in TRUTHS[name]["must_name"]:
        needle = must.rpartition(":")[2].partition("(")[0].strip().casefold()
        assert needle in said, must


def test_a_list_without_headings_is_asked_back_and_read_with_a_mapping() -> None:
    with pytest.raises(ListError, match="none of its headings is known"):
        mc.read_list(FOLDER / HEADLESS)
    fields = ["line", "mesh_count", "wire_diameter", "alloy", "width", "length", "quantity"]
    columns = [{"heading": f"column {n}", "field": f} for n, f in enumerate(fields, start=1)]
    found = read(HEADLESS, mapping={"headless": True, "columns": columns})
    score = Score()
    for line in TRUTHS[HEADLESS]["lines"]:
        assert line_of(found, line) >= 0
        judge(found, line, score, HEADLESS)
    assert score.wrong == []
    assert score.asked == []


@pytest.mark.parametrize("suffix", [".toml", ".json"])
@pytest.mark.parametrize("name", LISTS)
def test_a_mapping_reads_a_list_just_so_again(name: str, suffix: str, tmp_path: Path) -> None:
    first = mc.read_list(FOLDER / name)
    first.report.mapping.save(tmp_path / f"mapping{suffix}")
    again = mc.read_list(FOLDER / name, mapping=tmp_path / f"mapping{suffix}")
    assert again.equals(first)
    assert again.headings == first.headings
    assert again.report.tables == first.report.tables
    assert again.report.set_aside == first.report.set_aside


def test_the_truths_are_of_the_files_beside_them() -> None:
    files = {p.name for p in FOLDER.iterdir() if p.name[0].isdigit() and p.suffix != ".json"}
    assert files == set(TRUTHS)
    assert len(TRUTHS) >= 40
    assert sum(len(truth["lines"]) for truth in TRUTHS.values()) >= 150
    assert all(json.dumps(truth) for truth in TRUTHS.values())
