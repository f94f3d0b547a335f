"""What a row of the table takes for granted: what is stated beyond it never meets on that row."""

from __future__ import annotations

import numpy as np
import pytest

from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import ENVIRONMENTS, NOT_KNOWN, Conditions
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import judge_alloys
from meshcore.alloys.comparison.surroundings import KINDS
from meshcore.alloys.comparison.vetoes import judging as vetoes
from meshcore.alloys.methods import row_ranges
from meshcore.alloys.methods.families import all_of, families
from meshcore.alloys.methods.verdicts import MEETS, VERDICTS
from meshcore.alloys.records.registry import installed_registry

FACTS = alloy_facts(installed_registry().alloys)
WIRE_M = 0.9e-3
PLACE = {name: i for i, name in enumerate(FACTS.names)}


def word(alloy: str, **service: object) -> str:
    columns = condition_columns([Conditions(**service)])  # type: ignore[arg-type]
    found = judge_alloys(FACTS, columns, np.array([WIRE_M]))
    return str(VERDICTS[int(found.verdict[0, PLACE[alloy]])])


#: Pairs that met on a row that presumes none of what is stated.
BEYOND: list[tuple[str, str, dict[str, object]]] = [
    ("304L", "cleaning in place", {"chlorine_mg_l": 100.0}),
    ("316L", "cleaning in place", {"chlorine_mg_l": 100.0}),
    ("316L", "cleaning in place", {"chloride_mg_l": 2_000.0}),
    ("304", "milk", {"chlorine_mg_l": 50.0}),
    ("304", "milk", {"chloride_mg_l": 20_000.0}),
    ("316L", "fruit juice and wine", {"chloride_mg_l": 5_000.0}),
    ("304", "concrete", {"chloride_mg_l": 20_000.0}),
    ("carbon steel", "concrete", {"chloride_mg_l": 1_000.0}),
    ("carbon steel", "concrete", {"ph": 8.5}),
    ("316L", "soil", {"chloride_mg_l": 5_000.0}),
    ("copper", "soil", {"h2s": "yes"}),
    ("304", "caustic soda", {"concentration_pct": 20.0, "chloride_mg_l": 500.0}),
    ("316L", "caustic soda", {"concentration_pct": 20.0, "chlorine_mg_l": 500.0}),
    ("nickel 200", "caustic soda", {"concentration_pct": 20.0, "ph": 3.0}),
    ("316L", "phosphoric acid", {"concentration_pct": 50.0, "chloride_mg_l": 500.0}),
    ("310S", "flue gas", {"temperature_c": 600.0, "chlorine_mg_l": 100.0}),
    ("310S", "flue gas", {"temperature_c": 600.0, "h2s": "yes"}),
    ("304", "drinking water", {"oxidisers": "yes", "chloride_mg_l": 50.0}),
    ("304", "indoor", {"chlorine_mg_l": 3.0}),
    ("copper", "drinking water", {"ph": 5.2, "chlorine_mg_l": 0.0}),
    ("aluminium 1350", "hydrogen peroxide", {"chloride_mg_l": 100.0}),
]


@pytest.mark.parametrize(("alloy", "place", "stated"), BEYOND)
def test_what_is_stated_beyond_a_row_does_not_meet_on_it(
    alloy: str, place: str, stated: dict[str, object]
) -> None:
    base: dict[str, object] = {"environment": place, "years_wanted": 5.0}
    if ENVIRONMENTS[place].kind == "chemical" and "temperature_c" not in stated:
        base["temperature_c"] = 30.0
    assert word(alloy, **(base | stated)) in ("not judged", "fails")


@pytest.mark.parametrize(
    ("alloy", "place", "stated"),
    [
        ("titanium grade 2", "soil", {"chloride_mg_l": 20_000.0}),
        ("titanium grade 2", "concrete", {"chloride_mg_l": 20_000.0}),
        (
            "alloy C-276",
            "sour brine",
            {"chloride_mg_l": 150_000.0, "temperature_c": 60.0, "temper": "annealed"},
        ),
        ("304", "concrete", {"chloride_mg_l": 500.0}),
        ("316L", "drinking water", {"chlorine_mg_l": 2.0, "chloride_mg_l": 100.0}),
    ],
)
def test_a_range_is_by_family(alloy: str, place: str, stated: dict[str, object]) -> None:
    assert word(alloy, environment=place, years_wanted=5.0, **stated) == "meets"


def test_saltier_than_the_sea_does_not_meet_where_the_sea_fails() -> None:
    for alloy in FACTS.names:
        sea = word(alloy, environment="sea water", chloride_mg_l=20_000.0)
        strong = word(alloy, environment="sea water", chloride_mg_l=60_000.0)
        assert not (sea == "fails" and strong in ("meets", "marginal")), alloy
    assert word("alloy 625", environment="brine", temperature_c=20.0, chloride_mg_l=60_000.0) in (
        "not judged", "fails",
    )  # fmt: skip


def test_chloride_that_nobody_knows_is_no_comfort_in_demineralised_water() -> None:
    for alloy in ("304", "430", "316L", "aluminium 1350"):
        assert word(alloy, environment="demineralised water") == "meets"
        unknown = word(alloy, environment="demineralised water", chloride_mg_l=float("nan"))
        assert unknown == "not judged", alloy


def test_what_is_beyond_the_rows_has_no_margin_by_them() -> None:
    services = [Conditions(environment="milk", chlorine_mg_l=c) for c in (0.0, 50.0)]
    judged = judge_alloys(FACTS, condition_columns(services), np.array([WIRE_M, WIRE_M]))
    at = PLACE["316L"]
    assert np.isfinite(judged.margin[0, at])
    assert np.isnan(judged.margin[1, at])
    assert judged.margin_method[1, at] == ""


def test_every_range_names_its_source_and_a_place_that_is_one() -> None:
    places = {"*", *KINDS, *ENVIRONMENTS, *(e.rows for e in ENVIRONMENTS.values())}
    for one in row_ranges.row_ranges():
        assert set(one.media) <= places, one
        assert one.field in row_ranges.FIELDS
        assert one.least <= one.most
        assert one.source.strip()
        assert one.why.strip()


def test_the_reason_names_the_range() -> None:
    service = Conditions(environment="milk", chlorine_mg_l=50.0)
    judged = judge_alloys(FACTS, condition_columns([service]), np.array([9e-4]))
    said = judged.reason(0, PLACE["316L"])
    assert "free chlorine 50 mg/l: the rows on milk speak of up to 5 mg/l" in said


# Kin: what is said of one is said of the others, or apart.


def test_families_are_what_their_compositions_say() -> None:
    """Stainless: 10.5 % chromium or more in iron (EN 10088-1)."""
    chromium, iron, nickel = (FACTS.least_pct[e] for e in ("Cr", "Fe", "Ni"))
    is_stainless = (chromium >= 10.5) & (iron >= nickel)
    for family, stainless, name in zip(FACTS.resists_as, is_stainless, FACTS.names, strict=True):
        assert (family in all_of("stainless")) == stainless, name
    for family, low, name in zip(FACTS.resists_as, nickel < 2.0, FACTS.names, strict=True):
        if family in all_of("stainless"):
            is_austenitic = family in all_of("austenitic", "rich-austenitic", "nickel-austenitic")
            is_duplex = family in all_of("duplex")
            assert (family in all_of("ferritic")) == (low and not is_duplex), name
            assert is_austenitic != (family in all_of("ferritic", "duplex")), name


def test_nickel_with_much_molybdenum_has_it() -> None:
    """The rows on nickel-chromium-molybdenum are of alloys with 13 % and more (families.csv)."""
    for family, molybdenum, name in zip(
        FACTS.resists_as, FACTS.least_pct["Mo"], FACTS.names, strict=True
    ):
        assert family != "nimocr" or molybdenum >= 12.0, name
    assert word("N06002", environment="wet chlorine", temperature_c=25.0) != "meets"


@pytest.mark.parametrize(
    ("kin", "listed"),
    [("302", "304"), ("305", "304"), ("301", "304"), ("347", "304"), ("317L", "316L"),
     ("434", "430"), ("410", "409"), ("309S", "304"), ("alloy 800", "304")],
)  # fmt: skip
def test_a_grade_that_is_not_listed_is_no_better_outdoors_than_its_kind(
    kin: str, listed: str
) -> None:
    rank = {word: i for i, word in enumerate(VERDICTS)}
    for place, surroundings in ENVIRONMENTS.items():
        if surroundings.kind != "air" or place in ("pool hall", "offshore"):
            continue
        for washing in ("rain", "neither", NOT_KNOWN):
            said = {"environment": place, "washing": washing, "years_wanted": 10.0}
            assert rank[word(kin, **said)] >= rank[word(listed, **said)], (place, washing)


def test_every_alloy_is_of_a_family_that_the_file_knows() -> None:
    assert set(FACTS.resists_as) <= set(families())


@pytest.mark.parametrize(
    ("matter", "kin"),
    [
        (
            "chloride stress corrosion",
            ("austenitic", "rich-austenitic", "nickel-austenitic", "duplex"),
        ),
        ("475 °C embrittlement", ("ferritic", "duplex")),
        ("dosed chlorine", ("ferritic", "austenitic", "nickel-austenitic")),
        ("hydrogen sulphide on hard wire", ("stainless", "nickel-chromium", "titanium", "carbon")),
        ("load in heat", ("stainless", "aluminium", "copper-base", "titanium", "nickel-chromium")),
        ("hard wire in heat", ("stainless", "nickel-base", "aluminium", "copper-base", "titanium")),
        ("acid water", ("stainless", "copper-base", "carbon")),
        ("brittle when cold", ("ferritic", "duplex", "carbon")),
    ],
)  # fmt: skip
def test_a_matter_of_kin_is_said_of_all_of_them(matter: str, kin: tuple[str, ...]) -> None:
    spoken = {f for v in vetoes.VETOES if v.name == matter for f in v.families}
    ferritic_in_duplex_heat = {"leanduplex", "duplex", "superduplex"}
    missing = set(all_of(*kin)) - spoken
    if matter == "load in heat":
        missing -= ferritic_in_duplex_heat  # ruled out by heat alone
    assert missing == set()


@pytest.mark.parametrize(
    ("alloy", "service", "words"),
    [
        ("alloy 800", {"environment": "process water", "temperature_c": 90.0}, "chloride stress"),
        ("330", {"environment": "process water", "temperature_c": 90.0}, "chloride stress"),
        ("446", {"environment": "drinking water", "chlorine_mg_l": 1.0}, "dosed chlorine"),
        ("446", {"environment": "hot air", "temperature_c": 650.0}, "sigma"),
        ("446", {"environment": "hot air", "temperature_c": 950.0}, "passes 475 °C"),
        ("alloy 800", {"environment": "hot air", "temperature_c": 700.0, "load": "yes"}, "creep"),
    ],
)
def test_kin_that_lists_once_missed(alloy: str, service: dict[str, object], words: str) -> None:
    columns = condition_columns([Conditions(**service)])  # type: ignore[arg-type]
    judged = judge_alloys(FACTS, columns, np.array([2e-3]))
    assert judged.verdict[0, PLACE[alloy]] != MEETS
    said = " ".join(f.say(0, PLACE[alloy]) for f in judged.findings["ruled_out"])
    assert words in said


# Hydrogen sulphide and temper; oxidising ions.


@pytest.mark.parametrize("alloy", ["alloy C-276", "alloy 625", "alloy 825", "titanium grade 2"])
def test_hard_drawn_wire_in_sour_brine_is_not_judged(alloy: str) -> None:
    """ISO 15156-3 limits hardness by alloy and state (from memory)."""
    sour: dict[str, object] = {
        "environment": "sour brine", "temperature_c": 50.0, "oxidisers": "no",
    }  # fmt: skip
    assert word(alloy, **sour, temper="annealed") == "meets"
    assert word(alloy, **sour) == "not judged", "hard wire is what nobody ruled out"
    assert word(alloy, **sour, temper="hard-drawn") == "not judged"
    assert word("2507", **sour, temper="hard-drawn") == "fails"


def test_oxidising_ions_are_asked_for_in_reducing_acid() -> None:
    acid: dict[str, object] = {
        "environment": "hydrofluoric acid", "concentration_pct": 20.0, "temperature_c": 40.0,
    }  # fmt: skip
    assert word("alloy 400", **acid) == "not judged"
    assert word("alloy 400", **acid, oxidisers=NOT_KNOWN) == "not judged"
    assert word("alloy 400", **acid, oxidisers="no") == "meets"
    assert word("alloy 400", **acid, oxidisers="yes") == "fails"


@pytest.mark.parametrize("alloy", ["alloy C-276", "alloy 22", "alloy 625"])
def test_what_does_not_crack_in_boiling_magnesium_chloride_is_not_ruled_out(alloy: str) -> None:
    """ASTM G36 boils 42 % at about 155 °C; alloys of nickel with molybdenum hold (from memory)."""
    boiling: dict[str, object] = {
        "environment": "magnesium chloride", "concentration_pct": 42.0, "temperature_c": 154.0,
    }  # fmt: skip
    assert word(alloy, **boiling) == "marginal"
    assert word("316L", **boiling) == "fails"


@pytest.mark.parametrize("alloy", ["310S", "314", "S30815"])
def test_why_600_is_worse_than_900_is_said(alloy: str) -> None:
    """Sigma phase forms at some 600 to 870 °C and dissolves above (handbooks, from memory)."""
    columns = condition_columns(
        [Conditions(environment="hot air", temperature_c=t) for t in (600.0, 900.0)]
    )
    judged = judge_alloys(FACTS, columns, np.full(2, 0.9e-3))
    at = list(FACTS.names).index(alloy)
    assert [VERDICTS[v] for v in judged.verdict[:, at]] == ["marginal", "meets"]
    reason = judged.reason(0, at)
    assert "in hotter metal the phase dissolves" in reason
    assert "475 °C austenite is not at risk" in reason
