"""Verdicts on what can be woven: each rule's limit, and rules that go wrong."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from importlib import resources
from typing import Any, Literal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from meshcore import plugins
from meshcore.alloys.record import Alloy
from meshcore.arrays import FloatArray
from meshcore.enquiry import DOUBLE_CRIMP, INTERMEDIATE_CRIMP, PLAIN, TWILLED, WEAVES, WELDED
from meshcore.hookspecs import hookimpl
from meshcore.messages import MessageLog
from meshcore.units import METRES_PER_INCH
from meshcore.weave.cloth import ClothColumns, Judgement, WeaveRule
from meshcore.weave.geometry.path import jam_wire_to_pitch
from meshcore.weave.geometry.specifications import specifications
from meshcore.weave.judging.limits import at_least, at_most, by_code
from meshcore.weave.judging.practicality import (
    BUNDLED_DISTRIBUTION,
    CAN_BE_WOVEN,
    CANNOT,
    NOT_JUDGED,
    REVIEW,
    assess,
    weave_rules,
)
from meshcore.weave.judging.purpose import (
    FILTRATION,
    GENERAL,
    OPEN_AREA,
    PREFERENCES,
    PURPOSES,
    TEST_SIEVING,
    VIBRATING_SCREEN,
    recommend,
)
from meshcore.weave.judging.verdict import judge
from meshcore.weave.specification.series import customary
from meshcore_weave_practice import (
    CapabilityError,
    capability_rules,
    customary_capability,
    meshcore_weave_rules,
    parse_capability,
    read_capability,
)

RULES = [("weave-practice", rule) for rule in meshcore_weave_rules()]
Severity = Literal["review", "refused"]


def cloth_of(
    weave: int | list[int], wire: float | list[float], pitch: float | list[float]
) -> ClothColumns:
    codes, wires, pitches = np.broadcast_arrays(
        np.atleast_1d(weave), np.atleast_1d(wire), np.atleast_1d(pitch)
    )
    return specifications(codes.copy(), wires.astype(float), pitches.astype(float))


def outside(cloth: ClothColumns) -> set[str]:
    """Rules that the first line is outside of."""
    return {r.rule.name for r in assess(cloth, RULES).results if r.outside[0]}


def rule_of(judge_cloth: Any, severity: Severity = "review", name: str = "strange") -> WeaveRule:
    return WeaveRule(name, "wire_diameter", "a test", severity, judge_cloth)


def test_what_is_woven_every_day_can_be_woven() -> None:
    wire, pitch = customary()
    found = assess(specifications(np.zeros(len(wire), dtype=np.int64), wire, pitch), RULES)
    assert not found.faults
    assert (found.verdict == CAN_BE_WOVEN).all()


@pytest.mark.parametrize("weave", range(len(WEAVES)))
def test_the_jam_refuses_just_beyond_and_not_at_the_limit(weave: int) -> None:
    pitch = 3e-3
    wire = jam_wire_to_pitch(weave) * pitch
    at, beyond = cloth_of(weave, wire, pitch), cloth_of(weave, wire * (1 + 1e-6), pitch)
    assert "geometric jam" not in outside(at)
    assert assess(beyond, RULES).verdict[0] == CANNOT


@pytest.mark.parametrize(
    ("name", "weave", "wire", "pitch"),
    [
        ("wire-to-pitch window", PLAIN, 1.02e-3, 2e-3),
        ("sleaziness", PLAIN, 0.19e-3, 2e-3),
        ("sleaziness", TWILLED, 0.39e-3, 2e-3),
        ("intermediate crimp for light wire", DOUBLE_CRIMP, 2e-3, 52e-3),
        ("finest wire of the weave", PLAIN, 15e-6, 40e-6),
        ("finest wire of the weave", DOUBLE_CRIMP, 0.4e-3, 2e-3),
        ("heaviest wire of the weave", INTERMEDIATE_CRIMP, 13e-3, 150e-3),
        ("coarsest plain weave", PLAIN, 3e-3, 25e-3),
        ("heaviest plain weave wire", PLAIN, 4e-3, 14e-3),
    ],
)
def test_each_customary_limit_is_a_review(name: str, weave: int, wire: float, pitch: float) -> None:
    cloth = cloth_of(weave, wire, pitch)
    assert name in outside(cloth)
    assert assess(cloth, RULES).verdict[0] == REVIEW


def test_plain_weave_serves_to_three_quarters_of_an_inch_and_148_thousandths() -> None:
    aperture, wire = 0.75 * METRES_PER_INCH, 0.148 * METRES_PER_INCH
    at = cloth_of(PLAIN, wire, aperture + wire)
    assert not outside(at)
    coarser = cloth_of(PLAIN, wire, (aperture + wire) * 1.001)
    assert outside(coarser) == {"coarsest plain weave"}
    heavier = cloth_of(PLAIN, wire * 1.001, aperture + wire)
    assert outside(heavier) == {"heaviest plain weave wire"}


def test_intermediate_crimp_takes_light_wire_that_a_double_crimp_does_not() -> None:
    cloth = cloth_of([DOUBLE_CRIMP, INTERMEDIATE_CRIMP], 3e-3, 53e-3)
    assert assess(cloth, RULES).verdict.tolist() == [REVIEW, CAN_BE_WOVEN]


def test_wire_finer_than_the_alloy_is_drawn_is_a_review() -> None:
    alloy = Alloy(
        designation="coarse metal",
        family="test",
        density_kg_m3=8000.0,
        composition_pct={},
        tensile_mpa=(400.0, 500.0),
        modulus_gpa=200.0,
        max_air_temperature_c=300.0,
        magnetic=False,
        finest_wire_mm=0.2,
        services={},
    )
    cloth = replace(cloth_of(PLAIN, [0.19e-3, 0.2e-3, 0.19e-3], 1e-3), alloys=(alloy,))
    cloth = replace(cloth, alloy=np.array([0, 0, -1]))
    assert assess(cloth, RULES).verdict.tolist() == [REVIEW, CAN_BE_WOVEN, CAN_BE_WOVEN]


def test_cloth_too_wide_for_its_wire_is_a_review() -> None:
    cloth = replace(cloth_of(PLAIN, 0.635e-3, [2.54e-3] * 3), width_m=np.array([3.0, 3.1, np.nan]))
    assert assess(cloth, RULES).verdict.tolist() == [CAN_BE_WOVEN, REVIEW, CAN_BE_WOVEN]


def test_a_refused_line_is_not_judged_and_nothing_is_said_of_it() -> None:
    log = MessageLog(2)
    found = judge(cloth_of(PLAIN, [np.nan, 1e-3], [2e-3, np.nan]), RULES, log)
    assert found.verdict.tolist() == [NOT_JUDGED, NOT_JUDGED]
    assert log.by_line() == {}
    assert found.findings(0) == []


def test_a_message_names_the_field_what_was_read_the_limit_and_the_mending() -> None:
    log = MessageLog(1)
    cloth = cloth_of(PLAIN, 1.6e-3, 2.5e-3)
    typed = {"wire_diameter": np.array(["1/16 in"], dtype=object)}
    judge(cloth, RULES, log, typed)
    message = log.by_line()[0][0]
    assert (message.field, message.read, message.severity) == (
        "wire_diameter",
        "1/16 in",
        "refused",
    )
    for part in ("geometric jam", "0.64", "at most 0.5774", "derived", "take a lighter wire"):
        assert part in message.text
    completed = MessageLog(1)
    judge(cloth, RULES, completed)
    assert completed.by_line()[0][0].read == "1.6 mm"


def test_a_limit_below_is_said_to_be_a_least_value() -> None:
    log = MessageLog(1)
    judge(cloth_of(PLAIN, 0.1e-3, 2e-3), RULES, log)
    assert "0.05 wire/pitch, where at least 0.1 wire/pitch is allowed" in log.by_line()[0][0].text


def test_findings_carry_value_limit_margin_and_origin_the_tightest_first() -> None:
    found = assess(cloth_of(PLAIN, 0.635e-3, 2.54e-3), RULES).findings(0)
    assert [f.margin for f in found] == sorted(f.margin for f in found)
    by_name = {f.rule: f for f in found}
    window = by_name["wire-to-pitch window"]
    assert (window.measured, window.limit) == ("0.25 wire/pitch", "at most 0.5 wire/pitch")
    assert window.margin == pytest.approx(0.5)
    assert window.origin == "common practice, no source"
    assert by_name["sleaziness"].limit == "at least 0.1 wire/pitch"
    assert all(f.origin and f.verdict == CAN_BE_WOVEN and not f.advice for f in found)


def _raises(_: ClothColumns) -> Judgement:
    raise ZeroDivisionError("no looms")


def _writes(cloth: ClothColumns) -> Judgement:
    cloth.pitch_m[:] = 0.0
    return at_most(cloth.pitch_m, 1.0, "m", "")


def _short(cloth: ClothColumns) -> Judgement:
    return at_most(cloth.pitch_m[:1], 1.0, "m", "")


def _text(cloth: ClothColumns) -> Judgement:
    good = at_most(cloth.pitch_m, 1.0, "m", "")
    return replace(good, measured=good.measured.astype(str))


def _whole_numbers(cloth: ClothColumns) -> Judgement:
    good = at_most(cloth.pitch_m, 1.0, "m", "")
    return replace(good, applies=np.ones(len(cloth.pitch_m), dtype=np.int64))


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        (_raises, "ZeroDivisionError: no looms"),
        (_writes, "read-only"),
        (_short, "applies must be a bool array of 2 lines"),
        (_text, "measured must be a float array of 2 lines"),
        (_whole_numbers, "applies must be a bool array of 2 lines"),
        (lambda _: None, "returned NoneType, not a Judgement"),
    ],
)
def test_a_rule_that_goes_wrong_is_named_and_the_others_go_on(bad: Any, says: str) -> None:
    cloth = cloth_of(PLAIN, [0.6e-3, 1.6e-3], 2.5e-3)
    found = assess(cloth, [("stranger", rule_of(bad)), *RULES])
    (fault,) = found.faults
    assert fault.plugin == "stranger"
    assert '"strange"' in fault.where
    assert says in fault.error
    assert len(found.results) == len(RULES)
    assert found.verdict.tolist() == [CAN_BE_WOVEN, CANNOT]
    assert cloth.pitch_m.tolist() == [2.5e-3, 2.5e-3]


def test_a_mills_own_rule_stands_in_for_the_bundled_one_of_its_name() -> None:
    installed = plugins.load([])
    mills = rule_of(lambda cloth: at_most(cloth.pitch_m, 1.0, "m", ""), name="sleaziness")

    class Plugin:
        def __init__(self, rules: list[WeaveRule]) -> None:
            self.meshcore_weave_rules = hookimpl(lambda: rules)

    bundled = plugins.PluginRecord("weave-practice", BUNDLED_DISTRIBUTION, "", "", ())
    installed.manager.register(Plugin([r for _, r in RULES]), name="weave-practice")
    installed.manager.register(Plugin([mills]), name="mill")
    found = weave_rules(replace(installed, records=(bundled,)))
    assert ("mill", mills) in found
    assert [p for p, r in found if r.name == "sleaziness"] == ["mill"]
    assert len(found) == len(RULES)


def test_the_installed_rules_are_the_bundled_ones() -> None:
    names = {rule.name for _, rule in weave_rules(plugins.installed())}
    assert names >= {rule.name for rule in meshcore_weave_rules()}


def test_a_mill_changes_limits_by_data_alone() -> None:
    text = resources.files("meshcore_weave_practice").joinpath("capability.toml").read_text("utf-8")
    data = tomllib.loads(text)
    data["heaviest_wire"]["double crimp"] = "6 mm"
    data["heaviest_wire"]["origin"] = "our own looms, 2026"
    rules = [("mill", r) for r in capability_rules(parse_capability(data, "mill.toml"))]
    cloth = cloth_of(DOUBLE_CRIMP, 8e-3, 40e-3)
    assert assess(cloth, RULES).verdict[0] == CAN_BE_WOVEN
    found = assess(cloth, rules)
    assert found.verdict[0] == REVIEW
    assert found.findings(0)[0].origin == "our own looms, 2026"


def test_a_capability_table_says_all_that_is_wrong_at_once(tmp_path: Any) -> None:
    data: dict[str, Any] = {
        "capability": {"name": "x"},
        "most_wire_to_pitch": {"origin": "x", "plane": 0.5},
        "finest_wire": {"plain": "thin"},
        "widest_cloth": {"origin": "x", "wire_up_to": ["1 mm", "0.5 mm"], "width": "2 m"},
    }
    with pytest.raises(CapabilityError) as caught:
        parse_capability(data, "mill.toml")
    for part in (
        "mill.toml",
        "capability.date",
        "most_wire_to_pitch.plane",
        "finest_wire.origin",
        'finest_wire.plain: read "thin"',
        "widest_cloth.width",
        "plain_weave: the section is missing",
    ):
        assert part in str(caught.value)
    with pytest.raises(CapabilityError, match="cannot be opened"):
        read_capability(tmp_path / "none.toml")
    (tmp_path / "bad.toml").write_text("= 1")
    with pytest.raises(CapabilityError, match="not a TOML file"):
        read_capability(tmp_path / "bad.toml")


def test_every_customary_limit_states_its_origin() -> None:
    capability = customary_capability()
    limits = (
        capability.most_wire_to_pitch,
        capability.least_wire_to_pitch,
        capability.finest_wire_m,
        capability.heaviest_wire_m,
        capability.plain_weave,
        capability.widest_cloth,
    )
    assert {limit.origin for limit in limits} == {"common practice, no source"}


sizes = st.floats(1e-6, 0.1)
shares = st.floats(0.005, 1.2)
lines = st.lists(st.tuples(st.integers(0, len(WEAVES) - 1), shares, sizes), min_size=1, max_size=20)


@given(lines)
def test_the_verdict_is_the_gravest_rule(drawn: list[tuple[int, float, float]]) -> None:
    weave, share, pitch = (list(column) for column in zip(*drawn, strict=True))
    cloth = cloth_of(weave, list(np.array(share) * np.array(pitch)), pitch)
    found = assess(cloth, RULES)
    for row, verdict in enumerate(found.verdict):
        gravest = max((f.verdict for f in found.findings(row)), default=CAN_BE_WOVEN)
        assert verdict == gravest


@given(lines)
def test_margins_agree_with_values_and_limits(drawn: list[tuple[int, float, float]]) -> None:
    weave, share, pitch = (list(column) for column in zip(*drawn, strict=True))
    cloth = cloth_of(weave, list(np.array(share) * np.array(pitch)), pitch)
    for result in assess(cloth, RULES).results:
        judgement = result.judgement
        rows = judgement.applies & np.isfinite(judgement.margin)
        distance = np.abs(judgement.measured - judgement.limit)[rows]
        expected = np.abs(judgement.margin[rows]) * judgement.limit[rows]
        np.testing.assert_allclose(distance, expected, rtol=1e-9, atol=1e-12)
        assert (judgement.margin[result.outside] < 0).all()


@given(lines)
def test_a_line_is_judged_alone_as_it_is_among_others(
    drawn: list[tuple[int, float, float]],
) -> None:
    weave, share, pitch = (list(column) for column in zip(*drawn, strict=True))
    wire = list(np.array(share) * np.array(pitch))
    together = assess(cloth_of(weave, wire, pitch), RULES).verdict
    alone = [
        int(assess(cloth_of(w, d, p), RULES).verdict[0])
        for w, d, p in zip(weave, wire, pitch, strict=True)
    ]
    assert together.tolist() == alone


@given(shares, sizes, st.floats(1.0, 4.0))
def test_heavier_wire_never_gets_out_of_a_jam(share: float, pitch: float, more: float) -> None:
    cloth = cloth_of(PLAIN, [share * pitch, share * pitch * more], pitch)
    verdict = assess(cloth, RULES).verdict
    assert verdict[0] != CANNOT or verdict[1] == CANNOT


@given(st.lists(st.integers(0, 3), min_size=1, max_size=10))
def test_looking_up_by_code_is_plain_indexing(codes: list[int]) -> None:
    values: FloatArray = np.array([1.0, 2.0, 3.0, np.nan])
    np.testing.assert_array_equal(by_code(values, np.array(codes)), values[codes])


def test_limits_hold_from_both_sides() -> None:
    measured = np.array([1.0, 2.0, 3.0])
    assert at_most(measured, 2.0, "", "").margin.tolist() == [0.5, 0.0, -0.5]
    assert at_least(measured, 2.0, "", "").margin.tolist() == [-0.5, 0.0, 0.5]
    assert not at_most(measured, np.nan, "", "").applies.any()


@pytest.mark.parametrize(
    ("purpose", "wire", "pitch", "weave"),
    [
        (GENERAL, 0.635e-3, 2.54e-3, "plain"),
        (GENERAL, 1.08e-3, 2.0e-3, "twilled"),
        (GENERAL, 6e-3, 26e-3, "double crimp"),
        (GENERAL, 3e-3, 53e-3, "intermediate crimp"),
        (VIBRATING_SCREEN, 2e-3, 8e-3, "double crimp"),
        (VIBRATING_SCREEN, 3e-3, 53e-3, "intermediate crimp"),
        (VIBRATING_SCREEN, 0.2e-3, 0.7e-3, "plain"),
        (OPEN_AREA, 2e-3, 32e-3, "intermediate crimp"),
        (OPEN_AREA, 1e-3, 6e-3, "plain"),
        (FILTRATION, 0.11e-3, 0.2e-3, "twilled"),
        (TEST_SIEVING, 0.5e-3, 1.5e-3, "plain"),
    ],
)
def test_the_weave_follows_the_purpose(purpose: int, wire: float, pitch: float, weave: str) -> None:
    found = recommend(cloth_of(PLAIN, wire, pitch), np.array([purpose]), RULES)
    assert WEAVES[found.weave[0]] == weave
    assert found.verdict[0] == CAN_BE_WOVEN
    assert found.reason(0)


@given(st.integers(0, len(PURPOSES) - 1), shares, sizes)
def test_no_weave_is_recommended_that_cannot_be_woven(
    purpose: int, share: float, pitch: float
) -> None:
    cloth = cloth_of(PLAIN, share * pitch, pitch)
    found = recommend(cloth, np.array([purpose]), RULES)
    weave = int(found.weave[0])
    if weave < 0:
        assert found.verdict[0] == CANNOT
        tried = [code for code, _ in PREFERENCES[purpose]]
        verdicts = assess(cloth_of(tried, share * pitch, pitch), RULES).verdict
        assert (verdicts == CANNOT).all()
    else:
        verdict = assess(cloth_of(weave, share * pitch, pitch), RULES).verdict[0]
        assert verdict == found.verdict[0] != CANNOT
        assert weave != WELDED
