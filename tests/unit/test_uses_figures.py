"""Figures of a use: out of range or without use is said so, and what is assumed is told."""

from __future__ import annotations

import shlex

import numpy as np
import pandas as pd
import pytest

import meshcore as mc
from meshcore.cli import main
from meshcore.estimates.wording import CAUTION
from meshcore.uses.relations.gas import is_incompressible
from meshcore.uses.statement import Measure


@pytest.mark.parametrize(
    ("use", "texts", "code", "said"),
    [
        ("screening", {"cut_size": "6 mm", "inclination": "61°"}, "use.figure_too_large", "60°"),
        ("screening", {"cut_size": "6 mm", "near_size": "150 %"}, "use.figure_too_large", "100%"),
        ("screening", {"cut_size": "6 mm", "trials": "2.5"}, "use.figure_not_whole", "whole"),
        ("ventilation", {"keep_out": "6 mm", "open_area": "110 %"}, None, "100"),
        (
            "filtration",
            {"particle": "0.1 mm", "most_drop": "50 Pa"},
            "use.figure_unused",
            "pressure drop",
        ),
    ],
)
def test_a_figure_out_of_range_or_without_use_is_said(
    use: str, texts: dict[str, str], code: str | None, said: str
) -> None:
    found = mc.specify(use, texts)
    assert len(found) == 0
    (message,) = found.messages
    assert said in message.text
    assert message.code != "use.nothing_suits"
    if code:
        assert message.code == code


@pytest.mark.parametrize("inclination", ["0°", "60°"])
def test_the_ends_of_a_range_belong_to_it(inclination: str) -> None:
    assert not mc.specify("screening", cut_size="6 mm", inclination=inclination, count=1).messages


@pytest.mark.parametrize("quantity", ["-1", "0", 0, -3, "2.5"])
def test_a_quantity_that_is_none_is_refused(quantity: int | str) -> None:
    found = mc.specify("screening", cut_size="6 mm", quantity=quantity,
                       price_book=mc.demo_price_book())  # fmt: skip
    assert len(found) == 0
    assert found.messages[0].field == "quantity"


def told(fluid: str, speed: str) -> dict[str, Measure]:
    line = mc.estimate(mc.Enquiry(aperture="0.15 mm", wire_diameter="0.1 mm", alloy="316L"))
    done = mc.performance(line, "filtration", particle="0.15 mm", fluid=fluid, speed=speed)
    return {one.name: one for one in done.measures}


def test_a_gas_is_held_to_a_third_of_the_speed_of_sound() -> None:
    """Sound in dry air at 20 °C goes at √(1.4·287·293) = 343 m/s (ideal gas, by hand)."""
    sound = np.sqrt(1.4 * 287.05 * 293.15)
    open_area = np.full(2, 0.36)
    speeds = sound * np.array([0.299, 0.301]) * open_area
    assert is_incompressible(open_area, speeds, "air").tolist() == [True, False]
    assert is_incompressible(open_area, speeds * 10, "water").all()
    fast = told(fluid="air", speed="1000 m/s")["pressure drop, middle"]
    assert np.isnan(fast.values[0])
    assert "Mach" in fast.outside
    assert np.isfinite(told(fluid="air", speed="20 m/s")["pressure drop, middle"].values[0])


def test_only_authors_that_cover_the_flow_are_named() -> None:
    """Idelchik speaks from a Reynolds number of 1000, Blevins' open mesh from 0.85 open."""
    origin = told(fluid="air", speed="20 m/s")["pressure drop, middle"].origin
    assert "Idelchik" not in origin
    assert "open mesh" not in origin
    assert "Armour and Cannon" in origin


def test_speed_and_fluid_that_were_assumed_are_told() -> None:
    found = mc.specify("ventilation", keep_out="6 mm", count=1)
    assert any("air at 20 °C at 2 m/s" in reason for reason in found.reasons)


@pytest.mark.parametrize(
    ("feed", "alloy"), [("dry", "carbon steel"), ("damp", "304"), ("wet", "304")]
)
def test_the_alloy_suits_the_feed_and_says_why(feed: str, alloy: str) -> None:
    """Carbon steel rusts in water (common practice, no source)."""
    found = mc.specify("screening", cut_size="6 mm", feed=feed, count=1)
    assert found.alloy == alloy
    assert any(one.startswith(f"{alloy}: ") and "rust" in one for one in found.reasons)


@pytest.mark.parametrize("named", ["carbon steel", "galvanized steel"])
def test_an_alloy_that_rusts_in_the_wet_is_doubted(named: str) -> None:
    found = mc.specify("screening", cut_size="6 mm", feed="wet", alloy=named, count=1)
    assert found.alloy == named
    assert [one.code for one in found.told] == ["use.alloy_rusts"]
    assert not mc.specify("screening", cut_size="6 mm", alloy=named, count=1).told
    assert not mc.specify("screening", cut_size="6 mm", feed="wet", alloy="316L", count=1).told


def test_the_usual_caution_ends_what_is_specified(capsys: pytest.CaptureFixture[str]) -> None:
    line = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304"))
    assert CAUTION in mc.performance(line, "conveying", item="20 mm").caution
    main(["specify", "conveying", "item=20 mm", "--demo", "--count", "1"])
    assert CAUTION in capsys.readouterr().out


@pytest.mark.parametrize(
    "order", [[], ["--roll", "48 in x 100 ft", "--quantity", "3"], ["--piece", "disc: 10 in"]]
)
def test_the_command_printed_gives_the_price_printed(
    order: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    main(["specify", "screening", "cut_size=6 mm", "--demo", "--count", "1", *order])
    page = capsys.readouterr().out
    first = next(text for text in page.splitlines() if text.startswith("1: "))
    price = first.rsplit(", ", 1)[1]
    command = next(text for text in page.splitlines() if "-m meshcore estimate" in text)
    words = shlex.split(command)
    assert "--demo" in words
    assert "--quantity" in words
    main(words[3:])
    assert price in capsys.readouterr().out


def test_a_figure_given_twice_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["specify", "screening", "cut_size=6 mm", "cut_size=8 mm", "--demo"]) != 0
    assert "twice" in capsys.readouterr().err


def test_a_load_is_held_to_nothing_without_its_factor() -> None:
    """A breaking load is no working load: the factor between them is never assumed."""
    (message,) = mc.specify("support", fine_aperture="0.15 mm", load="4 kN/m").messages
    assert (message.field, message.code) == ("factor", "use.figure_unused")
    assert "breaking load" in message.text
    (message,) = mc.specify("support", fine_aperture="0.15 mm", factor="5").messages
    assert message.field == "load"
    (message,) = mc.specify(
        "support", fine_aperture="0.15 mm", load="4 kN/m", factor="0.5"
    ).messages
    assert message.code == "use.figure_too_small"
    held = mc.specify("support", fine_aperture="0.15 mm", load="4 kN/m", factor="5", count=1)
    assert any("20 kN/m" in one and "5 times" in one and "no working load" in one
               for one in held.reasons)  # fmt: skip
    line = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304"))
    told = mc.performance(line, "support", fine_aperture="0.3 mm", load="8 kN/m", factor="10")
    assert any("80 kN/m" in one for one in told.failing)


def test_a_weave_alone_is_a_wish_and_an_open_area_alone_no_cloth(
    capsys: pytest.CaptureFixture[str],
) -> None:
    main(["specify", "guarding", "distance=200 mm", "--weave", "double crimped", "--demo"])
    offered = [text for text in capsys.readouterr().out.splitlines() if text[:1].isdigit()]
    assert offered
    assert all("double crimp" in text for text in offered)
    for options, said in (
        (["--weave", "lock crimp"], "not usual for this use"),
        (["--open-area", "60 %"], "alone it is no cloth"),
        (["--wire", "1 mm"], "its sizes fix no cloth"),
        (["--aperture", "1 mm", "--wire", "5 mm"], "cannot be woven"),
    ):
        assert main(["specify", "insects", "insect=flies", *options, "--demo"]) != 0
        assert said in capsys.readouterr().err


def test_few_trials_do_not_ask_for_a_far_fetched_cloth() -> None:
    """With one trial half of the cut passes only at nine times its size, by Gaudin's chance."""
    (message,) = mc.specify("screening", cut_size="6 mm", trials="1").messages
    assert message.code == "use.figure_too_small"
    for one in mc.specify("screening", cut_size="6 mm", trials="5").offers:
        line = mc.estimate_table(pd.DataFrame([one.cells])).iloc[0]
        assert line["aperture_mm"] <= 12.0


def test_offers_are_no_near_twins_and_say_what_each_trades() -> None:
    """Two steps of R20 in wire or aperture part two cloths (common practice, no source)."""
    found = mc.specify("filtration", particle="0.1 mm", price_book=mc.demo_price_book())
    table = mc.estimate_table(pd.DataFrame([one.cells for one in found.offers]))
    sizes = np.log([table["aperture_mm"], table["wire_diameter_mm"]])
    apart = np.abs(sizes[:, :, None] - sizes[:, None, :]).max(axis=0)
    assert len(found) > 2
    assert apart[~np.eye(len(table), dtype=np.bool_)].min() > 0.2
    first, second = found.offers[:2]
    assert first.trade_off == ""
    dearer = second.price / first.price - 1.0
    word = "dearer" if dearer > 0 else "cheaper"
    assert f"{abs(dearer) * 100:.0f} % {word}" in second.trade_off
    wire = table["wire_diameter_mm"].iloc[1] - table["wire_diameter_mm"].iloc[0]
    assert f"wires {abs(wire):.2g} mm {'heavier' if wire > 0 else 'lighter'}" in second.trade_off
