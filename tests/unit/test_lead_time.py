"""Lead times from loom hours, wire, services and queue; expected days are worked out here."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pandas as pd
import pytest

import meshcore as mc
from meshcore.cli import main
from meshcore.estimates.lead_time import LeadTimeError, lead_times, parse_lead_time

BOOK = mc.demo_price_book()
THURSDAY = date(2026, 11, 26)
DATA = {"looms": 2, "hours_per_day": 8, "queue_days": 5, "wire_days": 15, "despatch_days": 1,
        "wire_on_hand": ["304"], "services": {"anneal": 3}, "note": "invented"}  # fmt: skip
ROLL = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
        "width": "48 in", "length": "100 ft", "quantity": 12}  # fmt: skip


def _priced(**cells: object) -> mc.EstimateSet:
    return mc.estimate_list(pd.DataFrame([ROLL | cells]), BOOK)


def test_days_are_those_of_the_looms_the_queue_and_the_services() -> None:
    """12 rolls: 365.76 m ÷ 2.54 mm ÷ (81.810811 × 60 × 0.72 an hour) = 40.744 h, set-up 1.071 h."""
    [one] = lead_times(_priced(services="anneal"), parse_lead_time(DATA, "d"), THURSDAY)
    assert one.loom_hours == pytest.approx(40.7444 + 1.0707, abs=0.001)
    # 5 days of queue, 41.815 h on 2 looms of 8 h are 2.6 days, 3 to anneal, 1 to despatch: 11.6.
    assert one.days == 12
    assert one.ready == date(2026, 12, 14)
    assert one.decided_by == "the queue for a loom"


def test_wire_that_must_be_bought_decides() -> None:
    [one] = lead_times(_priced(alloy="316L"), parse_lead_time(DATA, "d"), THURSDAY)
    assert one.decided_by == "wire of 316L, to be bought"
    assert one.days == 19


def test_each_order_has_its_own() -> None:
    lines = pd.DataFrame([ROLL | {"order": "a"}, ROLL | {"order": "b", "alloy": "316L"}])
    times = lead_times(mc.estimate_list(lines, BOOK), parse_lead_time(DATA, "d"), THURSDAY)
    assert [one.order for one in times] == [1, 2]
    assert times[0].days < times[1].days


def test_what_cannot_be_meant_is_named() -> None:
    for entry, value, said in (
        ("looms", 0, "looms: a number above 0"), ("wire_days", "soon", "wire_days: a number of"),
        ("colour", 1, "nothing of that name"), ("services", {"weld": -1}, "services.weld"),
    ):  # fmt: skip
        with pytest.raises(LeadTimeError, match=said):
            parse_lead_time(DATA | {entry: value}, "d")


def test_the_command_says_what_decides_and_that_it_is_no_promise(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lead, listed = tmp_path / "lead.toml", tmp_path / "list.csv"
    lead.write_text(
        "looms = 2\nhours_per_day = 8\nqueue_days = 5\nwire_days = 15\ndespatch_days = 1\n"
        'wire_on_hand = ["304"]\n'
    )
    pd.DataFrame([ROLL]).to_csv(listed, index=False)
    out = str(tmp_path / "out.csv")
    assert main(["price", str(listed), "-o", out, "--lead-time", str(lead)]) == 0
    told = capsys.readouterr().out
    assert "decided by the queue for a loom" in told
    assert "a date is not a promise" in told
