"""The comparison with prices: the same as pricing each alloy alone."""

from __future__ import annotations

import numpy as np
import pytest

from meshcore import Enquiry, Roll
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.methods.outdoor_loss import CARBON_STEEL, CATEGORIES, wire_life_years
from meshcore.alloys.records.registry import installed_registry
from meshcore.estimates.alloy_comparison import compare_alloys
from meshcore.estimates.alloy_comparison_text import comparison_text
from meshcore.estimates.pipeline import estimate

MESH = Enquiry(
    mesh_count="10 / in", wire_diameter="0.035 in", form=Roll("48 in", "100 ft"), quantity=3
)
COAST = Conditions(environment="coastal", years_wanted=15.0)


def test_prices_are_those_of_each_alloy_alone() -> None:
    table = compare_alloys(MESH, COAST, ["304", "SS316L", "galv"]).set_index("alloy")
    for name in ("304", "316L", "galvanized steel"):
        alone = estimate(
            Enquiry(mesh_count="10 / in", wire_diameter="0.035 in", alloy=name,
                    form=Roll("48 in", "100 ft"), quantity=3)
        )  # fmt: skip
        assert table.loc[name, "price"] == pytest.approx(alone.price)


def test_life_is_that_of_the_mesh_wire() -> None:
    bare = wire_life_years(
        np.array([CARBON_STEEL]), np.array([0.0]), np.array([0.035 * 0.0254]),
        np.array([CATEGORIES.index("C4")]), np.array([0.5]),
    )  # fmt: skip
    table = compare_alloys(MESH, COAST, ["carbon steel"])
    assert table["life_years"].iloc[0] == pytest.approx(bare[0])


def test_all_alloys_by_default_and_unknown_names_are_told() -> None:
    assert len(compare_alloys(MESH, COAST)) == len(installed_registry())
    some = compare_alloys(MESH, COAST, ["304", "unobtainium", "brass"])
    assert some["alloy"].tolist() == ["304"]
    assert len(some.attrs["messages"]) == 2


def test_no_alloy_found_is_an_empty_table() -> None:
    none = compare_alloys(MESH, COAST, ["unobtainium"])
    assert none.empty
    assert "unobtainium" in comparison_text(none)


def test_a_mesh_that_cannot_be_priced_still_says_why() -> None:
    table = compare_alloys(Enquiry(mesh_count="nonsense", form=Roll("1 m", "10 m")), COAST, ["304"])
    assert table["price"].isna().all()
    assert "mesh_count" in table["messages"].iloc[0]
    assert not table["cheapest_that_meets"].any()


def test_text_carries_marks_prices_and_cautions() -> None:
    table = compare_alloys(MESH, COAST, ["304", "316L", "carbon steel"])
    text = comparison_text(table)
    starred = [line for line in text.splitlines() if line.startswith("*")]
    assert any("316L" in line for line in starred)
    assert all(caution in text for caution in table.attrs["cautions"])
