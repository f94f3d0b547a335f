"""Entries of a settings file: what cannot stand is named, and the rest is read."""

from __future__ import annotations

import math

import pytest

from meshcore.reading.entries import Entries


@pytest.mark.parametrize(
    ("entry", "above_zero", "wrong"),
    [
        ("0 mm", False, ""),
        ("0 mm", True, "rolls.width: read '0 mm'; it is to be above zero."),
        ("-1 mm", True, "rolls.width: read '-1 mm'; it is to be above zero."),
        ("-1 mm", False, "rolls.width: read '-1 mm'; it cannot be negative."),
        ("1 mm", True, ""),
    ],
)
def test_a_size_is_in_its_range(entry: str, above_zero: bool, wrong: str) -> None:
    entries = Entries({"rolls": {"width": entry}})
    entries.size("rolls", "width", above_zero=above_zero)
    assert "".join(entries.wrong) == wrong


def test_a_list_may_be_empty_unless_it_is_needed() -> None:
    entries = Entries({"rolls": {"widths": []}})
    assert entries.sizes("rolls", "widths") == []
    assert entries.wrong == []
    assert entries.sizes("rolls", "widths", needed=True) == []
    assert entries.wrong == ['rolls.widths: read []; a list such as ["36 in"] is due.']


def test_what_is_wrong_is_all_named() -> None:
    entries = Entries({"rolls": {"widths": "36 in", "part": "yes"}})
    assert entries.plain("rolls", "part", bool, True) is True
    assert entries.sizes("rolls", "widths") == []
    assert math.isnan(entries.size("strips", "kerf"))
    assert [text.partition(":")[0] for text in entries.wrong] == [
        "rolls.part", "rolls.widths", "strips", "strips.kerf",
    ]  # fmt: skip
