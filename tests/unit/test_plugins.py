"""The plugin manager: pluggy's own marks and options hold, and one plugin's fault is its own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from types import ModuleType, SimpleNamespace
from typing import Any, cast

import pluggy
import pytest

import meshcore as mc
from meshcore.alloys.record import Alloy
from meshcore.alloys.records.registry import installed_registry
from meshcore.enquiry import Service
from meshcore.hookspecs import hookimpl
from meshcore.plugins import PluginFault, PluginSet, installed, load

HOOK = "meshcore_services"


@dataclass
class Point:
    """An entry point of nobody's distribution."""

    name: str
    plugin: object
    value: str = ""
    dist: None = None

    def load(self) -> object:
        return self.plugin


def loaded(**plugins: object) -> PluginSet:
    return load(cast(Any, [Point(name, plugin) for name, plugin in plugins.items()]))


def offering(*names: str, **options: Any) -> ModuleType:
    """A plugin that offers services of these names, marked with pluggy's options."""
    module = ModuleType("offering")

    def meshcore_services() -> list[Service]:
        return [Service(name, (), "lot") for name in names]

    vars(module)[HOOK] = hookimpl(**options)(meshcore_services)
    return module


def names(plugins: PluginSet) -> list[str]:
    return [service.name for _, service in plugins.collect(HOOK, Service)]


def test_plugins_are_asked_in_order_of_registration_but_for_first_and_last() -> None:
    plugins = loaded(
        a=offering("last", trylast=True),
        b=offering("second"),
        c=offering("third"),
        d=offering("first", tryfirst=True),
    )
    assert names(plugins) == ["first", "second", "third", "last"]


def test_a_function_of_another_name_is_found_by_its_specname() -> None:
    plugin = SimpleNamespace(offers=hookimpl(specname=HOOK)(lambda: [Service("coil", (), "lot")]))
    plugins = loaded(named=plugin)
    assert names(plugins) == ["coil"]
    assert plugins.records[0].hooks == (HOOK,)


def test_a_function_that_is_not_marked_is_named_not_forgotten() -> None:
    plugins = loaded(good=offering("coil"), careless=SimpleNamespace(meshcore_services=lambda: []))
    assert names(plugins) == ["coil"]
    [fault] = plugins.faults()
    assert "meshcore_services: not marked with hookimpl" in str(fault)
    assert [record.name for record in plugins.records] == ["good"]


@pytest.mark.parametrize("option", ["wrapper", "hookwrapper"])
def test_a_wrapper_is_set_aside_and_the_rest_goes_on(option: str) -> None:
    def around() -> Iterator[None]:
        yield

    wraps = SimpleNamespace(meshcore_services=hookimpl(**cast(Any, {option: True}))(around))
    plugins = loaded(good=offering("coil"), wraps=wraps)
    assert names(plugins) == ["coil"]
    [fault] = plugins.faults()
    assert (fault.plugin, fault.error) == (
        "wraps",
        "TypeError: a wrapper; every plugin is asked by itself",
    )


def test_each_check_is_made_though_the_hook_is_asked_once() -> None:
    asked: list[str] = []
    module = ModuleType("counting")

    def meshcore_services() -> list[Service]:
        asked.append("once")
        return [Service("coil", (), "lot")]

    vars(module)[HOOK] = hookimpl(meshcore_services)
    plugins = loaded(counting=module)
    assert len(plugins.collect(HOOK, Service)) == 1
    assert plugins.collect(HOOK, Service, lambda s: f"{s.name} is no name") == []
    assert plugins.collect(HOOK, mc.PricingRule) == []
    assert len(plugins.collect(HOOK, Service)) == 1
    assert asked == ["once"]
    assert plugins.faults() == (
        PluginFault("counting", HOOK, "ValueError: coil is no name"),
        PluginFault("counting", HOOK, "TypeError: returned a Service where a PricingRule is due"),
    )


def test_a_check_that_raises_is_the_plugins_fault() -> None:
    plugins = loaded(odd=offering("coil"))
    assert plugins.collect(HOOK, Service, lambda _: str(1 / 0)) == []
    assert "ZeroDivisionError" in plugins.faults()[0].error


def crating() -> mc.PricingRule:
    return mc.PricingRule(
        "crating", "packing", lambda _c, _r: [mc.CostColumn("crate", "crates", 1.0, "crate", 18.5)]
    )


ROLLS = mc.Enquiry(
    mesh_count="10 / in", wire_diameter="0.025 in", alloy="304", form=mc.Roll("48 in", "100 ft")
)


def priced() -> mc.Estimate:
    return mc.estimate(ROLLS)


def test_rules_of_a_program_hold_until_they_are_removed() -> None:
    before = priced()
    registration = mc.register_rules(crating(), name="crate shop")
    try:
        assert {"mill-costing", "crate shop"} <= {record.name for record in installed().records}
        items = priced().cost_items
        crates = items[items["label"] == "crate"]
        assert crates[["amount", "plugin"]].to_numpy().tolist() == [[18.5, "crate shop"]]
        with pytest.raises(ValueError, match="crate shop"):
            mc.register_rules(crating(), name="crate shop")
    finally:
        registration.remove()
    assert priced().price == before.price
    assert "crate shop" not in {record.name for record in installed().records}


def test_rules_go_with_their_block_even_where_it_fails() -> None:
    def stopped() -> None:
        with mc.register_rules(crating()):
            assert "crate" in set(priced().cost_items["label"])
            raise RuntimeError("stopped")

    with pytest.raises(RuntimeError, match="stopped"):
        stopped()
    assert "crate" not in set(priced().cost_items["label"])


def test_only_rules_are_registered() -> None:
    with pytest.raises(TypeError, match="a str among the rules"):
        mc.register_rules("crating")  # type: ignore[arg-type]


def test_a_module_with_nothing_marked_is_no_plugin_of_this_process() -> None:
    careless = SimpleNamespace(meshcore_services=lambda: [])
    with pytest.raises(ValueError, match="not marked with hookimpl"):
        installed().register(careless, "careless")
    assert not installed().manager.has_plugin("careless")


def test_a_hook_that_nobody_specified_is_refused() -> None:
    stranger = SimpleNamespace(meshcore_colours=hookimpl(lambda: []))
    with pytest.raises(pluggy.PluginValidationError, match="meshcore_colours"):
        installed().register(stranger, "stranger")
    assert not installed().manager.has_plugin("stranger")


def test_an_alloy_of_a_program_is_known_while_it_is_registered() -> None:
    known = next(a for a in installed_registry().alloys if a.designation == "304")
    own = replace(known, designation="house 304", uns="", en="", aliases=(), general_names=())
    module = ModuleType("house")
    vars(module)["meshcore_alloys"] = hookimpl(lambda: [own])
    asked = replace(ROLLS, alloy="house 304")
    assert mc.estimate(asked).messages[0].code == "alloy.unknown"
    with installed().register(module, "house"):
        assert mc.estimate(asked).density == mc.estimate(ROLLS).density
        assert "house 304" in {a.designation for a in installed_registry().alloys}
    assert mc.estimate(asked).messages[0].code == "alloy.unknown"
    assert installed_registry() is installed_registry()


@dataclass(frozen=True)
class House:
    """A plugin of alloys."""

    alloys: list[Alloy]

    @hookimpl
    def meshcore_alloys(self) -> list[Alloy]:
        return self.alloys


def test_an_alloy_that_is_brought_anew_is_the_new_one() -> None:
    known = next(a for a in installed_registry().alloys if a.designation == "304")
    own = replace(known, designation="house 304", uns="", en="", aliases=(), general_names=())
    asked = replace(ROLLS, alloy="house 304")
    density = mc.estimate(ROLLS).density
    for times in (1.0, 2.0):
        brought = [replace(own, density_kg_m3=times * own.density_kg_m3)]
        # Nothing is priced between the two, so the alloy alone tells them apart.
        with installed().register(House(brought), "house"):
            assert mc.estimate(asked).density == times * density


def test_a_rule_that_writes_to_a_service_is_set_aside() -> None:
    def grasping(columns: Any, _rates: object) -> list[mc.CostColumn]:
        columns.services["certificate"][:] = False
        return []

    asked = replace(ROLLS, services=("certificate",))
    with mc.register_rules(mc.PricingRule("grasping", "wire", grasping)):
        one = mc.estimate(asked)
    assert one.price == mc.estimate(asked).price
    assert "read-only" in str(one.estimates.faults[-1])
