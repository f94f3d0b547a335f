"""The nearest weavable specifications: never what the rules refuse, and what must hold holds."""

from __future__ import annotations

import re
import time
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import meshcore as mc
from meshcore.alloys.record import Alloy
from meshcore.arrays import FloatArray
from meshcore.cli import main
from meshcore.enquiry import DOUBLE_CRIMP, INTERMEDIATE_CRIMP, PLAIN, TWILLED, WEAVES, WELDED
from meshcore.messages import MessageLog
from meshcore.reading.columns import read_column
from meshcore.reading.sizes.gauges import GAUGE_SIZES_M, r20_sizes
from meshcore.reading.texts import Reading, read_text
from meshcore.units import METRES_PER_INCH, Kind
from meshcore.weave.cloth import ClothColumns, Judgement, WeaveRule
from meshcore.weave.judging.limits import at_least, at_most
from meshcore.weave.judging.practicality import CAN_BE_WOVEN, CANNOT, REVIEW, assess
from meshcore.weave.search.alternatives import (
    PROPERTIES,
    Alternatives,
    find_alternatives,
    wanted,
)
from meshcore.weave.search.grid import apertures, combinations, pitches, weavable, wires
from meshcore.weave.search.ladder import SAME_OFFER
from meshcore.weave.specification.completing import complete
from meshcore.weave.specification.series import customary
from meshcore_weave_practice import meshcore_weave_rules

RULES = tuple(("weave-practice", rule) for rule in meshcore_weave_rules())
#: What the issue asks of a search [s].
SEARCH_TIME_S = 0.1


def alloy(finest_wire_mm: float) -> Alloy:
    return Alloy(
        designation="test metal",
        family="test",
        density_kg_m3=8000.0,
        composition_pct={},
        tensile_mpa=(400.0, 500.0),
        modulus_gpa=200.0,
        max_air_temperature_c=300.0,
        magnetic=False,
        finest_wire_mm=finest_wire_mm,
        services={},
    )


def asked(
    weave: int,
    aperture_m: float,
    wire_m: float,
    finest_wire_mm: float = 0.01,
    width: float = np.nan,
) -> ClothColumns:
    cloth = wanted(weave=weave, aperture_m=aperture_m, wire_diameter_m=wire_m)
    return replace(
        cloth,
        alloy=np.zeros(1, dtype=np.int64),
        alloys=(alloy(finest_wire_mm),),
        width_m=np.array([width]),
    )


def find(cloth: ClothColumns, *hold: str, **options: object) -> Alternatives:
    return find_alternatives(cloth, 0, RULES, hold=hold, **options)  # type: ignore[arg-type]


JAMMED = asked(PLAIN, 1e-3, 1.5e-3)
SLEAZY = asked(PLAIN, 50e-3, 2e-3)


def test_the_grid_has_a_hundred_thousand_different_combinations() -> None:
    wire, pitch, _ = combinations()
    rounded = np.round(np.log([wire, pitch]) * 1e8).astype(np.int64)
    assert np.unique(rounded, axis=1).shape[1] >= 100_000


def test_the_grid_holds_every_series_asked_for() -> None:
    for sizes, series in (
        (r20_sizes(20e-6, 125e-3), apertures()),
        (np.array([4.75e-3, 75e-6, 106e-6, 22.4e-3]), apertures()),
        (r20_sizes(16e-6, 25e-3), wires()),
        (GAUGE_SIZES_M[(GAUGE_SIZES_M > 16e-6) & (GAUGE_SIZES_M < 25e-3)], wires()),
        (METRES_PER_INCH / np.arange(1, 636), pitches()),
    ):
        nearest = np.abs(np.log(sizes[:, np.newaxis] / series)).min(axis=1)
        assert nearest.max() < 1e-8


def test_the_customary_series_is_in_the_grid_and_agrees_with_its_own_file() -> None:
    wire, pitch = customary()
    grid = weavable(RULES, (PLAIN,)).cloth
    for d, p in zip(wire, pitch, strict=True):
        assert ((grid.wire_diameter_m == d) & (grid.pitch_m == p)).any()


def test_the_grid_holds_nothing_that_the_rules_are_against() -> None:
    for weave in range(len(WEAVES)):
        grid = weavable(RULES, (weave,)).cloth
        assert (assess(grid, RULES).verdict == CAN_BE_WOVEN).all()
        assert np.isfinite(grid.path_ratio).all()
        assert len(grid.weave) > 1_000


sizes_strategy = st.tuples(
    st.integers(0, len(WEAVES) - 1),
    st.floats(20e-6, 0.12),
    st.floats(0.02, 3.0),
    st.floats(0.01, 2.0),
    st.sampled_from([np.nan, 0.5, 1.8, 2.9]),
)


@settings(max_examples=40, deadline=None)
@given(sizes_strategy, st.sets(st.sampled_from(PROPERTIES), max_size=2))
def test_nothing_is_offered_that_the_rules_refuse(
    drawn: tuple[int, float, float, float, float], hold: set[str]
) -> None:
    weave, aperture, share, finest, width = drawn
    cloth = asked(weave, aperture, share * aperture, finest, width)
    found = find(cloth, *sorted(hold))
    assert (assess(found.cloth, RULES).verdict == CAN_BE_WOVEN).all()
    assert (found.message is None) == (len(found) > 0)
    assert np.isfinite(found.cloth.path_ratio).all()
    assert (found.cloth.aperture_m > 0).all()


@settings(max_examples=40, deadline=None)
@given(sizes_strategy, st.sampled_from(PROPERTIES), st.floats(0.0, 0.1))
def test_what_must_hold_holds(
    drawn: tuple[int, float, float, float, float], name: str, within: float
) -> None:
    weave, aperture, share, finest, _ = drawn
    found = find(asked(weave, aperture, share * aperture, finest), name, within=within)
    change = {
        "aperture": found.aperture_change,
        "wire_diameter": found.wire_change,
        "mesh_count": found.asked.pitch_m / found.cloth.pitch_m - 1,
        "open_area": found.open_area_change,
        "mass": found.mass_change,
        "strength": found.strength_change,
    }[name]
    assert (np.abs(np.log1p(change)) <= np.log1p(within) + 1e-8).all()


@settings(max_examples=20, deadline=None)
@given(sizes_strategy)
def test_offers_have_their_reason_and_never_are_what_was_asked(
    drawn: tuple[int, float, float, float, float],
) -> None:
    weave, aperture, share, finest, _ = drawn
    found = find(asked(weave, aperture, share * aperture, finest))
    assert len(found.why) == len(found)
    assert all(found.why)
    same = (
        (np.abs(found.aperture_change) < 1e-9)
        & (np.abs(found.wire_change) < 1e-9)
        & (found.cloth.weave == weave)
    )
    assert not same.any()


def test_a_mills_own_rule_is_obeyed() -> None:
    def thick_only(cloth: ClothColumns) -> Judgement:
        return at_least(cloth.wire_diameter_m, 2e-3, "m", "Take a heavier wire.")

    rule = WeaveRule("thick only", "wire_diameter", "a test", "refused", thick_only)
    found = find_alternatives(JAMMED, 0, [*RULES, ("mill", rule)])
    assert len(found)
    assert (found.cloth.wire_diameter_m >= 2e-3 * (1 - 1e-9)).all()


def test_a_mill_that_weaves_nothing_offers_nothing_and_says_so() -> None:
    def nothing(cloth: ClothColumns) -> Judgement:
        return at_most(cloth.wire_diameter_m, 1e-9, "m", "")

    rule = WeaveRule("no looms", "wire_diameter", "a test", "refused", nothing)
    found = find_alternatives(JAMMED, 0, [("mill", rule)])
    assert len(found) == 0
    assert found.message is not None
    assert len(found.frame()) == 0


def test_what_is_asked_fails_and_its_alternatives_do_not() -> None:
    assert assess(JAMMED, RULES).verdict[0] == CANNOT
    assert assess(SLEAZY, RULES).verdict[0] == REVIEW
    assert min(len(find(JAMMED)), len(find(SLEAZY))) >= 3


def test_light_wire_over_a_large_aperture_is_offered_with_intermediate_crimp() -> None:
    found = find(SLEAZY)
    assert found.cloth.weave[0] == INTERMEDIATE_CRIMP
    assert found.aperture_change[0] == pytest.approx(0, abs=1e-9)
    assert found.wire_change[0] == pytest.approx(0, abs=1e-9)


def test_an_aperture_that_is_in_no_series_can_be_held_exactly() -> None:
    found = find(asked(PLAIN, 1.2345e-3, 1.5e-3), "aperture", within=0.0)
    assert len(found) == 8
    assert found.cloth.aperture_m == pytest.approx(np.full(8, 1.2345e-3), rel=1e-9)


def test_holding_too_much_names_what_to_let_go() -> None:
    found = find(JAMMED, "aperture", "wire_diameter")
    assert len(found) == 0
    assert found.message is not None
    assert found.message.field in ("aperture", "wire_diameter")
    assert "Let" in found.message.text
    assert found.message.read in ("1 mm", "1.5 mm")


def test_holding_what_is_not_known_is_said() -> None:
    found = find(wanted(aperture_m=2e-3), "mass")
    assert found.message is not None
    assert found.message.field == "mass"


def test_a_search_can_start_from_one_size() -> None:
    found = find(wanted(aperture_m=3e-3), "aperture")
    assert len(found) == 8
    assert np.isnan(found.mass_change).all()
    by_open_area = find(wanted(open_area=0.5), "open_area")
    assert by_open_area.cloth.open_area == pytest.approx(np.full(8, 0.5), rel=0.011)


def test_a_search_from_nothing_says_what_it_needs() -> None:
    found = find(wanted())
    assert len(found) == 0
    assert found.message is not None
    assert "Give" in found.message.text


def test_welded_screen_is_offered_only_to_who_asks_for_it() -> None:
    assert WELDED not in find(SLEAZY, count=50).cloth.weave
    assert WELDED in find(asked(WELDED, 50e-3, 1e-3), "aperture", count=50).cloth.weave
    assert set(find(JAMMED, weaves=[TWILLED, DOUBLE_CRIMP]).cloth.weave) <= {TWILLED, DOUBLE_CRIMP}


def test_changes_are_those_of_the_cloth_itself() -> None:
    cloth = asked(PLAIN, 2e-3, 0.6e-3)
    found = find(cloth)
    offered = found.cloth
    mass = offered.wire_diameter_m**2 * offered.path_ratio / offered.pitch_m
    before = cloth.wire_diameter_m**2 * cloth.path_ratio / cloth.pitch_m
    assert found.mass_change == pytest.approx(mass / before - 1, rel=1e-9)
    assert found.open_area_change == pytest.approx(
        offered.open_area / cloth.open_area - 1, rel=1e-9
    )
    assert found.mass_per_area_kg_m2 == pytest.approx(np.pi / 2 * 8000.0 * mass, rel=1e-12)


def test_the_caller_prices_what_was_asked_and_the_offers_in_one_call() -> None:
    calls: list[int] = []

    def price(cloth: ClothColumns) -> FloatArray:
        calls.append(len(cloth.weave))
        return cloth.wire_diameter_m * 1e5

    found = find(asked(PLAIN, 2e-3, 0.6e-3)).priced(price)
    assert calls == [len(found) + 1]
    assert found.price == pytest.approx(found.cloth.wire_diameter_m * 1e5)
    assert found.price_change == pytest.approx(found.wire_change, abs=1e-12)
    assert "price_change_pct" in found.frame().columns


@pytest.mark.parametrize("cloth", [JAMMED, SLEAZY], ids=["jammed", "sleazy"])
def test_an_offer_reads_back_as_the_cells_of_an_enquiry(cloth: ClothColumns) -> None:
    found = find(cloth, count=20)
    for rank in range(len(found)):
        cells = found.cells(rank)
        log = MessageLog(1)
        kinds: dict[str, Kind] = {
            "mesh_count": "count", "aperture": "length", "wire_diameter": "length"
        }  # fmt: skip
        readings = {
            name: read_column([cells[name]], kind, name, log)
            for name, kind in kinds.items()
            if cells[name]
        }
        specification = complete(readings, log)
        assert log.by_line() == {}
        # Tables of gauges are rounded to a ten-thousandth of an inch.
        assert specification.pitch_m[0] == pytest.approx(found.cloth.pitch_m[rank], rel=1e-6)
        assert specification.wire_diameter_m[0] == pytest.approx(
            found.cloth.wire_diameter_m[rank], rel=1e-6
        )
        assert WEAVES.index(cells["weave"]) == found.cloth.weave[rank]


def test_cells_are_text_that_can_be_typed() -> None:
    cell = find(JAMMED).cells(0)["wire_diameter"]
    assert isinstance(read_text(cell, "length", "wire_diameter"), Reading)


@pytest.mark.parametrize("cloth", [JAMMED, SLEAZY], ids=["jammed", "sleazy"])
def test_no_two_offers_are_nearly_the_same(cloth: ClothColumns) -> None:
    offered = find(cloth, "aperture", within=0.3, count=20).cloth
    sizes = np.log([offered.wire_diameter_m, offered.aperture_m])
    apart = np.abs(sizes[:, :, np.newaxis] - sizes[:, np.newaxis, :]).max(axis=0)
    others = ~np.eye(len(offered.weave), dtype=np.bool_)
    assert len(offered.weave) >= 10
    assert apart[others].min() >= SAME_OFFER
    # So near as that come offers that are worth reading: the rule leaves out no more.
    assert apart[others].min() < 1.5 * SAME_OFFER


def test_the_same_question_has_the_same_answer() -> None:
    first, second = find(SLEAZY).frame(), find(SLEAZY).frame()
    assert first.equals(second)


def test_the_table_has_one_row_an_offer_and_both_sizes_and_changes() -> None:
    frame = find(JAMMED).frame()
    assert frame.index.tolist() == list(range(1, len(frame) + 1))
    assert 3 <= len(frame) <= 8
    for name in ("aperture", "open_area", "mass"):
        assert f"{name}_change_pct" in frame.columns
    assert frame["aperture_mm"].between(0.5, 2.5).all()


@pytest.mark.timed
def test_a_search_takes_less_than_a_tenth_of_a_second() -> None:
    find(JAMMED)  # the grid is judged once
    # The best of three: another program may be using the machine.
    for hold in ((), ("aperture",), ("mass",), ("open_area", "strength")):
        assert min(_timed(hold) for _ in range(3)) < SEARCH_TIME_S


def _timed(hold: tuple[str, ...]) -> float:
    start = time.process_time()
    find(JAMMED, *hold)
    return time.process_time() - start


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"hold": ["colour"]}, "colour"),
        ({"weaves": [77]}, "77"),
        ({"weaves": []}, "weaves"),
        ({"within": -0.1}, "within"),
        ({"count": 0}, "count"),
    ],
)
def test_misuse_is_named(options: dict[str, object], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        find_alternatives(JAMMED, 0, RULES, **options)  # type: ignore[arg-type]


def offered(**cells: str) -> list[tuple[str, str]]:
    """Name and reason of each offer for a line."""
    line = mc.estimate(mc.Enquiry(**cells, alloy="304", form=mc.Roll("48 in", "100 ft")))  # type: ignore[arg-type]
    found = mc.nearest_weavable(line, count=5)
    return [(found.name(n), f"{found.why[n]}: {found.trade_off(n)}") for n in range(len(found))]


@pytest.mark.parametrize(
    ("cells", "name", "slip"),
    [
        ({"aperture": "0.1 mm", "wire_diameter": "0.65 mm"}, "0.63 mm × 0.1 mm", "other way round"),
        ({"pitch": "2 mm", "wire_diameter": "1.5 mm"}, "2 mm × 1.6 mm", "aperture, not pitch"),
        ({"aperture": "1 in", "wire_diameter": "0.02 in"}, "25 mm × 5 mm", "to the right"),
    ],
)
def test_what_was_probably_meant_comes_first(cells: dict[str, str], name: str, slip: str) -> None:
    """Slips as a practitioner sees them (common practice, no source)."""
    first = offered(**cells)[0]
    assert first[0].startswith(name)
    assert slip in first[1]


def test_a_weave_that_was_named_and_is_not_offered_is_told() -> None:
    named = offered(aperture="0.1 mm", wire_diameter="0.05 mm", weave="lock crimp")
    assert all("plain, not lock crimp" in told for _, told in named[1:])
    coarse = offered(aperture="10 mm", wire_diameter="6 mm", weave="lock crimp")
    assert sum("lock crimp" in name for name, _ in coarse[:3]) == 2
    assert all("lock crimp" in name or "double crimp" in told for name, told in coarse)
    assert all("plain, not" not in told for _, told in offered(aperture="0.1 mm",
                                                           wire_diameter="0.65 mm"))  # fmt: skip


def test_a_weave_that_nobody_named_is_not_told_as_read() -> None:
    asked = mc.Enquiry(aperture="1 in", wire_diameter="0.02 in", alloy="304")
    (said,) = [one for one in mc.estimate(asked).messages if one.field == "weave"]
    assert said.read == ""
    assert "none is named" in said.text
    (said,) = [one for one in mc.estimate(replace(asked, weave="plain")).messages
               if one.field == "weave"]  # fmt: skip
    assert said.read == "plain"


def test_a_wire_of_the_steel_wire_gauge_is_read_in_a_description() -> None:
    """No. 39 of the steel wire gauge is 0.0075 in (published tables, from memory)."""
    table = pd.DataFrame([{"description": "60 mesh, 39 steel wire gauge, 304"}])
    line = mc.estimate_table(table).iloc[0]
    assert line["wire_diameter_mm"] == pytest.approx(0.0075 * 25.4)


def test_a_change_of_many_times_is_told_as_times(capsys: pytest.CaptureFixture[str]) -> None:
    main(["alternatives", "--aperture", "0.1 mm", "--wire", "0.65 mm", "--alloy", "304", "--demo"])
    page = capsys.readouterr().out
    assert not re.search(r"\+\d{4,}\.\d %", page)
    assert "×" in page
