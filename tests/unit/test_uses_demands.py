"""Demands of a use: the largest opening judges, none is hidden, and each not kept is named."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from fluids.particle_size_distribution import ISO_3310_1_sieve_list

import meshcore as mc
from meshcore import plugins
from meshcore.alloys.records.registry import installed_registry, resolve
from meshcore.commands.specifying import performance_text
from meshcore.demo import demo_price_book
from meshcore.estimates.asked_use import metal_of
from meshcore.uses.catalogue import STATEMENTS
from meshcore.uses.figures import Value, read_figures
from meshcore.uses.relations.guarding import least_distance
from meshcore.uses.search import Suited, suited
from meshcore.uses.statement import Metal
from meshcore.weave.geometry.tolerances import (
    industrial_tolerance,
    largest_opening,
    sieve_tolerance,
)
from meshcore.weave.judging.practicality import weave_rules

RULES = tuple(weave_rules(plugins.installed()))


def metal(alloy: str = "304") -> Metal:
    registry = installed_registry()
    found = resolve(registry, alloy)
    assert isinstance(found, int)
    return metal_of(registry.alloys[found])


def figures(use: str, **texts: str) -> dict[str, Value]:
    values, wrong = read_figures(STATEMENTS[use].figures, texts)
    assert not wrong
    return values


def search(use: str, **texts: str) -> Suited:
    statement = STATEMENTS[use]
    return suited(statement, figures(use, **texts), metal(statement.alloys[0]), RULES, 8)


@pytest.mark.parametrize("distance", ["15 mm", "20 mm", "120 mm", "850 mm"])
def test_a_guard_keeps_its_distance_at_the_largest_single_opening(distance: str) -> None:
    """A finger meets one opening, so a single opening of a test sieve (ISO 3310-1, from memory),
    as the package `fluids` has its table, is the least that industrial cloth may have."""
    found = search("guarding", distance=distance)
    nominal = found.cloth.aperture_m
    assert len(nominal)
    largest = largest_opening(nominal)
    assert (largest > nominal + industrial_tolerance(nominal)).all()
    assert (least_distance(largest) <= float(distance.split(maxsplit=1)[0]) * 1e-3 + 1e-12).all()
    told = {one.name: one for one in STATEMENTS["guarding"].measures(
        found.cloth, figures("guarding", distance=distance), metal())}  # fmt: skip
    np.testing.assert_allclose(told["largest single opening"].values, largest * 1e3)
    assert "no tolerance" in told["largest single opening"].origin
    assert any("measured" in hint for hint in found.wanted.hints)


def test_no_single_opening_is_taken_for_closer_than_that_of_a_test_sieve() -> None:
    """Against the table of ISO 3310-1 as the PyPI package `fluids` carries it."""
    for sieve in ISO_3310_1_sieve_list:
        largest = float(largest_opening(np.array(sieve.opening)))
        assert sieve.X_variation_max is not None
        assert largest > sieve.opening + sieve.X_variation_max


def test_a_filter_by_its_largest_opening_stops_the_particle() -> None:
    found = search("filtration", particle="0.1 mm", aperture_by="tolerance")
    assert len(found.cloth.weave)
    single = sieve_tolerance(found.cloth.aperture_m).single
    assert (found.cloth.aperture_m + single < 0.1e-3).all()


@pytest.mark.parametrize(
    ("use", "texts"),
    [
        ("shielding", {"frequency": "30 MHz", "attenuation": "40 dB"}),
        ("reinforcement", {"section": "131 mm²/m", "grain": "4 mm", "breaking_load": "60 kN/m"}),
        ("reinforcement", {"section": "1 mm²/m", "grain": "4 mm"}),
        ("filtration", {"particle": "200 mm"}),
        ("screening", {"cut_size": "6 mm", "inclination": "44°"}),
    ],
)
def test_cloth_that_does_more_than_is_asked_is_no_reason_to_offer_none(
    use: str, texts: dict[str, str]
) -> None:
    found = mc.specify(use, texts, price_book=demo_price_book(), count=2)
    assert not found.messages
    for one in found.offers:
        table = pd.DataFrame([{**one.cells, "alloy": found.alloy}])
        assert mc.performance(mc.estimate_list(table)[0], use, texts).meets


def test_more_attenuation_than_was_asked_is_kept() -> None:
    line = mc.estimate(
        mc.Enquiry(aperture="1.25 mm", wire_diameter="0.224 mm", alloy="copper"))  # fmt: skip
    told = mc.performance(line, "shielding", frequency="30 MHz", attenuation="40 dB")
    assert told.measures[0].values[0] > 40
    assert told.meets
    assert told.failing == ()


def test_the_demand_that_is_not_kept_is_named() -> None:
    line = mc.estimate(mc.Enquiry(aperture="2 mm", wire_diameter="0.5 mm", alloy="304"))
    told = mc.performance(line, "ventilation", keep_out="6 mm", open_area="70 %")
    assert told.meets is False
    (failing,) = told.failing
    assert failing in told.reasons
    assert "70 % open" in failing
    assert f"This cloth does not keep: {failing}" in performance_text(told)


def test_why_a_relation_says_nothing_is_told() -> None:
    line = mc.estimate(mc.Enquiry(aperture="50 mm", wire_diameter="5 mm", weave="welded",
                                  alloy="copper"))  # fmt: skip
    told = mc.performance(line, "shielding", frequency="1 GHz", attenuation="10 dB")
    assert "tenth of the wavelength" in "".join(told.failing)
    assert "attenuation: – (the formula holds from 30 MHz" in performance_text(told)
    slow = mc.performance(line, "filtration", particle="60 mm", speed="1e-6 m/s")
    assert "no author covers" in performance_text(slow)


def test_a_refusal_names_the_demand_that_no_cloth_keeps() -> None:
    (message,) = mc.specify(
        "ventilation", keep_out="6 mm", speed="400 m/s", most_drop="50 Pa"
    ).messages
    assert message.code == "use.nothing_suits"
    assert "the highest gives no more than 50 Pa" in message.text
    # Cloth that keeps out 6 mm, and cloth that is 60 % open, there is.
    assert "stays out" not in message.text
    assert "% open" not in message.text


def test_a_section_that_rounds_to_what_is_asked_has_it() -> None:
    """Wires of 5 mm at 150 mm have 130.9 mm²/m and are called 131 (EN 10080, from memory)."""
    cloth = mc.Enquiry(pitch="150 mm", wire_diameter="5 mm", weave="welded", alloy="carbon steel")
    told = mc.performance(mc.estimate(cloth), "reinforcement", section="131 mm²/m", grain="4 mm")
    assert not any("mm² of wire" in one for one in told.failing)
    told = mc.performance(mc.estimate(cloth), "reinforcement", section="133 mm²/m", grain="4 mm")
    assert any("mm² of wire" in one for one in told.failing)


def test_a_weave_that_is_not_usual_leaves_the_answer_open() -> None:
    cloth = mc.Enquiry(aperture="7.1 mm", wire_diameter="2 mm", weave="welded")
    told = mc.performance(mc.estimate(cloth), "screening", cut_size="6 mm")
    assert told.weave_doubted
    assert "This cloth keeps all of it" not in performance_text(told)
    assert "Its sizes keep all of it" in performance_text(told)
