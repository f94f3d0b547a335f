"""What planning might save is never less than what a plan does save."""

from __future__ import annotations

import numpy as np
import pandas as pd

import meshcore as mc
from meshcore.demo import demo_supply_policy
from meshcore.estimates.headroom import headroom_text, planning_headroom
from meshcore.estimates.results import EstimateSet
from meshcore.supply.cutting import CuttingEffort

BOOK, POLICY = mc.demo_price_book(), demo_supply_policy()
CLOTH = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304"}


def _cloth_cost(priced: EstimateSet) -> float:
    items = priced.cost_items()
    of_cloth = items["stage"].isin(["wire", "weaving"]) & (items["label"] != "warp set-up")
    return float(items[of_cloth]["amount"].sum())


def test_no_plan_saves_more_of_the_cloth_than_is_said() -> None:
    rng = np.random.default_rng(20261126)
    for _ in range(12):
        lines = pd.DataFrame(
            [CLOTH | {"form": "strip", "width": f"{w} mm", "length": "10 m", "quantity": int(n)}
             for w, n in zip(rng.integers(60, 700, 3), rng.integers(1, 20, 3), strict=True)]
        )  # fmt: skip
        whole = mc.estimate_list(lines, BOOK, POLICY, cutting=CuttingEffort(0))
        planned = mc.estimate_list(lines, BOOK, POLICY, cutting=CuttingEffort(0.3))
        room = planning_headroom(whole)
        assert room is not None
        assert _cloth_cost(whole) - _cloth_cost(planned) <= room.cost + 0.05


def test_it_is_said_where_something_is_cut_and_only_there() -> None:
    strip = CLOTH | {"form": "strip", "width": "500 mm", "length": "10 m", "quantity": 1}
    told = headroom_text(mc.estimate_list(pd.DataFrame([strip]), BOOK, POLICY))
    # 0.5 m of 0.9144 m is delivered.
    assert told.startswith("Strips and pieces: 54.7% of their cloth is delivered; planning the")
    roll = CLOTH | {"form": "roll", "width": "48 in", "length": "100 ft", "quantity": 1}
    assert headroom_text(mc.estimate_list(pd.DataFrame([roll]), BOOK, POLICY)) == ""
