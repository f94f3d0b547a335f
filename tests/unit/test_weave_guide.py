"""Which weave is which: reaches are those of the rules, and jams those of the paths.

The limits asked for are the customary capability's own, by its file (common practice, no source).
"""

from __future__ import annotations

import numpy as np
import pytest

import meshcore as mc
from meshcore import plugins
from meshcore.enquiry import FLAT_TOP, INTERMEDIATE_CRIMP, LOCK_CRIMP, PLAIN, TWILLED, WEAVES
from meshcore.estimates.weave_guide import weave_guide
from meshcore.weave.drawing.glance import draw_at_a_glance
from meshcore.weave.judging.practicality import CAN_BE_WOVEN, CANNOT, NOT_JUDGED, weave_rules
from meshcore.weave.judging.weave_reach import weave_reach
from meshcore.weave.judging.weave_stories import STORIES
from meshcore_weave_practice import customary_capability

#: A step of the search, as a share of the pitch.
STEP = 1.0 / 400.0


def test_reaches_are_those_of_the_capability() -> None:
    pitch = 25.4e-3 / 4
    reach = weave_reach(pitch, weave_rules(plugins.installed()))
    most = customary_capability().most_wire_to_pitch.values
    least = customary_capability().least_wire_to_pitch.values
    finest = customary_capability().finest_wire_m.values
    for code in (PLAIN, TWILLED, LOCK_CRIMP, INTERMEDIATE_CRIMP, FLAT_TOP):
        assert reach.greatest_wire_m[code] == pytest.approx(most[code] * pitch, abs=STEP * pitch)
        low = max(least[code] * pitch, finest[code])
        assert reach.least_wire_m[code] == pytest.approx(low, abs=STEP * pitch)
        assert "wire-to-pitch window" in reach.above[code]
        wanted = "sleaziness" if least[code] * pitch > finest[code] else "finest wire of the weave"
        assert wanted in reach.below[code], WEAVES[code]


def test_jams_are_those_of_the_paths() -> None:
    """Derived in the path's docstring; 1/√3 is Peirce's jammed square cloth (1937)."""
    reach = weave_reach(1.0, ())
    assert reach.jam_wire_m[PLAIN] == pytest.approx(1 / np.sqrt(3.0))
    assert reach.jam_wire_m[LOCK_CRIMP] == pytest.approx(1 / np.sqrt(7.0))
    assert reach.open_area_at_jam[PLAIN] == pytest.approx((1 - 1 / np.sqrt(3.0)) ** 2)
    # Without rules, the jam alone stops a weave.
    assert reach.greatest_wire_m[PLAIN] == pytest.approx(reach.jam_wire_m[PLAIN], abs=STEP)
    assert reach.below == reach.above == ("",) * len(WEAVES)


def test_a_weave_that_takes_no_wire_says_what_is_against_it() -> None:
    reach = weave_reach(0.5e-3, weave_rules(plugins.installed()))
    assert np.isnan(reach.least_wire_m[FLAT_TOP])
    assert "finest wire of the weave" in reach.against[FLAT_TOP]
    assert reach.against[PLAIN] == ""
    told = dict(weave_guide(mc.estimate(mc.Enquiry(pitch="0.5 mm", wire_diameter="0.2 mm"))
                            .estimates.orders.cloth)[FLAT_TOP].facts)  # fmt: skip
    assert told["at 50.8 per inch"].startswith("none is usual (against: finest wire")


def test_a_lines_own_sizes_are_judged_in_every_weave() -> None:
    asked = mc.Enquiry(mesh_count="4 / in", wire_diameter="2.5 mm", alloy="304")
    guide = weave_guide(mc.estimate(asked).estimates.orders.cloth)
    verdicts = [entry.verdict for entry in guide]
    assert verdicts[PLAIN] == CAN_BE_WOVEN
    assert verdicts[LOCK_CRIMP] == CANNOT
    # It is shown all the same, at a wire that has room.
    assert guide[LOCK_CRIMP].wire_diameter_m < guide[PLAIN].wire_diameter_m == 2.5e-3
    assert all(entry.pitch_m == pytest.approx(6.35e-3) for entry in guide)


def test_without_sizes_it_tells_of_a_count_at_which_all_are_usual() -> None:
    for guide in (weave_guide(), weave_guide(mc.estimate(mc.Enquiry()).estimates.orders.cloth)):
        assert [entry.name for entry in guide] == list(WEAVES)
        assert {entry.verdict for entry in guide} == {NOT_JUDGED}
        assert {entry.count for entry in guide} == {"4 per inch"}
        for entry in guide:
            assert "none is usual" not in dict(entry.facts)["at 4 per inch"]


def test_every_weave_has_its_story() -> None:
    assert len(STORIES) == len(WEAVES)
    for story in STORIES:
        for text in (story.what, story.told, story.used, story.stops):
            assert text.endswith(".")


def test_a_pitch_is_positive() -> None:
    with pytest.raises(ValueError, match="a pitch is positive, got 0"):
        weave_reach(0.0, ())


def test_a_glance_is_the_drawing_without_words() -> None:
    for code in range(len(WEAVES)):
        picture = draw_at_a_glance(code, 0.16e-3, 1e-3, "dark")
        assert picture.count("<text") == 0
        assert picture.count('data-set="warp"') == 10
        assert picture.count("<circle") == 5
