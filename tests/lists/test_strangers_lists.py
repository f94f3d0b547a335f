"""Lists written by strangers to break the reader: none is wrong in silence.

``expected.json`` has, for each row of each list, its status and the codes of what is said of the
list in it. Each was judged by hand against what the list says (common practice, no source) when it
was written down.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import meshcore as mc
from meshcore.lists.grids import ListError
from meshcore.messages import STATUSES

FOLDER = Path(__file__).parent / "strangers"
EXPECTED: dict[str, dict[str, list[str]]] = json.loads(
    (FOLDER / "expected.json").read_text("utf-8")
)
#: Lists that are asked back whole.
ASKED_BACK = ("29_nohead.csv", "new_26.csv")


def _told(code: str) -> bool:
    """Whether a code is about the list, and not about what one cell says."""
    return code.partition(".")[0] in ("column", "remark", "list", "line")


def judged(name: str) -> dict[str, list[str]]:
    """Return the status of each row of a list, and the codes of its reviews and refusals."""
    estimates = mc.estimate_list(mc.read_list(FOLDER / name))
    said = estimates.messages
    return {
        str(label): [
            str(status),
            *sorted({m.code for m in said.get(n, ()) if m.severity != "note" and _told(m.code)}),
        ]
        for n, (label, status) in enumerate(estimates.table["status"].items())
    }


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_each_row_is_priced_put_to_review_or_asked_as_it_was_judged(name: str) -> None:
    found = judged(name)
    assert found.keys() == EXPECTED[name].keys()
    for row, (status, *codes) in EXPECTED[name].items():
        # A rule of price may put more to review; what was said of the list stays said.
        assert STATUSES.index(found[row][0]) >= STATUSES.index(status), row
        assert {*codes} <= {*found[row][1:]}, row


@pytest.mark.parametrize("name", ASKED_BACK)
def test_a_list_without_headings_is_asked_back(name: str) -> None:
    with pytest.raises(ListError, match="none of its headings is known"):
        mc.read_list(FOLDER / name)


def test_every_file_has_its_judgement() -> None:
    files = {p.name for p in FOLDER.iterdir() if p.suffix != ".json"}
    assert files == {*EXPECTED, *ASKED_BACK}
    assert len(files) >= 90


def test_a_row_that_is_struck_out_is_not_priced() -> None:
    rows = judged("new_20.xlsx")
    assert [rows[row][0] for row in ("2", "3", "4")] == ["ok", "refused", "ok"]
    assert "line.cancelled" in rows["3"]
