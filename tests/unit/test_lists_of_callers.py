"""Lists as callers send them, each with what its lines mean, or that a line must be asked.

Written from the trade's habits (common practice, no source), and apart from the reader. Of each
line the facts are held that its file states; ``or`` is what may be taken instead of asking.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pandas as pd
import pytest
from test_texts_of_callers import is_meant, priced_as

import meshcore as mc
from meshcore.estimates.pipeline import estimate_list
from meshcore.lists.reading import ListError

_DATA = Path(__file__).parents[1] / "data" / "reading"
_FOLDER = _DATA / "callers"
_FOLDERS = (_FOLDER, _DATA / "inspectors")
#: Facts that stand in no cell: length times number, and the cloth of all of them.
_RUN, _NEAR_M = "qL", 0.1
_CLOTH, _NEAR = "qA", 0.006


@cache
def _truths() -> dict[str, dict[str, object]]:
    held: dict[str, dict[str, object]] = {}
    for folder in _FOLDERS:
        told = json.loads((folder / "lists.json").read_text(encoding="utf-8"))
        held |= {f"{folder.name}/lists/{name}": truth for name, truth in told.items()}
    return held


def _is_right(want: dict[str, object], facts: dict[str, object]) -> bool:
    texts = {name: str(value) for name, value in want.items() if name not in (_RUN, _CLOTH)}
    area = want.get(_CLOTH)
    if area is not None and abs(facts["q"] * facts["A"] / area - 1.0) > _NEAR:  # type: ignore[operator]
        return False
    run = want.get(_RUN)
    if run is not None and abs(facts["q"] * facts["L"] - run) > _NEAR_M:  # type: ignore[operator]
        return False
    return is_meant(texts, facts)


@pytest.mark.parametrize("name", sorted(_truths()))
def test_every_line_of_a_list_is_right_or_asked(name: str) -> None:
    truth = _truths()[name]
    path = _DATA / name
    if truth.get("error"):
        with pytest.raises(ListError):
            mc.read_list(path)
        return
    table = mc.read_list(path)
    priced = estimate_list(table, mc.demo_price_book())
    lines: list[object] = truth["lines"]  # type: ignore[assignment]
    assert len(priced) == len(lines)
    for row, want in enumerate(lines):
        status = priced[row].status
        if want == "ask":
            assert status in ("refused", "review"), (row, priced[row].messages)
            continue
        assert isinstance(want, dict)
        if "or" in want:
            assert status == "refused" or _is_right(want["or"], priced_as(priced, row)), row
            continue
        assert status != "refused", (row, priced[row].messages)
        assert _is_right(want, priced_as(priced, row)), (row, priced_as(priced, row))
    said = str(getattr(table, "report", "")) + " ".join(str(m) for e in priced for m in e.messages)
    unnamed = [word for word in truth["named"] if word.casefold() not in said.casefold()]  # type: ignore[attr-defined]
    assert not unnamed


@pytest.mark.parametrize("name", sorted(n for n, t in _truths().items() if not t.get("error")))
def test_a_saved_mapping_reads_a_list_as_it_was_read(name: str, tmp_path: Path) -> None:
    first = mc.read_list(_DATA / name)
    first.report.mapping.save(tmp_path / "sender.toml")
    again = mc.read_list(_DATA / name, mapping=tmp_path / "sender.toml")
    assert again.headings == first.headings
    assert again.astype(str).to_numpy().tolist() == first.astype(str).to_numpy().tolist()


#: What a line of the file does not say.
_LINE = {"alloy": "304", "form": "roll", "width": "1 m", "length": "30 m", "quantity": "2"}


@cache
def _lines() -> list[dict[str, object]]:
    text = (_FOLDER / "lines.jsonl").read_text(encoding="utf-8")
    return [json.loads(line) for line in text.splitlines()]


def test_sizes_of_a_line_are_held_against_one_another() -> None:
    table = pd.DataFrame([_LINE | one["line"] for one in _lines()], dtype=object).fillna("")  # type: ignore[operator]
    priced = estimate_list(table, mc.demo_price_book(), lines_apart=True)
    assert len(priced) >= 57
    for row, one in enumerate(_lines()):
        assert priced[row].status == one["status"], (one, priced[row].messages)
        facts: dict[str, str] = one["facts"]  # type: ignore[assignment]
        assert priced[row].status == "refused" or is_meant(facts, priced_as(priced, row)), one
