"""Cloth on hand is taken where it serves, bears no warp set-up, and the cheaper way is taken."""

from __future__ import annotations

import json
from dataclasses import asdict, astuple, replace

import numpy as np
import pandas as pd
import pytest
from run_charges import without_run_charges

import meshcore as mc
from meshcore.estimates.results import EstimateSet
from meshcore.supply.on_hand import StockCloth
from meshcore.supply.policy import (
    SupplyPolicyError,
    default_supply_policy,
    parse_supply_policy,
    policy_from_values,
)

#: With no other charge for a run than its warp, as the figures below are worked.
BOOK, INCH = without_run_charges(mc.demo_price_book()), 0.0254
CLOTH = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304"}
NONE = default_supply_policy()


def _stock(width_in: float, length_m: float) -> StockCloth:
    return StockCloth(0.1 * INCH, 0.025 * INCH, "plain", "304", width_in * INCH, length_m)


def _priced(rows: list[dict[str, object]], *stock: StockCloth) -> EstimateSet:
    lines = pd.DataFrame([CLOTH | row for row in rows]).fillna("")
    return mc.estimate_list(lines, BOOK, replace(NONE, on_hand=stock))


ROLL = {"form": "roll", "width": "48 in", "length": "100 ft", "quantity": 1}
STRIPS = {"form": "strip", "width": "150 mm", "length": "10 m", "quantity": 4}


def test_a_roll_from_stock_is_cheaper_by_its_warp_set_up_and_what_stands_on_it() -> None:
    """The set-up of 481 ends is (481 ÷ 1500 + 0.75) h at 41.00, 43.90; 38 % and 18 % of price."""
    woven, taken = _priced([ROLL]), _priced([ROLL], _stock(48, 31.0))
    saved = woven[0].price - taken[0].price
    assert saved == pytest.approx(43.90 * 1.38 / 0.82, abs=0.06)
    assert "taken from stock, 31 m of it on hand" in str(taken.messages[0])
    assert taken[0].status == "ok"


def test_a_roll_is_trimmed_from_wider_cloth_on_hand_where_the_order_is_cheaper_so() -> None:
    """8 m of 48 in for 36 in lose 2.4 m² of cloth, some 30 EUR, and save a set-up of 56."""
    short = ROLL | {"width": "36 in", "length": "8 m"}
    woven, taken = _priced([short]), _priced([short], _stock(48, 40.0))
    assert taken[0].price < woven[0].price
    assert taken.supply.stock_width_m.tolist() == [48 * INCH]
    # One cut across, as for any part length, and one along it, whose waste is the mill's.
    assert taken.supply.cut_count[0] == woven.supply.cut_count[0] + 1
    assert "trimmed to 914.4 mm" in str(taken.messages[0])
    # A long one would lose more than the set-up costs.
    long = short | {"length": "100 ft"}
    assert _priced([long], _stock(48, 40.0))[0].price == _priced([long])[0].price


def test_what_moves_to_the_width_on_hand_leaves_the_other_lines_where_they_are() -> None:
    """The strips of the other cloth stay on the width of the least price, not of the least area."""
    rows = [STRIPS, STRIPS | {"mesh_count": "20 / in", "wire_diameter": "0.016 in",
                              "width": "605 mm", "quantity": 40}]  # fmt: skip
    without, beside = _priced(rows), _priced(rows, _stock(48, 60.0))
    assert beside.supply.stock_width_m[1] == without.supply.stock_width_m[1]
    assert beside[1].price == pytest.approx(without[1].price, abs=0.5)


def test_what_is_too_short_is_woven_and_it_is_said() -> None:
    short = _priced([ROLL], _stock(48, 30.0))
    assert short[0].price == _priced([ROLL])[0].price
    assert "woven to order though there are 30 m" in str(short.messages[0])


def test_stock_lasts_as_long_as_it_lasts_in_the_order_of_the_list() -> None:
    rolls = [ROLL | {"order": name} for name in "abc"]
    taken = _priced(rolls, _stock(48, 61.0)).orders.from_stock
    assert taken is not None
    assert taken.tolist() == [True, True, False]


def test_stock_that_saves_no_warp_is_left_for_others() -> None:
    """The third roll is woven in any case, and its warp is set up once."""
    three = _priced([ROLL, ROLL, ROLL], _stock(48, 61.0))
    assert three.orders.from_stock is not None
    assert not three.orders.from_stock.any()


@pytest.mark.parametrize("other", [{"alloy": "316"}, {"weave": "twill"}, {"width": "36 in"}])
def test_another_cloth_is_not_taken_from_it(other: dict[str, object]) -> None:
    taken = _priced([ROLL | other], _stock(48, 100.0)).orders.from_stock
    assert taken is not None
    assert not taken.any()


def test_strips_are_cut_from_another_width_where_stock_makes_that_cheaper() -> None:
    woven = _priced([STRIPS])
    [own] = woven.orders.stock_width_m.tolist()
    stocked = 48.0 if own < 1.0 else 36.0
    taken = _priced([STRIPS], _stock(stocked, 100.0))
    assert taken[0].price < woven[0].price
    assert taken.orders.stock_width_m.tolist() == [pytest.approx(stocked * INCH)]


def test_stock_never_makes_an_order_dearer() -> None:
    rng = np.random.default_rng(20261126)
    for _ in range(30):
        rows: list[dict[str, object]] = [
            {"form": "strip", "width": f"{w} mm", "length": f"{m} m", "quantity": int(n)}
            for w, m, n in zip(rng.integers(40, 700, 3), rng.integers(2, 25, 3),
                               rng.integers(1, 20, 3), strict=True)
        ]  # fmt: skip
        rows.append(ROLL)
        stock = _stock(float(rng.choice([36, 48, 60, 72])), float(rng.integers(5, 90)))
        held, none = (np.nansum(_priced(rows, *s).ledger.price) for s in ((stock,), ()))
        assert held <= none + 1e-9


def test_stock_is_read_from_the_policy_and_what_is_wrong_is_named() -> None:
    text = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "1.4301",
            "width": "48 in", "length": "40 m"}  # fmt: skip
    sections: dict[str, dict[str, object]] = {
        "policy": {"name": "x", "date": NONE.date, "note": "n"},
        "rolls": {"widths": ["48 in"], "full_length": "100 ft", "half_lengths": [],
                  "part_rolls": True, "part_roll_charge": "0 m"},
        "strips": {"join_beyond_roll": False}, "pieces": {},
        "cutting": {"edge_trim": "5 mm", "kerf": "0 mm", "spacing": "2 mm"},
    }  # fmt: skip
    for form in ("rolls", "strips", "pieces"):
        sections[form] |= {f"{side}_{way}": "0 %" for side in ("length", "width")
                           for way in ("under", "over")}  # fmt: skip
    policy = parse_supply_policy(sections | {"stock": [text]}, "policy.toml")
    [read] = policy.on_hand
    assert astuple(read) == pytest.approx(astuple(_stock(48, 40.0)))
    assert policy_from_values(json.loads(json.dumps(asdict(policy), default=str))) == policy
    for wrong, said in (
        ({"alloy": "unobtainium"}, "no installed plugin knows it"),
        ({"width": "50 in"}, "none of the widths"),
        ({"length": "40"}, "a number without its unit"),
        ({"mesh_count": "some"}, r"stock\[1\].mesh_count"),
        ({"weave": "knit"}, "weave: read 'knit'"),
    ):
        with pytest.raises(SupplyPolicyError, match=said):
            parse_supply_policy(sections | {"stock": [text | wrong]}, "policy.toml")
