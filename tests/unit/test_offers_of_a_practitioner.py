"""What is offered instead of cloth that cannot be woven: customary cloth, slips first, no twins."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

import meshcore as mc
from meshcore.demo import demo_price_book, demo_supply_policy
from meshcore.estimates.results import EstimateSet
from meshcore.reading.sizes.gauge_texts import other_systems
from meshcore.reading.sizes.gauges import r20_sizes
from meshcore.supply.on_hand import StockCloth
from meshcore.units import METRES_PER_INCH
from meshcore.weave.geometry.specifications import specifications
from meshcore.weave.judging.practicality import CAN_BE_WOVEN, assess
from meshcore.weave.search.grid import CUSTOMARY, STANDARD, listed_cloths
from meshcore.weave.search.ladder import SAME_OFFER
from meshcore.weave.search.meant import meanings
from meshcore.weave.specification.series import nearest_of, standard_apertures, standard_wires
from meshcore_weave_practice import meshcore_weave_rules

RULES = tuple(("weave-practice", rule) for rule in meshcore_weave_rules())
#: Near what was asked: every size typed within so much [-].
NEAR = 0.15


def priced(lines: list[mc.Enquiry]) -> EstimateSet:
    return mc.estimate_list(lines, demo_price_book(), demo_supply_policy(), better_quantities=False)


def enquiry(**sizes: str) -> mc.Enquiry:
    return mc.Enquiry(alloy="304", form=mc.Roll("48 in", "100 ft"), **sizes)  # type: ignore[arg-type]


def jammed() -> list[mc.Enquiry]:
    """Sixty cloths whose wires pass through one another, by count and by aperture."""
    counts = (2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 24, 30, 40)
    by_count = [
        enquiry(mesh_count=f"{count} / in", wire_diameter=f"{share / count:.4f} in")
        for count in counts
        for share in (0.62, 0.80)
    ]
    apertures = (0.1, 0.2, 0.315, 0.5, 0.8, 1.0, 1.6, 2.0, 2.5, 4.0, 5.0, 6.3, 8.0, 10.0, 16.0)
    by_aperture = [
        enquiry(aperture=f"{w:g} mm", wire_diameter=f"{w * ratio:.4g} mm")
        for w in apertures
        for ratio in (1.6, 2.5)
    ]
    return by_count + by_aperture


def light() -> list[mc.Enquiry]:
    """Eighteen cloths whose wire is too light for its pitch."""
    return [
        enquiry(mesh_count=f"{count} / in", wire_diameter=f"{share / count:.5f} in", weave="plain")
        for count in (4, 8, 10, 16, 20, 40, 60, 80, 100)
        for share in (0.02, 0.05)
    ]


def is_customary(wire: float, pitch: float) -> bool:
    """Whether a cloth is of a series of whole cloths, or an ISO 565 aperture with an R20 wire."""
    wires, pitches = listed_cloths()
    if ((np.abs(wires / wire - 1) < 1e-6) & (np.abs(pitches / pitch - 1) < 1e-6)).any():
        return True
    aperture = pitch - wire
    return bool(
        abs(nearest_of(standard_apertures(), np.array([aperture]))[0] / aperture - 1) < 1e-6
        and abs(nearest_of(standard_wires(), np.array([wire]))[0] / wire - 1) < 1e-6
    )


def customary_near(field: str, size: float) -> bool:
    """Whether any customary cloth that can be plain woven has a size within 15 %."""
    wires, pitches = listed_cloths()
    cloth = specifications(np.zeros(len(wires), dtype=np.int64), wires, pitches)
    woven = assess(cloth, RULES).verdict == CAN_BE_WOVEN
    sizes = pitches if field == "mesh_count" else pitches - wires
    return bool((woven & (np.abs(np.log(sizes / size)) <= np.log1p(NEAR))).any())


@pytest.mark.parametrize(("lines", "number"), [(jammed(), 60), (light(), 18)])
def test_a_customary_cloth_is_among_the_first_three(lines: list[mc.Enquiry], number: int) -> None:
    estimates = priced(lines)
    assert len(lines) == number
    assert (estimates.practicality.verdict != CAN_BE_WOVEN).all()
    tried = 0
    for row, line in enumerate(lines):
        cloth = estimates.orders.cloth
        field = "mesh_count" if line.mesh_count else "aperture"
        size = float((cloth.pitch_m if line.mesh_count else cloth.aperture_m)[row])
        if not customary_near(field, size):
            continue
        tried += 1
        found = mc.nearest_weavable(estimates, row, count=3)
        offered = [
            is_customary(wire, pitch)
            for wire, pitch in zip(found.cloth.wire_diameter_m, found.cloth.pitch_m, strict=True)
        ]
        assert any(offered), (line, found.frame())
    assert tried >= number * 0.8


def test_no_offer_hugs_the_limit_as_first_choice_and_none_is_in_odd_sizes() -> None:
    for row in range(0, 60, 7):
        estimates = priced(jammed()[row : row + 1])
        found = mc.nearest_weavable(estimates, 0, count=5)
        for rank in range(len(found)):
            texts = found.cells(rank)
            for name in ("mesh_count", "aperture", "wire_diameter"):
                digits = sum(sign.isdigit() for sign in texts[name])
                assert digits <= 6, texts
        slenderness = found.cloth.wire_diameter_m / found.cloth.pitch_m
        assert slenderness[0] <= 0.48


@pytest.mark.parametrize(
    ("sizes", "count", "wire_mm", "slip"),
    [
        # Each: the cloth that is listed, and the one slip that made it what was typed.
        ({"mesh_count": "10 / in", "wire_diameter": "0.25 in"}, 10, 0.635, "decimal"),
        ({"mesh_count": "20 / in", "wire_diameter": "0.16 in"}, 20, 0.4064, "decimal"),
        ({"mesh_count": "4 / in", "wire_diameter": "1.2 in"}, 4, 1.2, "in mm, not in inches"),
        ({"aperture": "2 mm", "wire_diameter": "9 mm"}, None, 0.9, "decimal"),
        ({"aperture": "0.1 mm", "wire_diameter": "0.71 mm"}, None, 0.071, "decimal"),
    ],
)
def test_a_slip_is_offered_first(
    sizes: dict[str, str], count: int | None, wire_mm: float, slip: str
) -> None:
    found = mc.nearest_weavable(priced([enquiry(**sizes)]), 0, count=3)
    meant = [why for why in found.why if why.startswith("perhaps meant")]
    assert meant
    assert found.why[: len(meant)] == tuple(meant)
    wires = found.cloth.wire_diameter_m[: len(meant)] * 1e3
    assert np.isclose(wires, wire_mm, rtol=0.03).any(), (found.why, wires)
    assert any(slip in why for why in meant)
    if count is not None:
        per_inch = METRES_PER_INCH / found.cloth.pitch_m[: len(meant)]
        assert np.isclose(per_inch, count, rtol=0.05).any()


@pytest.mark.parametrize(
    ("sizes", "first"),
    [
        # One slip of the hand each, whose numbers a mill has beside one another.
        ({"mesh_count": "30 / in", "wire_diameter": "0.012 mm"}, "30 / in × 0.012 in plain"),
        ({"mesh_count": "8 / in", "wire_diameter": "0.002 in"}, "8 / in × 0.02 in plain"),
        ({"mesh_count": "20 / in", "wire_diameter": "0.5 in"}, "20 / in × 0.5 mm plain"),
        ({"mesh_count": "14 / in", "wire_diameter": "0.02 mm"}, "14 / in × 0.02 in plain"),
        ({"pitch": "1 mm", "wire_diameter": "1 mm"}, "1 mm × 1 mm plain"),
        ({"mesh_count": "100 / in", "wire_diameter": "0.0045 mm"}, "100 / in × 0.0045 in plain"),
    ],
)
def test_what_was_meant_is_the_first_of_all_offers(sizes: dict[str, str], first: str) -> None:
    found = mc.nearest_weavable(priced([enquiry(**sizes)]), 0)
    assert found.name(0) == first
    assert found.why[0].startswith("perhaps meant")


def test_a_gauge_of_no_named_system_is_offered_in_each() -> None:
    # No. 28 by the tables of AWG, imperial standard, steel wire and Birmingham gauge (from memory).
    line = enquiry(mesh_count="10 / in", wire_diameter="28 ga")
    found = mc.nearest_weavable(priced([line]), 0)
    inches = {
        why.split("the ")[1].split()[0]: float(wire) / METRES_PER_INCH
        for why, wire in zip(found.why, found.cloth.wire_diameter_m, strict=True)
        if "gauge" in why
    }
    assert list(found.why[:4]) == [why for why in found.why if "gauge" in why]
    wanted = {"American": 0.0126, "imperial": 0.0148, "steel": 0.0162, "Birmingham": 0.014}
    assert inches == {name: pytest.approx(size, abs=5e-5) for name, size in wanted.items()}


@pytest.mark.parametrize(
    "sizes",
    [
        {"mesh_count": "20 / in", "wire_diameter": "0.5 in"},
        {"mesh_count": "30 / in", "wire_diameter": "0.012 mm"},
        {"mesh_count": "2 / in", "wire_diameter": "0.4 in"},
        {"aperture": "1 in", "wire_diameter": "2 in"},
    ],
)
def test_late_offers_are_near_or_none(sizes: dict[str, str]) -> None:
    found = mc.nearest_weavable(priced([enquiry(**sizes)]), 0)
    asked = found.asked
    size, offered = (
        (asked.aperture_m, found.cloth.aperture_m)
        if "aperture" in sizes
        else (asked.pitch_m, found.cloth.pitch_m)
    )
    far = np.abs(np.log(offered / size))
    for rank, why in enumerate(found.why):
        if not why.startswith("perhaps meant"):
            assert far[rank] <= np.log(1.6), (why, found.name(rank))


def test_metric_sizes_of_one_list_are_in_one_unit() -> None:
    found = mc.nearest_weavable(priced([enquiry(aperture="0.1 mm", wire_diameter="0.2 mm")]), 0)
    named = " ".join(found.name(rank) for rank in range(len(found)))
    assert "100 µm × 80 µm" in named
    assert " mm" not in named
    offered = mc.specify("filtration", particle="0.1 mm").offers
    assert all(" mm" not in one.name and " mm" not in str(one.cells) for one in offered)


def test_a_pitch_taken_for_an_aperture_is_offered() -> None:
    # 2.5 mm pitch of 1 mm wire is 1.5 mm open: typed as the aperture of 2.5 mm wire it is jammed.
    found = mc.nearest_weavable(priced([enquiry(pitch="2 mm", wire_diameter="1.6 mm")]), 0, count=4)
    assert any("aperture, not pitch" in why for why in found.why), found.why


def test_a_gauge_of_another_system_is_among_the_meanings() -> None:
    # 16 gauge: 0.064 in imperial, 0.0508 American, 0.0625 steel wire, 0.065 Birmingham.
    typed = {"mesh_count": 4 / METRES_PER_INCH, "wire_diameter": 0.064 * METRES_PER_INCH}
    meant = [m for m in meanings(typed, gauges=other_systems("16 SWG")) if "gauge" in m.slip]
    assert [m.slip.split()[3] for m in meant] == ["American", "steel", "Birmingham"]
    found = [m.wire_m / METRES_PER_INCH for m in meant]
    assert found == pytest.approx([0.0508, 0.0625, 0.065], abs=5e-5)


def test_the_rungs_come_in_order() -> None:
    found = mc.nearest_weavable(priced([enquiry(mesh_count="10 / in", wire_diameter="0.08 in")]))
    assert found.why[:2] == ("nearest customary cloth", "the same count with the next wire")
    assert found.cells(1)["mesh_count"] == "10 / in"
    for rank in range(len(found)):
        others = np.delete(np.arange(len(found)), rank)
        sizes = np.log([found.cloth.wire_diameter_m, found.cloth.aperture_m])
        apart = np.abs(sizes[:, others] - sizes[:, [rank]]).max(axis=0)
        assert apart.min() >= SAME_OFFER


def test_an_aperture_that_was_typed_is_kept_in_the_next_wire() -> None:
    found = mc.nearest_weavable(priced([enquiry(aperture="6.3 mm", wire_diameter="16 mm")]))
    place = found.why.index("the same aperture with the next wire")
    assert found.cells(place)["aperture"] == "6.3 mm"
    wires = r20_sizes(1e-3, 25e-3)
    assert np.isclose(wires, found.cloth.wire_diameter_m[place]).any()


def test_what_an_offer_changes_is_one_line() -> None:
    found = mc.nearest_weavable(priced([enquiry(mesh_count="20 / in", wire_diameter="0.028 in")]))
    told = found.trade_off(0)
    assert "more open area" in told
    assert "cheaper" in told
    assert "lighter" in told
    row = found.frame().iloc[0]
    assert f"{abs(row['price_change_pct']):.0f} % cheaper" in told


def test_offers_of_cloth_that_can_be_woven_name_no_slip() -> None:
    found = mc.nearest_weavable(priced([enquiry(mesh_count="10 / in", wire_diameter="0.025 in")]))
    assert not any(why.startswith("perhaps") for why in found.why)


def test_series_of_the_first_offers_are_lists_of_cloth() -> None:
    found = mc.nearest_weavable(priced(jammed()[:1]), 0, count=1)
    assert set(found.series.tolist()) <= {CUSTOMARY, STANDARD}


def test_cloth_on_hand_is_offered_beside_the_customary() -> None:
    stock = StockCloth(0.32 * METRES_PER_INCH, 0.1 * METRES_PER_INCH, "plain", "304", 1.2, 30.0)
    other = replace(stock, alloy="316")
    policy = replace(demo_supply_policy(), on_hand=(other, stock))
    line = enquiry(aperture="5.5 mm", wire_diameter="14 mm")
    estimates = mc.estimate_list([line], demo_price_book(), policy, better_quantities=False)
    found = mc.nearest_weavable(estimates, 0, count=4)
    place = found.why.index("on hand")
    assert found.cloth.wire_diameter_m[place] == pytest.approx(stock.wire_diameter_m)
    without = mc.estimate_list(
        [line], demo_price_book(), replace(policy, on_hand=(other,)), better_quantities=False
    )
    assert "on hand" not in mc.nearest_weavable(without, 0, count=20).why


def test_another_gauge_is_offered_as_a_cloth_beside_the_same_sizes() -> None:
    # 2 per inch of 5 SWG is too heavy for plain weave, yet can be double crimped; of 5 AWG too.
    found = mc.nearest_weavable(
        priced([enquiry(mesh_count="2 / in", wire_diameter="5 SWG", weave="plain")]), 0, count=4
    )
    why = list(found.why)
    assert why[:2] == ["the same sizes, double crimp", "perhaps meant: wire by the American gauge"]
    assert found.cells(1)["mesh_count"] == "2 / in"
    # ASTM B258: 0.005 in · 92^((36 - 5)/39); written as it is bought, and read back as that.
    assert found.cells(1)["wire_diameter"] == "5 AWG"
    assert found.cloth.wire_diameter_m[1] == pytest.approx(0.1819 * METRES_PER_INCH, rel=5e-4)
    assert np.isfinite(found.price[1])


def test_a_wire_in_millimetres_names_no_gauge() -> None:
    found = mc.nearest_weavable(
        priced([enquiry(mesh_count="2 / in", wire_diameter="5.3848 mm", weave="plain")]), 0, count=8
    )
    assert not any("gauge" in why for why in found.why)


@pytest.mark.parametrize(
    ("count", "wire", "first", "slip"),
    [
        ("20 / in", "16 mm", "20 / in × 0.016 in", "thousandths of an inch"),
        ("20 / in", "1.6 mm", "20 / in × 0.16 mm", "one place to the left"),
        ("60 / in", "0.0075 mm", "60 / in × 0.0075 in", "in inches, not in mm"),
        ("10 / in", "2.5 in", "10 / in × 0.025 in", "two places to the left"),
        ("10 / in", "0.25 in", "10 / in × 0.025 in", "one place to the left"),
        ("8 / in", "3.2 mm", "8 / in × 0.013 in", "one place to the left"),
        ("8 / in", "0.32 in", "8 / in × 0.032 in", "one place to the left"),
        ("16 / cm", "0.5 mm", "16 / in × 0.5 mm", "per inch, not per cm"),
    ],
)
def test_a_slip_leaves_the_count_as_it_was_typed(
    count: str, wire: str, first: str, slip: str
) -> None:
    """Each as a practitioner would hear it: one of the two sizes stands (common practice)."""
    found = mc.nearest_weavable(mc.estimate(mc.Enquiry(mesh_count=count, wire_diameter=wire)))
    assert found.name(0).startswith(first)
    assert found.why[0].startswith("perhaps meant")
    assert slip in found.why[0]
    typed = count.partition(" ")[0]
    meant = [found.name(n) for n, why in enumerate(found.why) if why.startswith("perhaps")]
    assert all(name.startswith(typed) for name in meant)
