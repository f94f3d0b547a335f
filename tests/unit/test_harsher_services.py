"""Harsher never helps, and not to know is never better than to know: over all surroundings.

Every surroundings by name is made harsher in every quantity that a service may state, step by step,
across the borders of every table. What fails at one step may not be marginal nor meet at a harsher
one, and what is marginal may not meet; and what nobody knows may meet only where no value would
fail, and is never better than the best of them. Three things are set apart: acid that is strong
enough to make a metal passive, as its row says; heat where the cloth must be non-magnetic, for heat
helps there (Curie points); and heat beyond a window in which a phase forms or hydrogen is taken up.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, replace
from itertools import pairwise
from random import Random

import numpy as np
import pytest
from thorough import share

from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import (
    ENVIRONMENTS,
    NOT_KNOWN,
    TEMPERS,
    THREE_WAY,
    Conditions,
)
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import judge_alloys
from meshcore.alloys.comparison.vetoes import judging
from meshcore.alloys.comparison.windows import windows
from meshcore.alloys.methods import chloride_water, media, outdoor_loss, row_ranges
from meshcore.alloys.methods.verdicts import FAILS, MARGINAL, MEETS, VERDICTS, VerdictArray
from meshcore.alloys.records.registry import installed_registry
from meshcore.arrays import BoolArray

FACTS = alloy_facts(installed_registry().alloys)
#: Way to make a service harsher → its field, and its steps from mild to harsh.
HARSHER: dict[str, tuple[str, tuple[object, ...]]] = {
    "hotter": ("temperature_c", (5.0, 20.0, 35.0, 50.0, 61.0, 80.0, 100.0, 111.0, 150.0, 200.0,
                                 300.0, 400.0, 500.0, 600.0, 700.0, 800.0, 950.0, 1100.0, 1300.0,
                                 2000.0)),
    "colder": ("temperature_c", (-10.0, -30.0, -60.0, -120.0, -196.0, -269.0)),
    "saltier": ("chloride_mg_l", (0.0, 1.0, 20.0, 50.0, 100.0, 200.0, 260.0, 500.0, 1e3, 2e3, 5e3,
                                  1.9e4, 2.5e4, 6e4, 1.5e5, 3e5)),
    "more acid": ("ph", (7.0, 6.4, 6.0, 5.5, 5.0, 4.5, 3.9, 3.5, 3.0, 2.0, 1.0, 0.0)),
    "more alkaline": ("ph", (7.0, 8.0, 8.6, 9.1, 9.6, 10.0, 10.5, 11.0, 12.0, 12.6, 13.1, 14.0)),
    "more chlorine": ("chlorine_mg_l", (0.0, 0.1, 0.3, 0.6, 1.0, 1.5, 2.5, 3.5, 6.0, 12.0, 60.0,
                                        300.0, 5e3, 1e5)),
    "stronger": ("concentration_pct", (0.001, 0.1, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 10.0, 11.0, 20.0,
                                       21.0, 30.0, 50.0, 51.0, 60.0, 65.0, 66.0, 75.0, 81.0,
                                       91.0, 96.0, 99.0, 100.0)),
    "longer": ("years_wanted", (0.05, 1.0, 5.0, 15.0, 40.0, 100.0, 200.0)),
    "more hours": ("hours", (1.0, 10.0, 100.0, 1e3, 1e4, 1e5, 5e5)),
    "graver category": ("corrosivity", outdoor_loss.CATEGORIES),
    "nearer the sea": ("distance_to_sea_m", (5e4, 5e3, 800.0, 100.0, 0.0)),
    "nearer salted roads": ("distance_to_salted_road_m", (5e3, 50.0, 5.0)),
    "more sulphur dioxide": ("so2_ug_m3", (2.0, 20.0, 60.0, 120.0, 200.0, 400.0)),
    "less washed": ("washing", ("rain", "cleaned", "neither")),
    "faster": ("flow_m_s", (0.5, 1.6, 2.0, 3.1, 4.0, 10.0)),
    "harder wire": ("temper", TEMPERS),
    "less to lose": ("lost_share", (0.9, 0.5, 0.2, 0.05, 0.01)),
    "hotter water": ("water_temperature_c", (5.0, 20.0, 35.0, 60.0, 80.0, 100.0, 150.0, 250.0)),
    **{field: (field, ("no", "yes")) for field in THREE_WAY},
    **{flag: (flag, (False, True))
       for flag in ("non_magnetic", "food_contact", "drinking_water", "road_tunnel", "weld")},
}  # fmt: skip
#: Numbers and words that may be said to be not known, with the ways that try their values.
UNKNOWN = {
    "temperature_c": ("hotter", "colder"), "chloride_mg_l": ("saltier",),
    "ph": ("more acid", "more alkaline"), "chlorine_mg_l": ("more chlorine",),
    "concentration_pct": ("stronger",), "years_wanted": ("longer",), "hours": ("more hours",),
    "distance_to_sea_m": ("nearer the sea",), "flow_m_s": ("faster",),
    "distance_to_salted_road_m": ("nearer salted roads",), "so2_ug_m3": ("more sulphur dioxide",),
    "washing": ("less washed",), "lost_share": ("less to lose",),
    **{field: (field,) for field in THREE_WAY},
}  # fmt: skip
WIRES_MM = (5.0, 2.0, 0.9, 0.4, 0.2, 0.1, 0.05, 0.02)
#: Strength from which an acid may make passive what weaker acid dissolves [%].
PASSIVATING_PCT = 66.0
PLAIN = {"temperature_c": 25.0, "years_wanted": 5.0, "washing": "rain"}
#: Where that cannot be: hot air is none so cold, and a dry gas is not rained on.
PLAIN_OF: dict[str, dict[str, object]] = {
    "hot air": {"temperature_c": 200.0}, "dry chlorine": {"washing": "neither"},
}  # fmt: skip


def plain(place: str) -> dict[str, object]:
    return {**PLAIN, **PLAIN_OF.get(place, {})}


#: Rules of a window of temperature, which hotter metal leaves again: gas wets it only when cool.
WINDOWS = ("sigma phase", "brittle phases of nickel alloys", "green rot", "hydrogen under load",
           "acid and water from the gas")  # fmt: skip
#: Each service and one that is the same, and worse in one thing.
WORSE_MEDIA = (
    ("brine", "sour brine"),
    ("sea water", "sour brine"),
    ("river water", "brackish water"),
)


def verdicts(services: Sequence[Conditions], wires_mm: float | Sequence[float]) -> VerdictArray:
    wires = np.broadcast_to(np.asarray(wires_mm) / 1e3, (len(services),)).copy()
    return judge_alloys(FACTS, condition_columns(services), wires).verdict


def steps_of(way: str, place: str) -> tuple[object, ...]:
    if way == "less washed" and place == "pool hall":
        return ("cleaned", "neither")  # rain does not reach it
    field, steps = HARSHER[way]
    if way in ("hotter", "saltier", "more acid", "more alkaline", "more chlorine", "more hours"):
        return _with_borders(field, steps, borders(field, place))
    return steps


def borders(field: str, place: str) -> set[float]:
    """Values of a field at which a table changes its mind in some surroundings."""
    if field != "temperature_c":
        ends = {end for r in row_ranges.row_ranges() if r.field == field
                for end in (r.least, r.most)}  # fmt: skip
        return {end for end in ends if np.isfinite(end)}
    rows = (ENVIRONMENTS[place].rows or place, f"air {ENVIRONMENTS[place].category}")
    ends = {end for row in media.media_rows() if row.medium in rows
            for end in (row.meets_to_c, row.marginal_to_c, row.fails_from_c)}  # fmt: skip
    ranking = {chloride_water.GUIDE_TEMPERATURE_C, chloride_water.WARMEST_WATER_C,
               *chloride_water.WARMTH_C}  # fmt: skip
    return {end for end in ends | ranking if np.isfinite(end)}


def _with_borders(field: str, steps: Sequence[object], ends: set[float]) -> tuple[object, ...]:
    """Steps with those just inside and just beyond each border, in their own direction."""
    own = [float(step) for step in steps]  # type: ignore[arg-type]
    held = windows()[field]
    just = {beside for end in ends for beside in (end, end + 1e-3, end - 1e-3)}
    near = {v for v in just if min(own) <= v <= max(own) and held.holds(v)}
    return tuple(sorted({*own, *near}, reverse=own[0] > own[-1]))


def kinder(found: VerdictArray) -> BoolArray:
    """Steps after which a verdict is better than one before: marginal or fails comes to less."""
    helped = np.zeros((len(found) - 1, found.shape[1]), dtype=np.bool_)
    for graver, better in ((FAILS, (MEETS, MARGINAL)), (MARGINAL, (MEETS,))):
        before = np.logical_or.accumulate(found == graver, axis=0)[:-1]
        helped |= before & np.isin(found[1:], better)
    return helped


def bases(way: str, place: str) -> Iterator[Conditions]:
    """Services to start from: a plain one, and some drawn at random, always the same."""
    dice = Random(f"{way} {place}")
    field = HARSHER[way][0]
    for number in range(share(1, 12)):
        said = plain(place)
        if number:
            said = {}
            for other in dice.sample(sorted(HARSHER), dice.randint(1, 6)):
                said[HARSHER[other][0]] = dice.choice(steps_of(other, place))
        if ENVIRONMENTS[place].kind == "chemical":
            said.setdefault("concentration_pct", dice.choice((1.0, 5.0, 10.0, 40.0, 90.0)))
        said.pop(field, None)
        if field == "temperature_c":
            said.pop("non_magnetic", None)
        yield Conditions(environment=place, **said)  # type: ignore[arg-type]


@pytest.mark.parametrize("way", HARSHER)
def test_harsher_is_never_kinder(way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    field = HARSHER[way][0]
    if way in ("hotter", "hotter water"):
        lasting = tuple(veto for veto in judging.VETOES if veto.name not in WINDOWS)
        assert {veto.name for veto in judging.VETOES} - {v.name for v in lasting} == set(WINDOWS)
        monkeypatch.setattr(judging, "VETOES", lasting)
    for place, surroundings in ENVIRONMENTS.items():
        if way == "stronger" and surroundings.kind not in ("chemical", "water"):
            continue
        for wire_mm, base in zip((0.9, *WIRES_MM) * 2, bases(way, place), strict=False):
            steps = steps_of(way, place)
            rising = [replace(base, **{field: step}) for step in steps]  # type: ignore[arg-type]
            found = verdicts(rising, wire_mm)
            told = [
                f"{place}, {base}: {FACTS.names[alloy]} {VERDICTS[found[n, alloy]]} at "
                f"{steps[n]}, {VERDICTS[found[n + 1, alloy]]} at {steps[n + 1]}"
                for n, alloy in np.argwhere(kinder(found))
                if not _is_passive(way, place, steps[n + 1], str(FACTS.resists_as[alloy]))
            ]
            assert told == []


def _is_passive(way: str, place: str, strength: object, family: str) -> bool:
    """Whether the row itself says that strong acid makes the metal passive."""
    if way != "stronger" or not isinstance(strength, float) or strength < PASSIVATING_PCT:
        return False
    return any(
        row.medium == place and family in row.groups and "strong" in row.why
        and row.from_pct < strength <= row.to_pct
        for row in media.media_rows()
    )  # fmt: skip


@pytest.mark.parametrize("place", ENVIRONMENTS)
def test_thinner_is_never_kinder(place: str) -> None:
    for temperature in share((25.0, 700.0), (25.0, 60.0, 300.0, 500.0, 700.0, 900.0, 1100.0)):
        for years in share((10.0,), (1.0, 10.0, 50.0)):
            base = Conditions(
                environment=place, temperature_c=temperature, years_wanted=years, washing="rain"
            )
            found = verdicts([base] * len(WIRES_MM), WIRES_MM)
            helped = kinder(found)
            assert not helped.any(), FACTS.names[helped.any(axis=0)].tolist()


@pytest.mark.parametrize(("mild", "worse"), WORSE_MEDIA)
def test_a_worse_medium_is_never_kinder(mild: str, worse: str) -> None:
    said = [
        {"temperature_c": temperature, "chloride_mg_l": chloride, "temper": temper}
        for chloride in (1e3, 5e3, 1.9e4, 5e4, 1.2e5, 1.8e5, 2.4e5)
        for temperature in (10.0, 20.0, 30.0, 45.0, 60.0, 80.0, 100.0, 125.0, 150.0, 190.0, 240.0)
        for temper in ("", *TEMPERS)
    ]
    before, after = (
        verdicts([Conditions(environment=place, **one) for one in said], 0.9)  # type: ignore[arg-type]
        for place in (mild, worse)
    )
    for one, pair in zip(said, zip(before, after, strict=True), strict=True):
        helped = kinder(np.array(pair))[0]
        assert not helped.any(), (one, FACTS.names[helped].tolist())


@pytest.mark.parametrize("field", UNKNOWN)
def test_not_known_is_never_better_than_known(field: str) -> None:
    for place, surroundings in ENVIRONMENTS.items():
        if field == "chloride_mg_l" and surroundings.kind == "air":
            continue  # of a water that nobody named
        said = plain(place)
        if surroundings.kind == "chemical" and field != "concentration_pct":
            said["concentration_pct"] = 10.0
        base = Conditions(environment=place, **said)  # type: ignore[arg-type]
        unknown = NOT_KNOWN if field in (*THREE_WAY, "washing") else float("nan")
        values = [step for way in UNKNOWN[field] for step in steps_of(way, place)]
        tried = [replace(base, **{field: v}) for v in (unknown, *values)]  # type: ignore[arg-type]
        silent, *known = verdicts(tried, 0.9)
        better = silent < np.min(known, axis=0)
        comfort = (silent == MEETS) & (np.array(known) == FAILS).any(axis=0)
        assert not better.any(), (place, FACTS.names[better].tolist())
        assert not comfort.any(), (place, FACTS.names[comfort].tolist())


#: Facts of a liquid or of rubbing, as somebody adds them to a service that was judged without.
ADDED: Mapping[str, tuple[object, ...]] = {
    "ph": (0.0, 1.0, 3.0, 7.0, 10.0, 14.0), "concentration_pct": (0.1, 5.0, 50.0, 98.0),
    "chloride_mg_l": (1.0, 200.0, 2e4), "chlorine_mg_l": (0.5, 50.0), "flow_m_s": (3.0,),
    "abrasion": ("yes",), "stagnant": ("yes",),
}  # fmt: skip
#: Where nothing says what chloride or pH there is, so that no fact of a liquid is a milder one.
DRY = ("", *(name for name, one in ENVIRONMENTS.items() if one.kind in ("air", "hot air", "gas")))


@pytest.mark.parametrize("place", DRY)
def test_a_fact_added_is_never_kinder(place: str) -> None:
    for hot in (20.0, 60.0, 300.0):
        base = Conditions(environment=place, temperature_c=hot, years_wanted=5.0, washing="cleaned")
        facts = [{field: amount} for field, amounts in ADDED.items() for amount in amounts]
        tried = [replace(base, **added) for added in facts]  # type: ignore[arg-type]
        without, *found = verdicts([base, *tried], 0.9)
        for added, after in zip(facts, found, strict=True):
            helped = after < without
            assert not helped.any(), (place, hot, added, FACTS.names[helped].tolist())


#: Facts of water, metal, time and wire, none of which is milder than what is assumed of them.
SECOND: Mapping[str, tuple[object, ...]] = {
    "water_temperature_c": (10.0, 20.0, float("nan")), "flow_m_s": (float("nan"),),
    "stagnant": (NOT_KNOWN,), "oxidisers": (NOT_KNOWN,), "lost_share": (0.1, float("nan")),
    "years_wanted": (10.0, 50.0, float("nan")), "hours": (200_000.0, float("nan")),
    "load": ("yes", NOT_KNOWN), "weld": (True,), "contact_metal": ("titanium",),
}  # fmt: skip


@pytest.mark.parametrize("hot", share((90.0,), (25.0, 90.0, 140.0, 700.0)))
def test_a_second_field_never_makes_what_fails_meet(hot: float) -> None:
    """Water of 20 °C beside metal of 140 °C once made caustic soda meet in 47 alloys."""
    for place in ENVIRONMENTS:
        strong = {"concentration_pct": 50.0} if ENVIRONMENTS[place].kind == "chemical" else {}
        base = Conditions(environment=place, temperature_c=hot, **strong)  # type: ignore[arg-type]
        facts = [{field: v} for field, values in SECOND.items() for v in values]
        without, *found = verdicts([base, *(replace(base, **one) for one in facts)], 0.9)  # type: ignore[arg-type]
        for one, after in zip(facts, found, strict=True):
            helped = (after == MEETS) & (without != MEETS)
            assert not helped.any(), (place, one, FACTS.names[helped].tolist())


@pytest.mark.parametrize("place", [n for n, one in ENVIRONMENTS.items() if one.kind == "water"])
def test_what_is_worse_than_assumed_is_never_kinder(place: str) -> None:
    assumed = ENVIRONMENTS[place].assumed
    base = Conditions(environment=place, temperature_c=25.0)
    salt = assumed["chloride_mg_l"]
    assert isinstance(salt, float)
    worse: list[dict[str, object]] = [
        {"ph": 5.0}, {"ph": 1.0}, {"ph": 12.0}, {"chloride_mg_l": salt * 2.0},
        {"chloride_mg_l": salt * 10.0}, {"concentration_pct": 20.0}, {"abrasion": "yes"},
        {"stagnant": "yes"}, {"chlorine_mg_l": 20.0}, {"flow_m_s": 5.0}, {"oxidisers": "yes"},
    ]  # fmt: skip
    without, *found = verdicts([base, *(replace(base, **one) for one in worse)], 0.9)  # type: ignore[arg-type]
    for one, after in zip(worse, found, strict=True):
        helped = kinder(np.array([without, after]))[0]
        assert not helped.any(), (place, one, FACTS.names[helped].tolist())


def test_what_meets_in_the_gravest_air_meets_in_milder() -> None:
    """Air that is named by its category alone: every row from CX down."""
    base = Conditions(years_wanted=10.0)
    rising = [replace(base, corrosivity=category) for category in outdoor_loss.CATEGORIES]
    found = verdicts(rising, 0.9)
    for milder, graver in pairwise(found):
        lost = (graver == MEETS) & (milder != MEETS)
        assert not lost.any(), FACTS.names[lost].tolist()


def test_every_quantity_of_a_service_is_made_harsher() -> None:
    tried = {field for field, _ in HARSHER.values()}
    apart = {
        "environment", "sheltered_coast", "zinc_g_m2", "coating", "form", "anneal", "coat",
        "contact_metal", "said",
    }  # fmt: skip
    assert {f.name for f in fields(Conditions)} - apart == tried
    assert set(windows()) - tried <= apart
