"""Mass put right by weighed samples: by weave, with the spread, said on every estimate."""

from __future__ import annotations

import re
import tomllib
from dataclasses import asdict, replace
from importlib import resources

import numpy as np
import pytest

import meshcore as mc
from meshcore.commands.estimate_report import estimate_text
from meshcore.demo import demo_price_book, demo_supply_policy
from meshcore.estimates.summary import path_comparison
from meshcore.supply.policy import SupplyPolicyError, parse_supply_policy, policy_from_values
from meshcore.supply.weighed import WeighedSample, mass_factors

TEN_MESH = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                      form=mc.Roll("48 in", "100 ft"))  # fmt: skip


def sample(share: float, weave: str = "plain") -> WeighedSample:
    reckoned = mc.estimate(TEN_MESH, demo_price_book()).mass_per_area.to("kg/m**2").magnitude
    return WeighedSample(2.54e-3, 0.635e-3, weave, "304", float(reckoned) * share)


def estimated(*samples: WeighedSample) -> mc.Estimate:
    policy = replace(demo_supply_policy(), weighed=samples)
    return mc.estimate(TEN_MESH, demo_price_book(), policy)


def test_the_mass_and_the_price_follow_what_was_weighed() -> None:
    plain = estimated()
    weighed = estimated(sample(1.02), sample(1.03), sample(1.04))
    expected = (1.02 * 1.03 * 1.04) ** (1 / 3)
    assert (weighed.mass / plain.mass).magnitude == pytest.approx(expected, rel=1e-9)
    assert weighed.price > plain.price
    (said,) = [m for m in weighed.messages if m.code == "mass.weighed"]
    assert f"{expected:.3f} of the reckoned" in said.text
    assert "3 weighed samples of plain" in said.text
    assert "± 1.0%" in said.text
    assert "as weighed" in weighed.explain()


def test_too_few_change_nothing_and_are_told() -> None:
    plain, weighed = estimated(), estimated(sample(1.02), sample(1.03))
    assert weighed.price == plain.price
    (said,) = [m for m in weighed.messages if m.code == "mass.weighed"]
    assert "2 of plain weighed so far" in said.text


def test_without_samples_nothing_is_said() -> None:
    assert not [m for m in estimated().messages if m.code == "mass.weighed"]
    assert "as weighed" not in estimated().explain()


def test_samples_of_another_weave_are_no_matter() -> None:
    other = estimated(*(sample(1.05, "twilled") for _ in range(4)))
    assert other.mass.magnitude == pytest.approx(estimated().mass.magnitude)


def test_a_slip_is_left_out() -> None:
    samples = [sample(share) for share in (1.01, 1.02, 1.03, 10.0)]
    found = mass_factors(samples, np.full(4, sample(1.0).mass_per_area_kg_m2))
    assert found.samples[0] == 3
    assert found.factor[0] == pytest.approx(1.02, rel=1e-3)


def test_a_slip_is_told_with_its_place_and_why() -> None:
    told = estimated(*(sample(share) for share in (1.01, 10.0, 1.02, 1.03)))
    (said,) = [m for m in told.messages if m.code == "mass.sample_left_out"]
    assert "weighed[2] of the supply policy is left out: 10 of the reckoned" in said.text
    assert said.read == f"{sample(10.0).mass_per_area_kg_m2:.4g} kg/m²"
    alone = estimated(sample(10.0))
    assert {m.code for m in alone.messages} >= {"mass.weighed", "mass.sample_left_out"}


def test_a_sample_of_an_unknown_alloy_is_told() -> None:
    gone = replace(sample(1.02), alloy="no such alloy")
    told = estimated(gone, *(sample(share) for share in (1.01, 1.02, 1.03)))
    (said,) = [m for m in told.messages if m.code == "mass.sample_left_out"]
    assert "weighed[1]" in said.text
    assert "no such alloy is not known" in said.text


def test_what_stands_beside_a_weighed_mass_is_of_that_mass() -> None:
    plain, heavy = estimated(), estimated(*(sample(1.2) for _ in range(3)))
    before, after = (path_comparison(one.estimates) for one in (plain, heavy))
    assert after.arc_kg_m2[0] == pytest.approx(heavy.mass_per_area.to("kg/m**2").magnitude)
    assert after.flat_over_arc[0] == pytest.approx((1 + before.flat_over_arc[0]) / 1.2 - 1)
    own, low, high = mass_line(heavy)
    assert low < own < high
    plain_own, plain_low, plain_high = mass_line(plain)
    assert low / own == pytest.approx(plain_low / plain_own, abs=1e-3)
    assert high / own == pytest.approx(plain_high / plain_own, abs=1e-3)


def mass_line(one: mc.Estimate) -> tuple[float, float, float]:
    found = re.search(
        r"Mass per area +([\d.]+) kg/m².*; ([\d.]+) to ([\d.]+) at", estimate_text(one)
    )
    assert found is not None
    own, low, high = map(float, found.groups())
    return own, low, high


def test_the_file_of_a_mill_brings_them() -> None:
    text = resources.files("meshcore.supply").joinpath("default_policy.toml").read_text("utf-8")
    text += """
[[weighed]]
mesh_count = "10 / in"
wire_diameter = "0.025 in"
weave = "plain"
alloy = "304"
kg_per_m2 = 2.07
"""
    policy = parse_supply_policy(tomllib.loads(text), "mill.toml")
    assert policy.weighed[0].mass_per_area_kg_m2 == 2.07
    assert policy_from_values(asdict(policy)) == policy
    with pytest.raises(SupplyPolicyError, match="kg_per_m2"):
        parse_supply_policy(tomllib.loads(text.replace("2.07", '"much"')), "mill.toml")
