"""Rules that a program registers: their names, their blocks, and amounts beyond reason."""

from __future__ import annotations

import json
import threading
import warnings
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

import meshcore as mc
from meshcore.plugins import installed

ROLL = mc.Enquiry(
    mesh_count="10 / in",
    wire_diameter="0.025 in",
    alloy="304",
    form=mc.Roll("48 in", "100 ft"),
    quantity=3,
)


def crate(name: str = "crate", stage: str = "packing", **given: Any) -> mc.PricingRule:
    """A rule of one cost, a crate at 18.50 unless said otherwise."""
    column = {"quantity": 1.0, "rate": 18.5, **given}
    return mc.PricingRule(
        name, stage, lambda _c, _r: [mc.CostColumn("crate", "crates", unit="crate", **column)]
    )


@pytest.fixture(autouse=True)
def nothing_left_behind() -> Iterator[None]:
    before = installed().records
    yield
    assert installed().records == before


@pytest.mark.parametrize(
    "rule",
    [
        crate(quantity=1e306),
        crate(quantity=1e14),
        crate(rate=1e300, base=("wire",)),
        crate(rate=1e300, base=("wire",), credit=True),
        crate(rate=1e300, base=("subtotal",), top_up="floor"),
        crate(rate=1e300, base=("subtotal",), top_up="step up"),
        crate(quantity=1e300, rate=1e300, per="order"),
    ],
)
def test_an_amount_beyond_reason_refuses_its_line(rule: mc.PricingRule) -> None:
    with warnings.catch_warnings(), mc.register_rules(rule):
        warnings.simplefilter("error")
        one = mc.estimate(ROLL)
    assert one.status == "refused"
    assert [m.code for m in one.messages if m.severity == "refused"] == ["price.amount_not_finite"]
    assert "crate" in str(one.messages[0])
    told = json.loads(one.to_json())
    assert told["price"] is None
    assert told["cost_items"] == []
    assert one.explain() == "No price: see the messages of the line."


def test_amounts_that_add_up_beyond_reason_refuse_their_line() -> None:
    # 2 × 2⁵² cents and the rest of the price: no item is too large, their sum is.
    rules = [crate(name, quantity=2.0**52 / 100.0, rate=1.0) for name in ("first", "second")]
    with mc.register_rules(*rules):
        assert mc.estimate(ROLL).status == "refused"


def test_the_other_lines_of_an_order_bear_what_is_left() -> None:
    def dear(columns: Any, _rates: Any) -> list[mc.CostColumn]:
        shares = [1e300 if width > 1.0 else 0.0 for width in columns.stock_width_m.tolist()]
        return [mc.CostColumn("crate", "x", 1.0, "EUR", shares, base=("wire",))]  # type: ignore[arg-type]

    narrow = mc.Enquiry(
        mesh_count="10 / in",
        wire_diameter="0.025 in",
        alloy="304",
        form=mc.Roll("36 in", "100 ft"),
        order="A",
    )
    wide = mc.Enquiry(
        mesh_count="10 / in",
        wire_diameter="0.025 in",
        alloy="304",
        form=mc.Roll("48 in", "100 ft"),
        order="A",
    )
    with mc.register_rules(mc.PricingRule("crate", "packing", dear)):
        both = mc.estimate_list([wide, narrow])
    assert [one.status for one in both] == ["refused", "ok"]
    assert both[1].price == mc.estimate(narrow).price


@pytest.mark.parametrize(
    ("name", "error"), [("", ValueError), (" ", ValueError), (5, TypeError), (None, TypeError)]
)
def test_a_name_that_is_none_is_refused(name: Any, error: type[Exception]) -> None:
    with pytest.raises(error, match="name of") as refused, mc.register_rules(crate(), name=name):
        pass
    assert "\n" not in str(refused.value)


def test_unnamed_blocks_stand_side_by_side() -> None:
    with mc.register_rules(crate("one")) as outer, mc.register_rules(crate("two")) as inner:
        items = mc.estimate(ROLL).cost_items
        assert (items["label"] == "crate").sum() == 2
    assert (outer.name, inner.name) == ("this program", "this program 2")


def test_a_name_that_is_taken_is_refused_in_one_line() -> None:
    with mc.register_rules(crate(), name="shop"):
        with pytest.raises(ValueError, match=r'^"shop" is registered already[^\n]*$'):
            mc.register_rules(crate("another"), name="shop")
        assert "crate" in set(mc.estimate(ROLL).cost_items["label"])


def test_one_rule_under_two_names_is_charged_once_and_said() -> None:
    rule = crate()
    with mc.register_rules(rule, name="a"), mc.register_rules(rule, name="b"):
        one = mc.estimate(ROLL)
    assert (one.cost_items["label"] == "crate").sum() == 1
    assert "the name is taken by plugin a" in " ".join(map(str, one.messages))


def test_a_block_that_was_left_early_ends_quietly() -> None:
    with mc.register_rules(crate()) as held:
        held.remove()
        with mc.register_rules(crate("another")):
            held.remove()
            assert "crate" in set(mc.estimate(ROLL).cost_items["label"])


def test_threads_each_have_a_block() -> None:
    together = threading.Barrier(4)

    def priced(number: int) -> tuple[str, bool]:
        with mc.register_rules(crate(f"crate {number}")) as held:
            together.wait()
            items = mc.estimate(ROLL).cost_items
            together.wait()
            return held.name, f"crate {number}" in set(items["rule"])

    with ThreadPoolExecutor(4) as pool:
        answers = list(pool.map(priced, range(4)))
    assert len({name for name, _ in answers}) == 4
    assert all(charged for _, charged in answers)


def test_a_rule_that_replaces_a_text_is_set_aside() -> None:
    base = mc.estimate(ROLL)
    rule = mc.PricingRule("mine", "packing", crate().compute, replaces="freight")  # type: ignore[arg-type]
    with mc.register_rules(rule):
        one = mc.estimate(ROLL)
    assert one.price == base.price
    assert one.status == "review"
    assert 'replaces is the text "freight"' in str(one.messages[0])


def test_a_rule_that_replaces_what_is_not_there_is_told_of() -> None:
    rule = mc.PricingRule("mine", "packing", crate().compute, replaces=("frieght",))
    with mc.register_rules(rule):
        one = mc.estimate(ROLL)
    [said] = [m for m in one.messages if m.code == "price.replaced_rule_unknown"]
    assert "frieght" in said.read
    assert "mine" in said.text


@pytest.mark.parametrize("name", ["", None, 5])
def test_a_rule_without_a_name_is_set_aside(name: Any) -> None:
    with mc.register_rules(crate(name)):
        one = mc.estimate(ROLL)
    assert one.status == "review"
    assert "where a text is due" in str(one.messages[0])


@pytest.mark.parametrize("part", ["label", "driver", "unit", "origin", "working"])
def test_broken_text_of_a_rule_can_be_written(part: str) -> None:
    texts = {"label": "crate", "driver": "crates", "unit": "crate", part: "crate\ud800"}

    def compute(_columns: Any, _rates: Any) -> list[mc.CostColumn]:
        return [mc.CostColumn(quantity=1.0, rate=18.5, **texts)]  # type: ignore[arg-type]

    with mc.register_rules(mc.PricingRule("crate", "packing", compute)):
        one = mc.estimate(ROLL)
        assert "crate?" in one.explain()
        assert round(one.cost_items["amount"].sum(), 2) == one.price
        assert one.to_json().encode("utf-8")


@pytest.mark.parametrize("part", ["label", "driver", "unit", "origin"])
def test_a_cost_without_a_text_sets_its_rule_aside(part: str) -> None:
    texts: dict[str, Any] = {"label": "crate", "driver": "crates", "unit": "crate", part: 5}

    def compute(_columns: Any, _rates: Any) -> list[mc.CostColumn]:
        return [mc.CostColumn(quantity=1.0, rate=18.5, **texts)]

    with mc.register_rules(mc.PricingRule("crate", "packing", compute)):
        one = mc.estimate(ROLL)
    assert f"{part} of a cost is 5, where a text is due" in str(one.messages[0])


def test_a_rule_that_would_end_the_program_is_set_aside() -> None:
    def leaving(_columns: Any, _rates: Any) -> list[mc.CostColumn]:
        raise SystemExit(3)

    with mc.register_rules(mc.PricingRule("leaving", "packing", leaving)):
        one = mc.estimate(ROLL)
    assert one.status == "review"
    assert "SystemExit: 3" in str(one.messages[0])


def test_what_the_user_stops_is_stopped() -> None:
    def stopped(_columns: Any, _rates: Any) -> list[mc.CostColumn]:
        raise KeyboardInterrupt

    with (
        mc.register_rules(mc.PricingRule("stopped", "packing", stopped)),
        pytest.raises(KeyboardInterrupt),
    ):
        mc.estimate(ROLL)
