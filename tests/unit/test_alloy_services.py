"""A service as users know it: what is assumed, and what is not known."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import Any

import numpy as np
import pytest

import meshcore as mc
from meshcore.alloys.comparison.assumptions import (
    FIELD_WORDS,
    assumptions,
    judged_with_assumptions,
    written,
)
from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import (
    ENVIRONMENTS,
    NOT_KNOWN,
    THREE_WAY,
    Conditions,
    held,
)
from meshcore.alloys.comparison.contradictions import more_than_the_wire_bears
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import judge_alloys
from meshcore.alloys.comparison.reading_conditions import read_conditions
from meshcore.alloys.comparison.vetoes import judging as vetoes
from meshcore.alloys.methods import heat, media, outdoor_loss, zinc
from meshcore.alloys.methods.verdicts import FAILS, MEETS, NOT_JUDGED, VERDICTS, VerdictArray
from meshcore.alloys.records.registry import installed_registry
from meshcore.estimates.alloy_comparison_text import comparison_text

FACTS = alloy_facts(installed_registry().alloys)
PLACE = {name: i for i, name in enumerate(FACTS.names)}
WIRE_MM = 0.9
MESH = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", form=mc.Roll("48 in", "100 ft"))


def verdicts(*services: Conditions, wire_mm: float = WIRE_MM) -> VerdictArray:
    wire = np.full(len(services), wire_mm / 1e3)
    return judge_alloys(FACTS, condition_columns(services), wire).verdict


def word(alloy: str, service: Conditions, wire_mm: float = WIRE_MM) -> str:
    return str(VERDICTS[int(verdicts(service, wire_mm=wire_mm)[0, PLACE[alloy]])])


# The table of media.


def test_the_table_speaks_of_enough_and_names_every_source() -> None:
    rows = media.media_rows()
    assert len({r.medium for r in rows if not r.medium.startswith("air ")}) >= 40
    assert all(r.source.strip() and r.why.strip() for r in rows)
    assert {g for r in rows for g in r.groups} >= set(FACTS.resists_as)


def test_no_two_rows_speak_of_one_family_at_one_strength() -> None:
    for first, second in combinations(media.media_rows(), 2):
        if first.medium == second.medium and set(first.groups) & set(second.groups):
            assert first.to_pct <= second.from_pct or second.to_pct <= first.from_pct, first


def test_limits_rise_and_every_row_can_be_reached() -> None:
    for row in media.media_rows():
        assert row.meets_to_c <= row.marginal_to_c <= row.fails_from_c
        assert row.from_pct < row.to_pct
        assert row.rate_mm_a >= 0.0
        assert row.cool_rate_mm_a <= row.rate_mm_a


def test_every_surroundings_is_spoken_of_or_has_a_method() -> None:
    named = {row.medium for row in media.media_rows()}
    for name, place in ENVIRONMENTS.items():
        own = place.rows or (f"air {place.category}" if place.category else name)
        assert own in named or place.kind == "hot air", name
    assert len(ENVIRONMENTS) > 60


def test_a_family_in_a_veto_is_one_of_the_table() -> None:
    known = {g for r in media.media_rows() for g in r.groups}
    assert {g for v in vetoes.VETOES for g in v.families} <= known
    assert all(v.source.strip() and v.reason.strip() for v in vetoes.VETOES)


# What nobody knows.


def test_a_strength_that_nobody_knows_meets_only_where_every_strength_would() -> None:
    cool = Conditions(environment="sulphuric acid", temperature_c=25.0)
    known = [replace(cool, concentration_pct=float(c)) for c in range(1, 101)]
    each = verdicts(*known)
    unknown = verdicts(cool)[0]
    assert (each[:, unknown == MEETS] == MEETS).all()
    assert (each[:, unknown == FAILS] == FAILS).all()
    assert (unknown == NOT_JUDGED).sum() > 5
    assert word("carbon steel", cool) != "meets"


def test_a_temperature_that_nobody_knows_is_no_comfort() -> None:
    acid = Conditions(environment="hydrochloric acid", concentration_pct=10.0)
    assert word("tantalum", acid) == "not judged"
    assert word("304", acid) == "fails"


@pytest.mark.parametrize("field", THREE_WAY)
def test_what_is_not_known_never_meets_where_it_would_not_if_it_were_so(field: str) -> None:
    for name in ENVIRONMENTS:
        base = Conditions(environment=name, temperature_c=25.0, concentration_pct=5.0,
                          years_wanted=5.0, washing="rain")  # fmt: skip
        unsaid = replace(base, **{field: NOT_KNOWN})  # type: ignore[arg-type]
        if_so = replace(base, **{field: "yes"})  # type: ignore[arg-type]
        if_not = replace(base, **{field: "no"})  # type: ignore[arg-type]
        silent, yes, no = verdicts(unsaid, if_so, if_not)
        # Load, rubbing and standing still are asked for, and take no verdict away unasked.
        if field in ("load", "abrasion", "stagnant") and name != "pool hall":
            assert (silent <= np.maximum(yes, no)).all()
        else:
            assert not ((silent == MEETS) & (yes == FAILS)).any(), name


def test_true_and_false_are_taken_for_yes_and_no() -> None:
    assert Conditions(load=True).load == "yes"  # type: ignore[arg-type]
    assert Conditions(load=False).load == "no"  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="ammonia"):
        Conditions(ammonia="perhaps")


def test_nought_is_a_value_and_not_filled_in() -> None:
    whole, said = held(Conditions(environment="drinking water", chlorine_mg_l=0.0))
    assert whole.chlorine_mg_l == 0.0
    assert "chlorine_mg_l" not in {h.field for h in said}


def test_not_known_is_a_value_of_a_number_too() -> None:
    read = read_conditions({"environment": "drinking water", "chloride": "not known"})
    assert isinstance(read, Conditions)
    assert read.chloride_mg_l is not None
    assert np.isnan(read.chloride_mg_l)
    assert word("304", read) == "not judged"
    assert word("304", Conditions(environment="drinking water", chloride_mg_l=20.0)) == "meets"


# What is assumed.


@pytest.mark.parametrize("name", list(ENVIRONMENTS))
def test_every_value_of_a_preset_is_said(name: str) -> None:
    service = Conditions(environment=name)
    whole, said = held(service)
    changed = {f for f in FIELD_WORDS if getattr(whole, f, None) != getattr(service, f, None)}
    assert changed <= {h.field for h in said if h.assumed}
    assert said, "something is assumed or not known of any surroundings"
    assert {h.field for h in said} <= set(FIELD_WORDS)


@pytest.mark.parametrize("name", ["coastal", "drinking water", "sea water", "pool hall", "soil"])
def test_a_flip_is_what_judging_anew_finds(name: str) -> None:
    service = Conditions(environment=name, years_wanted=10.0)
    judged = judge_alloys(FACTS, condition_columns([service]), np.array([WIRE_MM / 1e3]))
    found = assumptions(service, FACTS, judged, WIRE_MM / 1e3)
    flips = [(one, flip) for one in found for flip in one.flips]
    assert flips
    for one, flip in flips:
        first = flip.value.split()[0].replace(",", "")
        value: float | str = float(first) if first.replace(".", "").isdigit() else flip.value
        if one.field == "lost_share":
            value = float(first) / 100.0
        if one.field in ("weld", "road_tunnel"):
            value = True
        changed = replace(service, **{one.field: value})  # type: ignore[arg-type]
        for alloy, verdict in flip.changes.items():
            assert word(alloy, changed) == verdict
            assert word(alloy, service) != verdict


@pytest.mark.parametrize("name", list(ENVIRONMENTS))
def test_a_service_judged_with_its_trials_is_as_judged_alone(name: str) -> None:
    service = Conditions(environment=name, years_wanted=10.0, h2s="not known")
    alone = judge_alloys(FACTS, condition_columns([service]), np.array([WIRE_MM / 1e3]))
    together, _, said = judged_with_assumptions(service, FACTS, WIRE_MM / 1e3)
    every = range(len(FACTS))
    np.testing.assert_array_equal(together.verdict[0], alone.verdict[0])
    np.testing.assert_array_equal(together.margin[0], alone.margin[0])
    np.testing.assert_array_equal(together.life_years[0], alone.life_years[0])
    assert together.reasons(0, list(every)) == [alone.reason(0, i) for i in every]
    assert said == assumptions(service, FACTS, alone, WIRE_MM / 1e3)


def test_the_assumptions_stand_in_the_result_and_in_print() -> None:
    table = mc.compare_alloys(MESH, Conditions(environment="drinking water"))
    said = table.attrs["assumptions"]
    assert any(one.startswith("free chlorine: 0.5 mg/l (assumed)") for one in said)
    assert any(one.startswith("in tension: no (assumed)") for one in said)
    text = comparison_text(table)
    assert all(one in text for one in said)
    row = table.set_index("alloy").loc["434"]
    assert "free chlorine" in row["flips"]


def test_every_assumption_of_every_preset_stands_in_the_result_and_in_print() -> None:
    for name in ENVIRONMENTS:
        service = Conditions(environment=name)
        table = mc.compare_alloys(MESH, service, ["304", "316L"])
        text = comparison_text(table)
        for one in held(service)[1]:
            words = f"{FIELD_WORDS[one.field][0]}: {written(one.field, one.value)}"
            assert any(said.startswith(words) for said in table.attrs["assumptions"]), name
            assert words in text


def test_a_refused_line_says_so_in_print() -> None:
    mesh = mc.Enquiry(mesh_count="10 / in", wire_diameter="5 in", form=mc.Roll("48 in", "100 ft"))
    table = mc.compare_alloys(mesh, Conditions(environment="coastal", years_wanted=15.0))
    text = comparison_text(table)
    assert table["price"].isna().all()
    assert "No prices: the line is refused." in text
    assert "wire_diameter" in text


# Single methods.


def test_thin_wire_scales_through() -> None:
    hot = Conditions(environment="hot air", temperature_c=780.0)
    assert word("304", hot, wire_mm=2.0) == "meets"
    assert word("304", hot, wire_mm=0.0356) == "fails"
    depth = heat.depth_lost_um(np.array(780.0), np.array(10_000.0), np.array(870.0))
    assert float(depth) > 35.6 / 2


@pytest.mark.parametrize(
    ("wire_mm", "mass"), [(0.4, 85.0), (0.9, 155.0), (0.95, 155.0), (2.0, 215.0), (0.1, np.nan)]
)
def test_zinc_grows_with_the_wire(wire_mm: float, mass: float) -> None:
    """EN 10244-2:2009 Table 1, class A (from memory)."""
    found = zinc.class_mass_g_m2(np.array([0]), np.array([wire_mm / 1e3]))
    np.testing.assert_equal(found, [mass])


def test_zinc_that_is_stated_is_taken_and_lasts_by_its_mass() -> None:
    def life(**also: object) -> float:
        service = Conditions(environment="urban", years_wanted=10.0, **also)  # type: ignore[arg-type]
        judged = judge_alloys(FACTS, condition_columns([service]), np.array([0.9e-3]))
        return float(judged.life_years[0, PLACE["galvanized steel"]])

    assert life(zinc_g_m2=20.0) < life() < life(zinc_g_m2=100.0)
    assert life(zinc_g_m2=100.0) < life(zinc_g_m2=100.0, coating="zinc-aluminium")
    assert life(zinc_g_m2=100.0) == life(zinc_g_m2=100.0, coating="polymer over zinc")
    assert life(zinc_g_m2=600.0) == life(zinc_g_m2=155.0), "wire of 0.9 mm bears no more"
    assert life(zinc_g_m2=600.0, coating="zinc after weaving") > life(zinc_g_m2=155.0)
    assert life(coating="zinc after weaving") > life(), "a dip leaves more than the mill's wire has"


@pytest.mark.parametrize(("wire_mm", "um"), [(0.9, 35.0), (2.0, 45.0), (4.0, 55.0), (8.0, 70.0)])
def test_zinc_after_weaving_is_by_the_thickness_of_the_steel(wire_mm: float, um: float) -> None:
    """EN ISO 1461:2009 Table 3, least local thickness (from memory)."""
    assert zinc.dipped_um(np.array([wire_mm / 1e3]))[0] == um


def test_what_the_zinc_alone_would_not_last_depends_on_the_polymer() -> None:
    town: dict[str, Any] = {"environment": "urban", "years_wanted": 120.0, "zinc_g_m2": 100.0}
    assert word("galvanized steel", Conditions(**town)) == "fails"
    under = Conditions(**town, coating="polymer over zinc")
    assert word("galvanized steel", under) == "not judged"
    assert word("carbon steel", under) == "fails"


@pytest.mark.parametrize(
    ("coating", "zinc_g_m2", "is_asked"),
    [
        ("", 290.0, True),
        ("", 80.0, False),
        ("zinc after weaving", 290.0, False),
        ("zinc after weaving", 610.0, True),
    ],
)
def test_more_zinc_than_the_wire_bears_is_asked(
    coating: str, zinc_g_m2: float, is_asked: bool
) -> None:
    """EN 10244-2:2009 Table 1: 85 g/m² in class A on wire of 0.4 mm (from memory)."""
    heavy = Conditions(environment="rural", zinc_g_m2=zinc_g_m2, coating=coating)
    said = more_than_the_wire_bears(heavy, 0.4e-3)
    bridges = ["service.dip_bridges"] * (coating == "zinc after weaving")
    assert [m.code for m in said] == ["service.zinc_beyond_wire"] * is_asked + bridges


def test_no_more_zinc_after_weaving_is_counted_than_a_dip_leaves() -> None:
    """EN ISO 1461:2009 Table 3, mean of steel below 1.5 mm: 325 g/m² (from memory)."""
    town: dict[str, Any] = {"environment": "urban", "coating": "zinc after weaving"}
    services = [Conditions(**town, zinc_g_m2=g) for g in (325.0, 610.0)]
    life = judge_alloys(FACTS, condition_columns(services), np.full(2, 0.2e-3)).life_years
    assert life[0, PLACE["galvanized steel"]] == life[1, PLACE["galvanized steel"]]


@pytest.mark.parametrize(
    ("alloy", "keeps_c"),
    [("carbon steel", 120.0), ("302", 290.0), ("304", 290.0), ("316L", 290.0), ("alloy 600", 370.0),
     ("phosphor bronze 5 %", 100.0), ("alloy 400", 230.0)],
)  # fmt: skip
def test_hard_wire_relaxes_where_springs_do(alloy: str, keeps_c: float) -> None:
    """Warmest use of spring wire by spring handbooks and EN 10270-3 (from memory)."""
    above, below = (
        Conditions(environment="hot air", temperature_c=t, hours=100.0, temper="hard-drawn")
        for t in (keeps_c + 5.0, keeps_c - 5.0)
    )
    judged = judge_alloys(FACTS, condition_columns([above, below]), np.full(2, 0.9e-3))
    said = [judged.findings["ruled_out"][0].say(row, PLACE[alloy]) for row in (0, 1)]
    assert "relaxes" in said[0]
    assert "relaxes" not in said[1]


def test_what_nobody_said_and_an_alloy_would_meet_by_is_named() -> None:
    sour = Conditions(environment="sour brine", temperature_c=60.0)
    alloys = ["alloy C-276", "316L"]
    assert mc.compare_alloys(MESH, sour, alloys).attrs["would_decide"] == ("temper of the wire",)
    annealed = mc.compare_alloys(MESH, replace(sour, temper="annealed"), alloys)
    assert annealed.attrs["would_decide"] == ()


def test_strength_is_by_temper() -> None:
    """304 of 500 to 750 MPa annealed, spring wire of some 1200 to 2000 (ASTM A313, from memory)."""
    mesh = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.035 in")

    def range_of(temper: str) -> tuple[float, float]:
        table = mc.compare_alloys(mesh, Conditions(environment="indoor", temper=temper), ["304"])
        return float(table["tensile_least_mpa"][0]), float(table["tensile_most_mpa"][0])

    record = FACTS.alloys[PLACE["304"]].tensile_mpa
    assert range_of("") == range_of("annealed") == record
    assert range_of("hard-drawn") == (1200.0, 2000.0)
    assert range_of("soft-drawn") == (record[1], 1200.0)


def test_zinc_is_not_thicker_than_its_wire() -> None:
    found = zinc.zinc_on_wire_um(
        np.array([1000.0, np.nan]), np.array([0.08e-3, 0.1e-3]), np.array([zinc.AFTER_WEAVING, -1]),
        np.array([0]), np.array([20.0]),
    )  # fmt: skip
    assert found[0, 0] == 40.0
    assert found[1, 0] < 20.0, "class A begins at thicker wire: there is less on thinner"


def test_salt_sulphur_and_tunnels_count_in_the_category() -> None:
    """ISO 9223:2012 Annex C and EN 1993-1-4 Table A.1 (both from memory)."""
    town = Conditions(environment="rural", years_wanted=10.0)
    graver = [
        replace(town, road_tunnel=True),
        replace(town, so2_ug_m3=120.0),
        replace(town, distance_to_salted_road_m=5.0),
    ]
    columns = condition_columns([town, *graver])
    named = [outdoor_loss.CATEGORIES[c] for c in columns.category]
    assert named == ["C2", "C5", "C5", "C4"]


@pytest.mark.parametrize(
    ("texts", "field", "value"),
    [
        ({"environment": "NaOH"}, "environment", "caustic soda"),
        ({"environment": "swimming pool hall"}, "environment", "pool hall"),
        ({"environment": "seawater"}, "environment", "sea water"),
        ({"concentration": "50 %"}, "concentration_pct", 50.0),
        ({"ph": "4.5"}, "ph", 4.5),
        ({"chlorine": "0.5 mg/l"}, "chlorine_mg_l", 0.5),
        ({"flow": "1.5 m/s"}, "flow_m_s", 1.5),
        ({"hours": "2000 h"}, "hours", 2000.0),
        ({"zinc": "230 g/m²"}, "zinc_g_m2", 230.0),
        ({"load": "ja"}, "load", "yes"),
        ({"load": "not known"}, "load", NOT_KNOWN),
        ({"washing": "not known"}, "washing", NOT_KNOWN),
        ({"temper": "hard-drawn"}, "temper", "hard-drawn"),
        ({"drinking_water": "yes"}, "drinking_water", True),
    ],
)
def test_the_new_fields_are_read(texts: dict[str, str], field: str, value: object) -> None:
    read = read_conditions(texts)
    assert isinstance(read, Conditions)
    assert getattr(read, field) == value


@pytest.mark.parametrize("texts", [{"ph": "15"}, {"concentration": "120 %"}, {"load": "a bit"}])
def test_what_cannot_be_is_refused(texts: dict[str, str]) -> None:
    refused = read_conditions(texts)
    assert isinstance(refused, tuple)
    assert [m.field for m in refused] == list(texts)


@pytest.mark.parametrize("metal", ["carbon steel", "high-carbon steel"])
def test_bare_steel_rusts_above_a_pool(metal: str) -> None:
    # ISO 12944-2 puts indoor pools at C4 (from memory): no place for bare steel.
    assert word(metal, Conditions(environment="pool hall", washing="cleaned")) == "fails"


@pytest.mark.parametrize("metal", ["copper", "aluminium 1050A", "galvanized steel"])
def test_other_metals_above_a_pool_serve_with_care_at_most(metal: str) -> None:
    assert word(metal, Conditions(environment="pool hall", washing="cleaned")) == "marginal"


def test_the_words_on_a_ranking_say_which_test_carried() -> None:
    water = Conditions(environment="process water", chloride_mg_l=200.0)
    judged = judge_alloys(FACTS, condition_columns([water]), np.array([0.9e-3]))
    said = judged.reason(0, PLACE["444"])
    assert "by the guide level alone (PREN 23 to 26 against 18" in said
    assert "by the harsher test it would not: G48 crevice start -13 to -5" in said
    cool = condition_columns([replace(water, temperature_c=10.0)])
    both = judge_alloys(FACTS, cool, np.array([0.9e-3])).reason(0, PLACE["S31254"])
    assert "ranks high enough (G48 crevice start" in both
    assert "alone" not in both
