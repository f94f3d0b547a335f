"""ISO 13857:2019, table 4: square openings and least distances, persons of 14 and above.

From memory; published extracts exist to check against. Typed here from the extract, not from the
library.
"""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from meshcore.uses.relations.guarding import largest_opening, least_distance

#: Opening up to [mm] → least distance [mm].
TABLE = [(4, 2), (6, 5), (8, 15), (10, 25), (12, 80), (20, 120), (30, 120), (40, 200), (120, 850)]


@pytest.mark.parametrize(("opening", "distance"), TABLE)
def test_an_opening_has_its_distance(opening: float, distance: float) -> None:
    assert least_distance(opening * 1e-3) == pytest.approx(distance * 1e-3)
    assert least_distance(opening * 0.999e-3) <= distance * 1e-3 + 1e-12


@pytest.mark.parametrize(("low", "high"), list(itertools.pairwise(TABLE)))
def test_just_above_a_step_the_next_holds(
    low: tuple[float, float], high: tuple[float, float]
) -> None:
    assert least_distance(low[0] * 1.001e-3) == pytest.approx(high[1] * 1e-3)


@pytest.mark.parametrize(
    ("distance", "opening"),
    [(2, 4), (4.9, 4), (5, 6), (20, 8), (80, 12), (119, 12), (120, 30), (199, 30), (200, 40),
     (850, 120), (5000, 120)],
)  # fmt: skip
def test_a_distance_has_its_opening(distance: float, opening: float) -> None:
    assert largest_opening(distance * 1e-3) == pytest.approx(opening * 1e-3)


def test_beyond_the_table_nothing_is_said() -> None:
    assert np.isnan(least_distance(0.121))
    assert np.isnan(least_distance(0.0))
    assert np.isnan(largest_opening(0.0019))


def test_both_ways_agree() -> None:
    for distance in np.geomspace(2e-3, 2.0, 200):
        assert least_distance(largest_opening(distance)) <= distance + 1e-12
