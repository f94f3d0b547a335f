"""Wire of nickel-chromium and iron-chromium-aluminium by diameter and heat.

Tables of heating wire give the hottest that a diameter is used at for a life of some 1,000 h (trade
tables of 80/20, 60/15 and 22/5, from memory; their ends are rounded to 25 K, and life scatters by
half, hence 60 K).
"""

from __future__ import annotations

import numpy as np
import pytest

from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import judge_alloys
from meshcore.alloys.methods.reservoir import ALUMINA, CHROMIA, Scale, held_kg_m2, taken_kg_m2
from meshcore.alloys.methods.verdicts import VERDICTS
from meshcore.alloys.records.registry import installed_registry

LIFE_H = np.array([1_000.0])
SCATTER_K = 60.0
FACTS = alloy_facts(installed_registry().alloys)
PLACE = {name: i for i, name in enumerate(FACTS.names)}


def hottest_c(scale: Scale, share_pct: float, density: float, wire_mm: float) -> float:
    """Temperature at which 1,000 h take all that the wire can spare."""
    degrees = np.arange(500.0, 1500.0, 1.0)
    taken = taken_kg_m2(scale, degrees, LIFE_H)
    held = held_kg_m2(scale, np.array(share_pct), np.array(density), np.array(wire_mm / 1e3))
    return float(degrees[np.searchsorted(taken, float(held))])


@pytest.mark.parametrize(
    ("scale", "share", "density", "wire_mm", "least_c", "most_c"),
    [
        (CHROMIA, 19.0, 8300.0, 0.2, 925.0, 1000.0),
        (CHROMIA, 19.0, 8300.0, 0.65, 1000.0, 1075.0),
        (CHROMIA, 19.0, 8300.0, 1.5, 1075.0, 1150.0),
        (CHROMIA, 14.0, 8200.0, 0.2, 850.0, 950.0),
        (ALUMINA, 4.8, 7250.0, 0.25, 925.0, 1050.0),
        (ALUMINA, 4.8, 7250.0, 0.65, 1050.0, 1175.0),
    ],
)
def test_hottest_by_diameter(
    scale: Scale, share: float, density: float, wire_mm: float, least_c: float, most_c: float
) -> None:
    found = hottest_c(scale, share, density, wire_mm)
    assert least_c - SCATTER_K <= found <= most_c + SCATTER_K


def word(alloy: str, wire_mm: float, temperature_c: float, hours: float) -> str:
    service = Conditions(environment="hot air", temperature_c=temperature_c, hours=hours)
    found = judge_alloys(FACTS, condition_columns([service]), np.array([wire_mm / 1e3]))
    return str(VERDICTS[int(found.verdict[0, PLACE[alloy]])])


def test_thin_wire_is_used_up_where_thick_is_not() -> None:
    assert word("nickel-chromium 80/20", 2.0, 1000.0, 1_000.0) == "meets"
    assert word("nickel-chromium 80/20", 0.1, 1000.0, 1_000.0) == "fails"
    assert word("nickel-chromium 80/20", 0.1, 700.0, 1_000.0) == "meets"
    assert word("FeCrAl 1.4765", 0.1, 1200.0, 1_000.0) == "fails"


def test_time_uses_it_up_too() -> None:
    words = [word("nickel-chromium 80/20", 0.3, 900.0, hours) for hours in (10.0, 500.0, 20_000.0)]
    assert words[0] == "meets"
    assert words[-1] == "fails"


def test_hours_that_nobody_knows_are_no_comfort() -> None:
    assert word("nickel-chromium 80/20", 0.3, 900.0, float("nan")) == "not judged"
