"""PREN, and the starting temperatures of ASTM G48 (equations from memory).

Worked by hand for one composition of each kind, to the rounding of that working; then the order
of grades that the trade agrees on, which any equation must give.
"""

from __future__ import annotations

import numpy as np
import pytest

from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.methods.chloride_water import (
    crevice_start_c,
    nickel_crevice_start_c,
    pitting_start_c,
    pren,
)
from meshcore.alloys.records.registry import installed_registry, resolve
from meshcore.arrays import FloatArray


def one(*shares: float) -> list[FloatArray]:
    return [np.array([share]) for share in shares]


def test_pren_by_hand() -> None:
    assert pren(*one(22.0, 3.0, 0.15))[0] == pytest.approx(22.0 + 9.9 + 2.4)


def test_stainless_starts_by_hand() -> None:
    # 22 Cr, 3.1 Mo, 0.17 N: 55 + 23.56 + 5.423 - 41 and 70.4 + 23.56 + 1.785 - 81
    assert pitting_start_c(*one(22.0, 3.1, 0.17))[0] == pytest.approx(42.98, abs=0.01)
    assert crevice_start_c(*one(22.0, 3.1, 0.17))[0] == pytest.approx(14.75, abs=0.01)


def test_nickel_start_by_hand() -> None:
    # 21.5 Cr, 9 Mo, 3.6 Nb: 32.25 + 17.1 + 17.64 - 36.2
    assert nickel_crevice_start_c(*one(21.5, 9.0, 3.6, 0.0))[0] == pytest.approx(30.79, abs=0.01)


def test_grades_rank_as_the_trade_ranks_them() -> None:
    registry = installed_registry()
    order = ["430", "304", "316L", "317L", "2205", "2507"]
    indices = [resolve(registry, name) for name in order]
    facts = alloy_facts([registry.alloys[i] for i in indices if isinstance(i, int)])
    for column in (*facts.pren, *facts.crevice_c):
        assert len(column) == len(order)
        assert (np.diff(column) > 0.0).all()


def test_least_composition_never_ranks_above_the_middle() -> None:
    facts = alloy_facts(installed_registry().alloys)
    covered = ~np.isnan(facts.crevice_c[0])
    assert covered.sum() > 20
    assert (facts.crevice_c[0][covered] <= facts.crevice_c[1][covered]).all()
