"""Water, heat, contact, magnetism, food and later services: coverage, limits and words."""

from __future__ import annotations

import numpy as np
import pytest

from meshcore.alloys.comparison.facts import AlloyFacts, alloy_facts
from meshcore.alloys.methods import chloride_water, galvanic, heat, magnetism, requirements
from meshcore.alloys.methods.verdicts import (
    FAILS,
    MARGINAL,
    MEETS,
    NOT_ASKED,
    NOT_JUDGED,
    VERDICTS,
    Fitness,
    gravest,
    together,
    verdict_where,
)
from meshcore.alloys.records.registry import installed_registry, resolve

YES = np.array([True])


def facts_of(*names: str) -> AlloyFacts:
    registry = installed_registry()
    found = [resolve(registry, name) for name in names]
    return alloy_facts([registry.alloys[i] for i in found if isinstance(i, int)])


def words(found: Fitness) -> list[str]:
    return [VERDICTS[v] for v in found.verdict[0]]


def in_water(facts: AlloyFacts, chloride: float, temperature: float) -> Fitness:
    return chloride_water.judge(
        np.array([chloride]), np.array([temperature]), facts.crevice_c, facts.pren,
        facts.outlasts_brine, facts.names,
    )  # fmt: skip


def test_sea_water_ranks_the_grades() -> None:
    facts = facts_of("304", "316L", "2507", "S31254", "alloy C-276")
    assert words(in_water(facts, 19_400.0, 20.0)) == [
        "fails",
        "fails",
        "marginal",
        "meets",
        "meets",
    ]


def test_fresh_water_by_the_guide_levels() -> None:
    facts = facts_of("304", "316L")
    assert words(in_water(facts, 100.0, 15.0)) == ["meets", "meets"]
    assert words(in_water(facts, 250.0, 15.0)) == ["marginal", "meets"]
    assert words(in_water(facts, 1_000.0, 15.0)) == ["fails", "marginal"]


def test_guide_levels_reach_warm_water_with_little_salt() -> None:
    facts = facts_of("316L", "alloy C-276")
    assert words(in_water(facts, 100.0, 60.0)) == ["meets", "not judged"]
    assert words(in_water(facts, 300.0, 60.0))[0] == "marginal"
    assert words(in_water(facts, 400.0, 60.0))[0] == "fails"
    for chloride, temperature in ((100.0, 81.0), (1_001.0, 31.0)):
        beyond = in_water(facts_of("2507"), chloride, temperature)
        assert words(beyond) == ["not judged"]
        assert "test in service" in beyond.say(0, 0)


def test_metals_without_an_equation_are_not_judged_in_water() -> None:
    facts = facts_of("copper", "galv", "titanium grade 2", "alloy 400", "FeCrAl", "5056")
    assert set(words(in_water(facts, 500.0, 20.0))) == {"not judged"}


def test_what_falls_short_at_the_end_of_the_range_falls_short_beyond() -> None:
    for chloride, temperature in ((20_000.0, 96.0), (60_000.0, 90.0), (200_000.0, 120.0)):
        assert words(in_water(facts_of("S31254", "316L"), chloride, temperature)) == ["fails"] * 2


@pytest.mark.parametrize(
    ("chloride", "temperature"),
    [(24_000.0, 20.0), (20_000.0, -1.0), (500.0, np.nan)],
)
def test_water_outside_the_range_is_not_judged(chloride: float, temperature: float) -> None:
    assert words(in_water(facts_of("S31254"), chloride, temperature)) == ["not judged"]


def test_no_water_is_not_asked() -> None:
    assert words(in_water(facts_of("304", "copper"), np.nan, np.nan)) == ["not asked"] * 2


def test_more_chloride_never_helps() -> None:
    facts = alloy_facts(installed_registry().alloys)
    chloride = np.geomspace(5.0, 22_000.0, 60)
    found = chloride_water.judge(
        chloride, np.full(60, 20.0), facts.crevice_c, facts.pren, facts.outlasts_brine,
        facts.names,
    )  # fmt: skip
    stainless = ~np.isnan(facts.pren[0])
    assert stainless.sum() > 20
    assert (np.diff(found.margin[:, stainless], axis=0) <= 1e-9).all()
    assert (np.diff(found.verdict[:, stainless].astype(int), axis=0) >= 0).all()


def test_guide_curve_passes_its_points_and_rises() -> None:
    at_points = chloride_water.pren_needed(chloride_water.GUIDE_CHLORIDE_MG_L)
    np.testing.assert_allclose(at_points, [18.0, 24.0, 34.0, 40.0])
    rising = np.diff(chloride_water.pren_needed(np.geomspace(1.0, 19_000.0, 200)))
    assert (rising >= 0.0).all()
    assert (np.diff(chloride_water.pren_needed(np.geomspace(120.0, 19_000.0, 200))) > 0.0).all()


def test_no_water_is_so_pure_that_no_chromium_is_needed() -> None:
    """12 % chromium steel rusts in plain fresh water (handbooks, from memory)."""
    assert chloride_water.pren_needed(np.array([0.0])).tolist() == [chloride_water.LEAST_PREN]
    assert words(in_water(facts_of("409", "430", "304"), 0.0, 20.0)) == ["fails", "meets", "meets"]


@pytest.mark.parametrize(
    ("temperature", "expected"),
    [(783.0, MEETS), (783.1, MARGINAL), (870.0, MARGINAL), (870.1, FAILS), (np.nan, NOT_ASKED)],
)
def test_heat_keeps_a_tenth_in_hand(temperature: float, expected: int) -> None:
    assert heat.judge(np.array([temperature]), np.array([870.0])).verdict[0, 0] == expected


def contact(metal: str, surroundings: str, *names: str) -> Fitness:
    facts = facts_of(*names)
    return galvanic.judge(
        np.array([galvanic.GROUPS.index(metal)]),
        np.array([galvanic.SURROUNDINGS.index(surroundings)]),
        facts.group,
        facts.names,
    )


def test_contact_says_which_metal_goes_first() -> None:
    found = contact("aluminium", "harsh", "316L", "galv", "5056", "tungsten")
    assert words(found) == ["marginal", "marginal", "meets", "not judged"]
    assert "the aluminium goes first" in found.say(0, 0)
    assert "the mesh goes first" in found.say(0, 1)


def test_contact_allows_more_where_it_is_dry() -> None:
    assert words(contact("aluminium", "dry", "316L")) == ["meets"]
    assert words(contact("carbon steel", "outdoor", "430", "304")) == ["meets", "marginal"]


@pytest.mark.parametrize(
    ("name", "group"),
    [
        ("carbon steel", "carbon steel"), ("galv", "galvanized steel"), ("430", "chromium steel"),
        ("304", "austenitic stainless steel"), ("2205", "austenitic stainless steel"),
        ("alloy 625", "nickel alloy"), ("alloy 400", "nickel alloy"), ("brass 70/30", "brass"),
        ("CuSn6", "bronze"), ("silicon bronze", "bronze"), ("copper", "copper"),
        ("C70600", "copper"), ("5056", "aluminium"), ("Ti grade 5", "titanium"),
    ],
)  # fmt: skip
def test_groups_of_the_anodic_index(name: str, group: str) -> None:
    assert galvanic.GROUPS[facts_of(name).group[0]] == group


def magnet(facts: AlloyFacts, metal_c: float = 20.0, annealed: bool = False) -> Fitness:
    return magnetism.judge(
        YES,
        np.array([annealed]),
        np.array([metal_c]),
        facts.magnetic,
        facts.md30_c,
        facts.curie_c,
        magnetism.irony_copper(facts.least_pct),
    )


def test_magnetism() -> None:
    """Handbooks, from memory: 302 and 304 turn magnetic when drawn, 316L and 305 hardly, 310S not;
    alloy 400 has its Curie point about room temperature."""
    facts = facts_of(
        "302", "304", "305", "316L", "310S", "430", "2205", "copper", "alloy 625", "nickel 200",
        "alloy 400",
    )  # fmt: skip
    found = magnet(facts)
    assert words(found) == [
        "fails", "fails", "marginal", "marginal", "meets", "fails", "fails", "meets", "meets",
        "fails", "fails",
    ]  # fmt: skip
    assert "drawing and weaving make it magnetic" in found.say(0, 0)
    assert "Curie point" in found.say(0, 10)


def test_annealing_after_weaving_undoes_what_drawing_did() -> None:
    assert words(magnet(facts_of("304", "316L", "430"), annealed=True)) == [
        "marginal", "meets", "fails",
    ]  # fmt: skip


def test_a_metal_above_its_curie_point_is_not_magnetic() -> None:
    assert words(magnet(facts_of("alloy 400", "nickel 200"), metal_c=100.0)) == ["meets", "fails"]


def test_food_contact() -> None:
    facts = facts_of("304", "430", "409", "copper", "galv", "5056", "Ti grade 2", "carbon steel")
    found = requirements.judge_food(YES, facts.least_pct, facts.zinc_um)
    assert words(found) == [
        "meets", "meets", "not judged", "fails", "fails", "marginal", "marginal", "not judged",
    ]  # fmt: skip


def test_services_go_by_their_ratings() -> None:
    facts = facts_of("316L", "2205", "430", "tungsten")
    found = requirements.judge_service("weld", YES, facts.alloys)
    assert words(found) == ["meets", "meets", "marginal", "fails"]
    assert found.say(0, 2).startswith("weld: poor, ")


def test_wire_finer_than_usually_drawn_is_marginal() -> None:
    found = requirements.judge_wire(np.array([0.1e-3]), np.array([0.05e-3, 0.1e-3, 0.2e-3]))
    assert words(found) == ["meets", "meets", "marginal"]


def test_verdicts_combine_so_that_nothing_passes_unjudged() -> None:
    cells = [
        np.array([[v]], dtype=np.int8) for v in (NOT_ASKED, MEETS, MARGINAL, NOT_JUDGED, FAILS)
    ]
    asked, meets, marginal, silent, fails = cells
    assert gravest([asked, meets])[0, 0] == MEETS
    assert gravest([meets, marginal])[0, 0] == MARGINAL
    assert gravest([marginal, silent])[0, 0] == NOT_JUDGED
    assert gravest([silent, fails])[0, 0] == FAILS
    assert gravest([asked, asked])[0, 0] == NOT_JUDGED
    assert together(silent, meets)[0, 0] == MEETS
    assert together(meets, silent)[0, 0] == MEETS
    assert together(silent, silent)[0, 0] == NOT_JUDGED
    yes, no = np.array([[True]]), np.array([[False]])
    assert verdict_where(yes, no, yes, yes)[0, 0] == NOT_JUDGED
