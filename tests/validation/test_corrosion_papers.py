"""What papers and associations publish of single limits, each as far as it says beside its test.

Of papers the abstract was read, of associations the page; what is asserted is what stands there.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import judge_alloys
from meshcore.alloys.methods.verdicts import VERDICTS
from meshcore.alloys.records.registry import installed_registry

FACTS = alloy_facts(installed_registry().alloys)
PLACE = {name: i for i, name in enumerate(FACTS.names)}


def word(alloy: str, service: Conditions, wire_mm: float = 0.9) -> str:
    judged = judge_alloys(FACTS, condition_columns([service]), np.array([wire_mm / 1e3]))
    return VERDICTS[int(judged.verdict[0, PLACE[alloy]])]


SHORE = Conditions(environment="shore", washing="rain")


@pytest.mark.parametrize("alloy", ["2205", "2507"])
def test_sea_water_that_dries_on_warm_duplex(alloy: str) -> None:
    """Corrosion 64(2) (2008) 101: 22Cr and 25Cr crack from 70 to 80 °C at 90 % of proof."""
    assert word(alloy, replace(SHORE, temperature_c=81.0)) == "fails"
    assert word(alloy, replace(SHORE, temperature_c=20.0)) == "meets"


@pytest.mark.parametrize(("alloy", "hot"), [("2205", 101.0), ("2507", 101.0), ("S31254", 111.0)])
def test_concentrated_sea_water_cracks_the_best_of_steels(alloy: str, hot: float) -> None:
    """NACE 97194: S31803 and S32750 cracked at 100 °C, S31254 at 110 °C."""
    assert word(alloy, Conditions(environment="process water", temperature_c=hot)) == "fails"


@pytest.mark.parametrize("alloy", ["S31254", "N08926", "alloy 625", "2507"])
def test_tight_crevices_in_warm_sea_water(alloy: str) -> None:
    """NACE 99326: at 30 °C crevices were attacked on every steel and nickel alloy tried."""
    assert word(alloy, Conditions(environment="sea water", temperature_c=30.0)) != "meets"


@pytest.mark.parametrize(
    ("alloy", "chloride", "warm", "verdict"),
    [
        ("304", 49.0, 48.0, "meets"), ("304", 150.0, 45.0, "fails"),
        ("316", 240.0, 58.0, "marginal"), ("316", 900.0, 55.0, "fails"),
        ("2205", 250.0, 65.0, "meets"),
    ],
)  # fmt: skip
def test_chloride_counts_for_more_in_warm_water(
    alloy: str, chloride: float, warm: float, verdict: str
) -> None:
    """A plate heat exchanger's manual (page): at 60 °C 304 to 50 and 316 to 300 mg/l; S31254 above.

    British Stainless Steel Association, OG 2.2 (page): in cold water 200 and 1000 mg/l. The leanest
    316 of its range falls short of its own limit, so it is marginal there.
    """
    water = Conditions(environment="process water", chloride_mg_l=chloride, temperature_c=warm)
    assert word(alloy, water) == verdict


def test_chlorine_and_warmth_together() -> None:
    """EUROCORR 2011, Mameng and Pettersson (abstract): chlorine starts crevices at 30 and 50 °C."""
    dosed = Conditions(environment="process water", temperature_c=50.0, chlorine_mg_l=1.0)
    assert word("2205", dosed) == "not judged"
    assert word("2205", replace(dosed, chlorine_mg_l=0.0)) == "meets"


@pytest.mark.parametrize("alloy", ["304", "316L"])
def test_chlorides_left_on_warm_steel_in_the_air(alloy: str) -> None:
    """Corrosion 65(2) (2009) 105: 304 and 316L crack from 30 °C under Mg and Ca chlorides."""
    warm = Conditions(environment="coastal", washing="neither", temperature_c=35.0)
    assert word(alloy, warm) != "meets"


def test_rain_or_cold_leaves_316l_as_it_was() -> None:
    coast = Conditions(environment="coastal", washing="rain", temperature_c=35.0)
    assert word("316L", coast) == word("316L", replace(coast, temperature_c=20.0)) == "meets"


@pytest.mark.parametrize("alloy", ["titanium grade 1", "titanium grade 2", "titanium grade 7"])
def test_fluoride_in_acid_dissolves_titanium(alloy: str) -> None:
    """Corrosion Science 2021, 109812: severe from 0.0005 to 0.001 mol/l, about 10 to 19 mg/l."""
    weakest = Conditions(environment="hydrofluoric acid", concentration_pct=0.002,
                         temperature_c=20.0, oxidisers="no")  # fmt: skip
    assert word(alloy, weakest) == "fails"
    salt = Conditions(environment="fluoride solution", concentration_pct=0.1, temperature_c=20.0)
    assert word(alloy, salt) == "fails"


@pytest.mark.parametrize("place", ["solvents without chlorine", "methanol"])
def test_titanium_in_alcohol_without_water(place: str) -> None:
    """Abstract on titanium in propanols: methanol wants 20 % of water and ethanol 8 %."""
    assert word("titanium grade 2", Conditions(environment=place, temperature_c=20.0)) != "meets"


def test_alloy_825_in_sulphuric_acid_of_any_strength() -> None:
    """ASSDA FAQ 8 (page): under about 45 °C it loses 0.13 mm a year at most at any strength."""
    for strength in (1.0, 20.0, 60.0, 95.0):
        acid = Conditions(environment="sulphuric acid", concentration_pct=strength,
                          temperature_c=44.0, oxidisers="no")  # fmt: skip
        assert word("alloy 825", acid) == "meets"
        # At that rate half of the section of a wire of 0.3 mm is gone in less than three years.
        assert word("alloy 825", replace(acid, years_wanted=3.0), wire_mm=0.3) != "meets"


@pytest.mark.parametrize("ph", [5.0, 12.6])
def test_zinc_in_acid_and_in_alkali(ph: float) -> None:
    """Galvanizers' information on water (two pages): 5.5 to 12, and to 12.5."""
    water = Conditions(environment="river water", ph=ph)
    assert word("galvanized steel", water) == "fails"
    assert word("galvanized steel", replace(water, ph=12.2)) == "not judged"


def test_nickel_200_turns_brittle_where_201_does_not() -> None:
    """From memory: graphite forms in nickel 200 from 315 °C on, and hardly in 201."""
    chlorine = Conditions(environment="dry chlorine", temperature_c=400.0)
    assert word("nickel 201", chlorine) == "meets"
    assert word("nickel 200", chlorine) == "fails"
    assert word("nickel 200", replace(chlorine, temperature_c=300.0)) == "meets"


def test_indoor_pools_under_load_have_the_grades_of_the_standard() -> None:
    """EN 13451-1:2011 as BSSA tells it (page): 1.4529, 1.4547 and 1.4565 for what carries load."""
    hall = Conditions(environment="pool hall", load="yes", washing="neither")
    stainless = [a for a in FACTS.alloys if a.en.startswith("1.4")]
    met = {a.en for a in stainless if word(a.designation, hall) == "meets"}
    assert met == {"1.4529", "1.4547", "1.4565"}


def test_iron_in_copper_nickel_is_felt_by_a_magnet() -> None:
    """Copper Development Association (page): 90/10 from 1.01 to over 1.2, 70/30 hardly at all."""
    sieve = Conditions(environment="indoor", non_magnetic=True)
    assert word("copper-nickel 90/10", sieve) == "marginal"
    assert word("copper-nickel 70/30", sieve) == "meets"


def test_copper_nickel_in_sea_water() -> None:
    """Tuthill 1987 (page): 0.012 mm in the first year, less later, so five years leave the wire."""
    sea = Conditions(environment="sea water", temperature_c=15.0, years_wanted=5.0)
    assert word("copper-nickel 90/10", sea) == "meets"
