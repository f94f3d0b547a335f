"""Lists as callers send them, each with what its lines mean, or that a line must be asked.

Written from the trade's habits (common practice, no source), and apart from the reader. Of each
line the facts are held that its file states; ``or`` is what may be taken instead of asking.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest
from test_texts_of_callers import is_meant, priced_as

import meshcore as mc
from meshcore.estimates.pipeline import estimate_list
from meshcore.lists.reading import ListError

_FOLDER = Path(__file__).parents[1] / "data" / "reading" / "callers"
#: Facts that stand in no cell: length times number.
_RUN, _NEAR_M = "qL", 0.1


@cache
def _truths() -> dict[str, dict[str, object]]:
    return json.loads((_FOLDER / "lists.json").read_text(encoding="utf-8"))


def _is_right(want: dict[str, object], facts: dict[str, object]) -> bool:
    texts = {name: str(value) for name, value in want.items() if name != _RUN}
    run = want.get(_RUN)
    if run is not None and abs(facts["q"] * facts["L"] - run) > _NEAR_M:  # type: ignore[operator]
        return False
    return is_meant(texts, facts)


@pytest.mark.parametrize("name", sorted(_truths()))
def test_every_line_of_a_list_is_right_or_asked(name: str) -> None:
    truth = _truths()[name]
    path = _FOLDER / "lists" / name
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
