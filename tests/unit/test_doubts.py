"""What nobody knows: every answer is judged in one pass, and each service by its own answers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from meshcore.alloys.comparison import judging
from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import NOT_KNOWN, Conditions
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import judge_alloys
from meshcore.alloys.records.registry import installed_registry

FACTS = alloy_facts(installed_registry().alloys)
WATER = Conditions(environment="process water", temperature_c=25.0)
DOUBTFUL = (
    replace(WATER, h2s=NOT_KNOWN, oxidisers=NOT_KNOWN, ammonia=NOT_KNOWN),
    WATER,
    replace(WATER, years_wanted=float("nan"), environment="sea water"),
    replace(WATER, load=NOT_KNOWN, temperature_c=70.0),
)
WIRES_M = np.array([0.9e-3, 0.9e-3, 0.2e-3, np.nan])


def test_all_answers_are_judged_in_one_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    judged: list[int] = []
    by_all = judging._by_all

    def counted(facts: object, conditions: object, wire: object) -> object:
        judged.append(len(conditions))  # type: ignore[arg-type]
        return by_all(facts, conditions, wire)  # type: ignore[arg-type]

    monkeypatch.setattr(judging, "_by_all", counted)
    judge_alloys(FACTS, condition_columns(DOUBTFUL), WIRES_M)
    # Four services; two answers to each of four fields; the years; the wire at both ends.
    assert judged == [4 + 2 * 4 + 1 + 2]


def test_one_alone_is_judged_as_among_others() -> None:
    together = judge_alloys(FACTS, condition_columns(DOUBTFUL), WIRES_M)
    for n, service in enumerate(DOUBTFUL):
        alone = judge_alloys(FACTS, condition_columns([service]), WIRES_M[n : n + 1])
        assert (alone.verdict[0] == together.verdict[n]).all()
        np.testing.assert_array_equal(alone.margin[0], together.margin[n])
        for alloy in range(len(FACTS)):
            assert alone.reason(0, alloy) == together.reason(n, alloy)


def test_the_services_themselves_are_not_written_to() -> None:
    columns = condition_columns(DOUBTFUL)
    before = {field: codes.copy() for field, codes in columns.three_way.items()}
    judge_alloys(FACTS, columns, WIRES_M)
    assert all((columns.three_way[field] == before[field]).all() for field in before)
    assert np.isnan(columns.years_wanted[2])
    assert np.isnan(WIRES_M[3])
