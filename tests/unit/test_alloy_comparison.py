"""Comparing alloys: what is marked, what is never passed, and services as people type them."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import ENVIRONMENTS, Conditions
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import ASPECTS, Judged, judge_alloys
from meshcore.alloys.comparison.reading_conditions import CONDITION_FIELDS, read_conditions
from meshcore.alloys.comparison.tabulating import CAUTIONS, comparison_table, pareto_front
from meshcore.alloys.methods import heat
from meshcore.alloys.methods.verdicts import (
    FAILS,
    MARGINAL,
    MEETS,
    NOT_ASKED,
    NOT_JUDGED,
    VERDICTS,
)
from meshcore.alloys.records.registry import installed_registry
from meshcore.arrays import FloatArray
from meshcore.messages import Message

REGISTRY = installed_registry()
FACTS = alloy_facts(REGISTRY.alloys)
COAST = Conditions(environment="coastal", years_wanted=15.0, weld=True)


def judged(*conditions: Conditions, wire_mm: float = 0.9) -> Judged:
    wire = np.full(len(conditions), wire_mm / 1e3)
    return judge_alloys(FACTS, condition_columns(conditions), wire)


def table_of(condition: Conditions, price: FloatArray | None = None) -> pd.DataFrame:
    prices = np.linspace(1000.0, 100.0, len(FACTS)) if price is None else price
    return comparison_table(
        FACTS, judged(condition), pd.DataFrame({"price": prices, "net_area_m2": 10.0})
    )


def test_many_services_at_once_are_judged_as_each_alone() -> None:
    services = [
        Conditions(environment=place, years_wanted=10.0, chloride_mg_l=300.0 if odd else None,
                   water_temperature_c=20.0, temperature_c=120.0 if odd else None,
                   non_magnetic=odd, food_contact=not odd, contact_metal="brass" if odd else "")
        for place in ENVIRONMENTS
        for odd in (False, True)
    ]  # fmt: skip
    together = judged(*services)
    for row, service in enumerate(services):
        alone = judged(service)
        np.testing.assert_array_equal(together.verdict[row], alone.verdict[0])
        np.testing.assert_allclose(together.margin[row], alone.margin[0])
        np.testing.assert_allclose(together.life_years[row], alone.life_years[0])
        assert together.reason(row, 3) == alone.reason(0, 3)


def test_nothing_asked_is_not_passed() -> None:
    found = judged(Conditions())
    assert (found.verdict == NOT_JUDGED).all()
    assert found.reason(0, 0) == "no service is described"


def test_air_outside_the_annex_is_judged_by_rows_of_its_own_alone() -> None:
    """NORSOK M-001 uses 6 % molybdenum and 25 % chromium duplex bare at sea (from memory)."""
    found = judged(Conditions(environment="offshore", years_wanted=1.0))
    at = {name: VERDICTS[found.verdict[0, i]] for i, name in enumerate(FACTS.names)}
    assert {at[name] for name in ("316", "316L", "316Ti", "1.4435")} == {"not judged"}
    assert [at[name] for name in ("2205", "2507", "S31254")] == ["marginal", "meets", "meets"]


def test_a_pool_hall_is_no_outdoor_air() -> None:
    """Copper and zinc meet by ISO 9223 in the open only, and 316L is judged by its cleaning."""
    found = judged(Conditions(environment="pool hall", years_wanted=1.0, corrosivity="C3"))
    at = {name: found.verdict[0, i] for i, name in enumerate(FACTS.names)}
    assert at["copper"] == at["galvanized steel"] == MARGINAL
    assert at["carbon steel"] == FAILS
    assert at["316L"] == NOT_JUDGED
    assert "say what washes it" in found.reason(0, FACTS.names.tolist().index("316L"))
    assert np.isnan(found.life_years).all()


def test_an_alloy_that_a_method_does_not_cover_never_meets() -> None:
    found = judged(COAST)
    uncovered = found.aspects["outdoor_air"][0] == NOT_JUDGED
    assert uncovered.sum() > 5
    assert (found.verdict[0, uncovered] >= NOT_JUDGED).all()


def test_overall_is_the_gravest_aspect() -> None:
    found = judged(COAST)
    gravest = np.max([found.aspects[a][0] for a in ASPECTS], axis=0)
    np.testing.assert_array_equal(found.verdict[0], gravest)


def test_what_is_not_asked_is_not_judged_on() -> None:
    found = judged(COAST)
    for aspect in ("chloride_water", "heat", "contact", "food_contact", "coat"):
        assert (found.aspects[aspect] == NOT_ASKED).all()


def test_the_cheapest_that_meets_is_marked_and_stands_first() -> None:
    table = table_of(COAST)
    assert table["cheapest_that_meets"].sum() == 1
    first = table.iloc[0]
    assert first["cheapest_that_meets"]
    assert first["verdict"] == "meets"
    assert first["price"] == table.loc[table["verdict"] == "meets", "price"].min()
    assert table.attrs["cautions"] == CAUTIONS
    assert table["reason"].str.len().min() > 0


def test_what_has_no_price_is_never_the_cheapest() -> None:
    price = np.full(len(FACTS), np.nan)
    table = table_of(COAST, price)
    assert not table["cheapest_that_meets"].any()
    assert not table["on_front"].any()


def test_one_without_a_price_does_not_hide_the_cheapest() -> None:
    price = np.linspace(1000.0, 100.0, len(FACTS))
    price[FACTS.names.tolist().index("316L")] = np.nan
    table = table_of(COAST, price)
    assert table["cheapest_that_meets"].sum() == 1
    assert not table.loc[table["alloy"] == "316L", "cheapest_that_meets"].any()


def cell(table: pd.DataFrame, alloy: str, column: str) -> Any:
    return table.loc[table["alloy"] == alloy, column].iloc[0]


def test_price_per_area_and_no_price_over_the_reckoned_life() -> None:
    table = table_of(COAST)
    price = cell(table, "carbon steel", "price")
    assert cell(table, "carbon steel", "price_per_m2") == pytest.approx(price / 10.0)
    # Over the years wanted, and never over the life that is reckoned.
    assert "price_per_year" not in table


def test_a_coast_in_words() -> None:
    table = table_of(COAST)
    assert cell(table, "304", "verdict") == "fails"
    assert "class II falls short of class III" in cell(table, "304", "reason")
    assert cell(table, "316L", "verdict") == "meets"
    assert cell(table, "carbon steel", "verdict") == "fails"
    assert "15 years wanted" in cell(table, "carbon steel", "reason")


points = st.lists(
    st.tuples(
        st.one_of(st.just(np.nan), st.integers(0, 6).map(float)),
        st.one_of(st.just(np.nan), st.integers(-3, 3).map(float)),
        st.booleans(),
    ),
    max_size=12,
)


@given(points)
def test_front_is_what_none_other_beats(drawn: list[tuple[float, float, bool]]) -> None:
    price, margin = (np.array([p[i] for p in drawn], dtype=float) for i in (0, 1))
    eligible = np.array([p[2] for p in drawn], dtype=bool)
    found = pareto_front(price, margin, eligible)
    running = [i for i, (p, m, e) in enumerate(drawn) if e and not np.isnan(p) and not np.isnan(m)]
    for i in range(len(drawn)):
        beaten = any(
            drawn[j][0] <= drawn[i][0]
            and drawn[j][1] >= drawn[i][1]
            and drawn[j][:2] != drawn[i][:2]
            for j in running
        )
        assert found[i] == (i in running and not beaten)


def test_a_margin_is_of_one_method_and_says_which() -> None:
    both = judged(Conditions(environment="rural", years_wanted=5.0, temperature_c=600.0))
    steel = [a.designation for a in FACTS.alloys].index("carbon steel")
    alone = judged(Conditions(temperature_c=600.0))
    assert both.margin_method[0, steel] == alone.margin_method[0, steel] == heat.METHOD
    assert both.margin[0, steel] == alone.margin[0, steel]
    known = ~np.isnan(both.margin[0])
    assert known.any()
    assert (both.margin_method[0][known] != "").all()


def test_the_front_compares_within_a_method_only() -> None:
    price, margin = np.array([1.0, 2.0, 3.0]), np.array([9.0, 1.0, 0.5])
    method = np.array(["years", "classes", "classes"], dtype=object)
    assert pareto_front(price, margin, np.full(3, True), method).tolist() == [True, True, False]


def test_margin_is_positive_only_where_corrosion_meets() -> None:
    found = judged(Conditions(environment="shore", years_wanted=10.0, temperature_c=60.0))
    corrosion = np.max([found.aspects[a][0] for a in ("outdoor_air", "heat")], axis=0)
    assert (found.margin[0][corrosion == FAILS] < 0.0).all()
    met = found.margin[0][corrosion == MEETS]
    assert (met[~np.isnan(met)] >= 0.0).all()


@pytest.mark.parametrize(
    ("texts", "field", "value"),
    [
        ({"environment": "coastal"}, "environment", "coastal"),
        ({"distance_to_sea": "0.8 km"}, "distance_to_sea_m", 800.0),
        ({"distance_to_sea": "1 mile"}, "distance_to_sea_m", 1609.344),
        ({"so2": "12 µg/m³"}, "so2_ug_m3", 12.0),
        ({"temperature": "572 °F"}, "temperature_c", 300.0),
        ({"temperature": "932 °F"}, "temperature_c", 500.0),
        ({"temperature": "-20 °C"}, "temperature_c", -20.0),
        ({"chloride": "sea water", "water_temperature": "20 C"}, "chloride_mg_l", 19_400.0),
        ({"chloride": "0,5 g/l", "water_temperature": "20 C"}, "chloride_mg_l", 500.0),
        ({"years_wanted": "15 years"}, "years_wanted", 15.0),
        ({"years_wanted": "15"}, "years_wanted", 15.0),
        ({"lost_share": "30 %"}, "lost_share", 0.3),
        ({"weld": "Yes"}, "weld", True),
        ({"weld": "no"}, "weld", False),
        ({"corrosivity": "c4"}, "corrosivity", "C4"),
        ({"contact_metal": "Aluminium"}, "contact_metal", "aluminium"),
    ],
)
def test_services_are_read_as_typed(texts: dict[str, str], field: str, value: object) -> None:
    read = read_conditions(texts)
    assert isinstance(read, Conditions)
    assert getattr(read, field) == (pytest.approx(value) if isinstance(value, float) else value)


@pytest.mark.parametrize(
    ("texts", "field", "said"),
    [
        ({"environment": "costal"}, "environment", 'Nearest: "coastal"'),
        ({"temperature": "300"}, "temperature", "without its unit"),
        ({"temperature": "-300 °C"}, "temperature", "out of range"),
        ({"distance_to_sea": "-5 m"}, "distance_to_sea", "out of range"),
        ({"distance_to_sea": "near"}, "distance_to_sea", "not a number with a unit"),
        ({"years_wanted": "15 fathoms"}, "years_wanted", "no unit of it"),
        ({"lost_share": "100 %"}, "lost_share", "out of range"),
        ({"weld": "perhaps"}, "weld", "neither yes nor no"),
        ({"colour": "blue"}, "colour", "no such field"),
        ({"chloride": "500 mg/l"}, "water_temperature", "judged by its temperature"),
        ({"water_temperature": "20 °C"}, "chloride", "judged by its chloride"),
    ],
)
def test_what_cannot_be_read_is_refused(texts: dict[str, str], field: str, said: str) -> None:
    refused = read_conditions(texts)
    assert isinstance(refused, tuple)
    assert [m.field for m in refused] == [field]
    assert said in refused[0].text


@given(st.dictionaries(st.sampled_from([*CONDITION_FIELDS, "other"]), st.text(max_size=12)))
def test_no_text_of_a_service_raises(texts: dict[str, str]) -> None:
    read = read_conditions(texts)
    assert isinstance(read, Conditions) or all(isinstance(m, Message) for m in read)


@pytest.mark.parametrize(
    "wrong",
    [{"environment": "moon"}, {"corrosivity": "C9"}, {"years_wanted": -1.0}, {"lost_share": 1.0}],
)
def test_misuse_from_code_raises(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=next(iter(wrong))):
        Conditions(**wrong)  # type: ignore[arg-type]
