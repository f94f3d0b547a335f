"""A roll's width that rounds a stock width is that width; one typed closer is not."""

from __future__ import annotations

import meshcore as mc


def priced(width: str) -> mc.Estimate:
    """Price a roll of 10 mesh by its width."""
    form = mc.Roll(width, "30 m")
    return mc.estimate(
        mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304", form=form)
    )


def test_two_decimals_of_a_metre_name_48_inches() -> None:
    named, inches = priced("1.22 m"), priced("48 in")
    assert named.price == inches.price
    assert "width.nominal" in {m.code for m in named.messages}
    assert "width.nominal" not in {m.code for m in inches.messages}


def test_whole_centimetres_name_it_in_any_unit() -> None:
    """1220 mm was cut from a wider stock and cost more than 1.22 m."""
    assert priced("1220 mm").price == priced("122 cm").price == priced("1.22 m").price


def test_single_millimetres_are_what_is_asked_for() -> None:
    assert priced("1221 mm").price != priced("48 in").price
    assert priced("1.2200 m").price == priced("48 in").price
