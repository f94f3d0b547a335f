"""Pricing and weave rules that leave, loop, dawdle, write or give money away: named, and harmless.

What each does was tried on the rules of a program, which come through the same hook as a plugin's;
`tests/plugins` installs some of them.
"""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest

import meshcore as mc
from meshcore import contained, plugins
from meshcore.costing.items import CostColumn, PricingRule
from meshcore.hookspecs import hookimpl
from meshcore.limits import most

ASKED = mc.Enquiry(
    mesh_count="10 / in", wire_diameter="0.025 in", alloy="304", form=mc.Roll("48 in", "100 ft")
)


@pytest.fixture(autouse=True)
def hurry(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Rules have 0.3 s, and are broken off after 0.6 s: the tests need not wait for more."""
    times = {"rule_ms": 300, "rule_us_a_line": 0, "rule_stop_times": 2}
    monkeypatch.setattr(contained, "most", lambda name: times.get(name) or most(name))
    contained.forget()
    yield
    contained.forget()


def endless(_columns: Any, _rates: Any) -> list[CostColumn]:
    while True:
        pass


def stubborn(_columns: Any, _rates: Any) -> list[CostColumn]:
    """Catches whatever is an error for a while, and then gives up."""
    until = time.monotonic() + 5.0
    while time.monotonic() < until:
        try:
            while time.monotonic() < until:
                pass
        except Exception:  # noqa: BLE001 - what a careless plugin does
            continue
    return []


def slow(_columns: Any, _rates: Any) -> list[CostColumn]:
    time.sleep(0.5)
    return [CostColumn("slow", "d", 1.0, "kg", 1.0)]


def generating(_columns: Any, _rates: Any) -> Iterator[CostColumn]:
    yield CostColumn("first", "d", 1.0, "kg", 1.0)
    while True:
        pass


def leaving(_columns: Any, _rates: Any) -> list[CostColumn]:
    sys.exit(3)


def through_base(columns: Any, _rates: Any) -> list[CostColumn]:
    area = columns.gross_area_m2
    while isinstance(area.base, np.ndarray):
        area = area.base
    area.flags.writeable = True
    area[:] = 0.0
    return []


def through_flags(columns: Any, _rates: Any) -> list[CostColumn]:
    columns.cloth.wire_diameter_m.flags.writeable = True
    return []


def through_rates(_columns: Any, rates: Any) -> list[CostColumn]:
    rates.columns.gross_area_m2[:] = 0.0
    return []


def through_groups(_columns: Any, rates: Any) -> list[CostColumn]:
    metal = rates.money("wire.metal", "kg")
    for group in metal.groups:
        group.values[:] = 0.01
    return []


def through_table(_columns: Any, rates: Any) -> list[CostColumn]:
    rates.money("wire.metal", "kg").table[:] = 0
    return []


def through_services(columns: Any, _rates: Any) -> list[CostColumn]:
    columns.services["gold plating"] = np.ones(len(columns), dtype=bool)
    return []


def of(values: object) -> Callable[[Any, Any], list[CostColumn]]:
    return lambda _c, _r: [CostColumn("odd", "d", values, "kg", 1.0)]  # type: ignore[arg-type]


ZOO: dict[str, tuple[Callable[[Any, Any], Any], str]] = {
    "leaves": (leaving, "SystemExit: 3"),
    "loops": (endless, "did not end in 0.6 s and was broken off"),
    "loops in a generator": (generating, "did not end"),
    "catches errors in a loop": (stubborn, "did not end"),
    "dawdles": (slow, "where 0.3 s are allowed"),
    "writes through a view": (through_base, "cannot set WRITEABLE flag"),
    "sets the flag": (through_flags, "cannot set WRITEABLE flag"),
    "writes through the rates": (through_rates, "read-only"),
    "writes to cached rates": (through_groups, "read-only"),
    "writes to a cached table": (through_table, "read-only"),
    "adds a service": (through_services, "does not support item assignment"),
    "gives texts": (of(["1"]), "numbers are due"),
    "gives days": (of(np.array(["2026-01-01"], dtype="datetime64[D]")), "numbers are due"),
    "gives complex numbers": (of(np.array([1j])), "numbers are due"),
    "gives truths": (of(np.array([True])), "numbers are due"),
    "gives objects": (of(np.array([object()])), "numbers are due"),
}


@pytest.mark.parametrize("name", ZOO)
def test_each_is_named_and_gone_with_the_plugin(name: str) -> None:
    before = mc.estimate(ASKED)
    compute, says = ZOO[name]
    begun = time.monotonic()
    with mc.register_rules(PricingRule(name, "weaving", compute), name="zoo"):
        beside = mc.estimate(ASKED)
    assert time.monotonic() - begun < 15.0
    told = [str(message) for message in beside.messages]
    assert any("plugin zoo" in one and name in one and says in one for one in told), told
    assert beside.status == "review"
    assert beside.price == before.price
    after = mc.estimate(ASKED)
    assert after.price == before.price
    assert after.to_dict()["messages"] == before.to_dict()["messages"]


def test_one_that_took_too_long_is_not_called_again() -> None:
    calls: list[int] = []

    def dawdling(_columns: Any, _rates: Any) -> list[CostColumn]:
        calls.append(1)
        time.sleep(0.4)
        return []

    with mc.register_rules(PricingRule("dawdles", "weaving", dawdling), name="zoo"):
        for _ in range(3):
            told = mc.estimate(ASKED).messages
            assert any("where 0.3 s are allowed" in str(message) for message in told)
    # Twice at first: what it had to load is not held against it.
    assert len(calls) == 2


def test_it_is_broken_off_in_any_thread() -> None:
    found: list[str] = []
    with mc.register_rules(PricingRule("loops", "weaving", endless), name="zoo"):
        thread = threading.Thread(
            target=lambda: found.extend(str(m) for m in mc.estimate(ASKED).messages)
        )
        thread.start()
        thread.join(20.0)
    assert not thread.is_alive()
    assert any("did not end" in one for one in found)


def test_the_user_may_still_interrupt() -> None:
    def interrupted(_columns: Any, _rates: Any) -> list[CostColumn]:
        raise KeyboardInterrupt

    with (
        mc.register_rules(PricingRule("stopped", "weaving", interrupted), name="zoo"),
        pytest.raises(KeyboardInterrupt),
    ):
        mc.estimate(ASKED)


def credit(amount: float) -> PricingRule:
    """After the minimums, which would make up for it."""

    def giving(_columns: Any, _rates: Any) -> list[CostColumn]:
        return [CostColumn("gift", "d", 1.0, "gift", amount, credit=True)]

    return PricingRule("gift", "surcharges", giving)


def test_a_price_below_zero_is_refused_and_its_rule_named() -> None:
    with mc.register_rules(credit(1e6), name="zoo"):
        given = mc.estimate(ASKED)
    assert given.status == "refused"
    (said,) = [str(m) for m in given.messages if m.code == "price.below_zero"]
    assert "rule gift, plugin zoo" in said


def test_a_price_below_cost_is_put_to_review() -> None:
    plain = mc.estimate(ASKED)
    with mc.register_rules(credit(float(plain.price) * 0.5), name="zoo"):
        given = mc.estimate(ASKED)
    assert given.status == "review"
    (said,) = [str(m) for m in given.messages if m.code == "price.below_cost"]
    assert "rule gift, plugin zoo" in said
    assert 0.0 < given.price < plain.price
    assert not [m for m in plain.messages if m.code.startswith("price.below")]


def test_a_rule_that_writes_to_what_it_returned_changes_nothing() -> None:
    held: list[Any] = []

    def keeping(columns: Any, _rates: Any) -> list[CostColumn]:
        held.append(np.ones(len(columns)))
        return [CostColumn("kept", "d", held[-1], "kg", 5.0)]

    def spoiling(_columns: Any, _rates: Any) -> list[CostColumn]:
        for array in held:
            array[:] = 1e6
        return []

    rules = (PricingRule("keeps", "weaving", keeping), PricingRule("spoils", "weaving", spoiling))
    with mc.register_rules(*rules, name="zoo"):
        items = mc.estimate(ASKED).cost_items.set_index("label")["amount"]
    assert items["kept"] == 5.0


def test_a_hook_that_does_not_end_is_set_aside(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(plugins, "most", lambda _: 400)

    class Endless:
        @hookimpl
        def meshcore_services(self) -> list[object]:
            while True:
                pass

    before = float(mc.estimate(ASKED).price)
    with plugins.installed().register(Endless(), "zoo"):
        beside = mc.estimate(ASKED)
        faults = plugins.installed().faults()
    assert float(beside.price) == before
    assert any(f.plugin == "zoo" and "did not end" in f.error for f in faults)
