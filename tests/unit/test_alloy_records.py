"""Every alloy that ships has every field, a source for every number, and a name that finds it."""

from __future__ import annotations

import pytest

from meshcore.alloys.record import Alloy
from meshcore.alloys.records.checking import RATED_SERVICES, check_alloy
from meshcore.alloys.records.registry import installed_registry, resolve

REGISTRY = installed_registry()


def test_enough_alloys_in_enough_families() -> None:
    assert len(REGISTRY) >= 80
    assert len({a.family for a in REGISTRY.alloys}) >= 7
    assert len(set(REGISTRY.plugins)) == 7


@pytest.mark.parametrize("alloy", REGISTRY.alloys, ids=lambda a: a.designation)
def test_the_record_is_complete(alloy: Alloy) -> None:
    assert check_alloy(alloy) == ""
    assert all(len(alloy.services[s].reason) > 10 for s in RATED_SERVICES)
    assert alloy.sources["services"]


@pytest.mark.parametrize("alloy", REGISTRY.alloys, ids=lambda a: a.designation)
def test_every_name_finds_its_alloy(alloy: Alloy) -> None:
    index = REGISTRY.alloys.index(alloy)
    for name in filter(None, (alloy.designation, alloy.uns, alloy.en, *alloy.aliases)):
        assert resolve(REGISTRY, name) == index
