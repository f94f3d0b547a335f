"""Offers for a use differ from one another as a buyer sees them."""

from __future__ import annotations

import itertools
import math

import pandas as pd
import pytest

import meshcore as mc
from meshcore.estimates.specified import Offer


def _sizes(offer: Offer) -> tuple[str, float, float]:
    cells = {name: [text] for name, text in offer.cells.items() if text}
    cloth = mc.estimate_list(pd.DataFrame(cells)).orders.cloth
    return offer.cells["weave"], float(cloth.aperture_m[0]), float(cloth.wire_diameter_m[0])


@pytest.mark.parametrize(
    "text",
    ["fly screen", "bird cage", "guarding at 200 mm", "filter 0.1 mm",
     "against mosquitoes", "ventilation, keep out 6 mm"],
)  # fmt: skip
def test_no_two_offers_are_near_twins(text: str) -> None:
    """Of one weave and aperture, wires are three steps of R20 apart: 10**(3/20) (ISO 3)."""
    found = mc.specify(text, price_book=mc.demo_price_book())
    assert len(found) >= 3
    for one, other in itertools.combinations(map(_sizes, found.offers), 2):
        apertures, wires = (abs(math.log(one[1] / other[1])), abs(math.log(one[2] / other[2])))
        same_aperture = one[0] == other[0] and apertures < 0.05
        assert max(apertures, wires) > 0.19, (one, other)
        assert not same_aperture or wires > 0.95 * math.log(10 ** (3 / 20)), (one, other)


def test_a_limit_that_one_author_alone_keeps_is_doubted() -> None:
    found = mc.specify("ventilation", keep_out="20 mm", open_area="80 %", most_drop="20 Pa")
    alone = [one for one in found.offers
             if one.measures["pressure drop, authors"].startswith("one only")]  # fmt: skip
    assert alone
    assert all("use.one_author" in {told.code for told in one.told} for one in alone)
    others = [one for one in found.offers if one not in alone]
    assert not any("use.one_author" in {told.code for told in one.told} for one in others)


def test_where_few_are_left_wires_may_be_closer() -> None:
    """A cut allows few apertures: three wires are offered all the same."""
    found = mc.specify("sand screen at 6 mm", price_book=mc.demo_price_book())
    assert len(found) >= 3
